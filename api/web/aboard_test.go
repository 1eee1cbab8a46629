package web

import (
	"net/url"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/route/inventory"
	"hardtack/route/logbook"
	"hardtack/route/vessel"
)

// lived gives the demo boat lockers, a log and a stores book, as a boat has

// after some weeks.

func lived(t testing.TB, svc *api.Service) {
	t.Helper()
	boats, err := svc.Vessels(ctx)
	require.NoError(t, err)
	v := boats[0].Value
	var lockers []vessel.Locker
	for i, sp := range v.Spaces {
		side := []vessel.Side{vessel.Port, vessel.Starboard}[i%2]
		lockers = append(lockers, vessel.Locker{ID: sp.ID + " low", Space: sp.ID, Litres: 90, Low: true, Side: side},
			vessel.Locker{ID: sp.ID + " ready-use", Space: sp.ID, Litres: 40, MaxKg: 30, AtSea: true})
	}
	_, err = svc.PutLockers(ctx, v.ID, lockers, api.AnyRevision)
	require.NoError(t, err)
	for _, e := range []logbook.Entry{
		{Kind: logbook.WaterLevel, Amount: 400, Day: svc.Today() - 12}, {Kind: logbook.WaterLevel, Amount: 190, Day: svc.Today() - 2},
		{Kind: logbook.GasSwap, Amount: 6, Day: svc.Today() - 40}, {Kind: logbook.GasSwap, Amount: 6, Day: svc.Today() - 3},
		{Kind: logbook.PestSeen, Item: "flour_white", Note: "weevils"}, {Kind: logbook.Condition, Item: "onion", Note: "sprouting"},
	} {
		_, err := svc.AddLog(ctx, v.ID, e)
		require.NoError(t, err)
	}
	for _, e := range []api.ActEntry{
		{Kind: inventory.Bought, Item: "chicken_breast", Amount: "1 kg", To: "fridge", Paid: "9.50", Currency: "EUR"},
		{Kind: inventory.Bought, Item: "spirits", Amount: "6 l", To: v.Spaces[0].ID}, {Kind: inventory.Bought, Item: "honey", Amount: "500 g", To: v.Spaces[0].ID},
		{Kind: inventory.Spoilt, Item: "rice_white", Amount: "100 g", Cause: inventory.Wet},
		{Kind: inventory.Given, Item: "rice_white", Amount: "200 g", Party: "a ketch (invented)", Loan: true},
	} {
		_, err := svc.Act(ctx, v.ID, e)
		require.NoError(t, err, e.Item)
	}
}

// boatOf is the only boat of a service.

func boatOf(t testing.TB, svc *api.Service) vessel.Vessel {
	t.Helper()
	boats, err := svc.Vessels(ctx)
	require.NoError(t, err)
	require.Len(t, boats, 1)
	return boats[0].Value
}

// What can hurt somebody never stands on a page without its caution, in either

// language and whatever lies aboard; the English is the core's own.

func hidden(body, name string) string {
	m := regexp.MustCompile(`name="` + regexp.QuoteMeta(name) + `" value="([^"]*)"`).FindStringSubmatch(body)
	if m == nil {
		return ""
	}
	return unescape(m[1])
}

// fields are the hidden fields of a count sheet as it was served.

// rowOf is the number of an item's first row.

// The cautions and the tables of safety read in English as the core has them:

// a translation has its original beside it, and neither is made milder.

// A thing is found in one field, moved, opened and used up without script; the

// book has each act.

func TestWhereIsItAndWhatBecomesOfIt(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	lived(t, svc)
	v := visit(t, serve(t, svc, Options{}))
	boat := boatOf(t, svc)
	found := v.get("/aboard?find=rice")
	require.Contains(t, found.body, "saloon port low")
	require.Contains(t, v.get("/aboard?find=unobtainium").body, "Nothing aboard is called")
	lot := regexp.MustCompile(`/aboard/lot/[^"]+`).FindString(found.body)
	require.NotEmpty(t, lot)
	require.Contains(t, v.get(lot).body, "Thrown away")
	require.Contains(t, v.post(lot, url.Values{"do": {"moved"}, "to": {"bilge low"}, "amount": {"0,5 kg"}}).body, "Moved.")
	require.Contains(t, v.get("/aboard?find=rice").body, "bilge low")
	bad := v.post(lot, url.Values{"do": {"used"}, "amount": {"99 kg"}})
	require.Equal(t, 422, bad.status)
	require.Contains(t, bad.body, `value="99 kg"`, "what was typed is still there")
	require.Contains(t, v.post(lot, url.Values{"do": {"opened"}}).body, "Opened")
	require.Contains(t, v.post(lot, url.Values{"do": {"spoilt"}, "cause": {"wet"}, "amount": {"100 g"}}).body, "Thrown away, and why")
	require.Contains(t, v.post(lot, url.Values{"do": {"given"}, "party": {"a sloop"}, "loan": {"1"}, "amount": {"100 g"}}).body, "Given away")
	require.Contains(t, v.post(lot, url.Values{"do": {"used"}}).body, "Used.")
	require.Equal(t, 422, v.post("/aboard/lot/rice_white", url.Values{}).status)
	require.Equal(t, 404, v.get("/aboard/lot/none").status)

	come := v.post("/aboard/come", url.Values{"item": {"Eggs"}, "amount": {"12"}, "to": {"bilge low"}, "how": {"bought"}})
	require.Equal(t, 422, come.status)
	require.Contains(t, come.body, "egg_unwashed", "which eggs is asked")
	come = v.post("/aboard/come", url.Values{"item": {"egg_unwashed"}, "amount": {"12"}, "to": {"bilge low"}, "how": {"bought"}, "paid": {"3.60"}, "currency": {"eur"}})
	require.Contains(t, come.body, "It is aboard.")
	moves, err := svc.Moves(ctx, boat.ID, 0, 0)
	require.NoError(t, err)
	kinds := map[inventory.MoveKind]bool{}
	for _, m := range moves {
		kinds[m.Kind] = true
	}
	for _, k := range []inventory.MoveKind{inventory.Moved, inventory.Opened, inventory.Spoilt, inventory.Given, inventory.Used, inventory.Bought} {
		require.True(t, kinds[k], "%s", k)
	}
	require.Contains(t, v.get("/aboard/look-back").body, "a sloop")
}

// A sheet by locker, a word for each thing after a passage, and the difference

// explained; then what it taught, and the file that says the same.

// Passages counted are told in words, pooled over all food, and as a table.

// Every page about what is aboard answers on a database with nothing in it, and

// on a boat that has no voyage.

// A border is never safer on the page than it was read, and an officer can read

// the sealed stores.

// What a receipt brings aboard is in the stores book with its price and beside

// its walk-away price, and the season looked back on says what came of it.

func TestAReceiptIsLookedBackOn(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	lines := linesOf(t, svc)
	_, err := svc.ChangeDraft(ctx, planOf(t, svc), 1, func(d *api.Draft) {
		for _, l := range lines[:12] {
			d.Set(api.DraftLine{Item: l.Item, Got: true, Price: "0.55"})
		}
	})
	require.NoError(t, err)
	path := demoVoyage + "/ashore/1/receipt"
	page := v.get(path).body
	done := v.post(path, url.Values{"receipt": {hidden(page, "receipt")}, "day": {svc.Today().String()}, "money": {"EUR"}, "do": {"confirm"}})
	require.Equal(t, 200, done.status, done.body)
	r, err := svc.Review(ctx, boatOf(t, svc).ID, api.ReviewOptions{})
	require.NoError(t, err)
	require.Positive(t, r.Spent)
	require.Positive(t, r.WalkAway.Kept, "next to nothing is below what waiting is worth")
	require.Contains(t, v.get("/aboard/look-back").body, "kept their walk-away price")
}
