package web

import (
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/route/arrival"
	"hardtack/route/inventory"
	"hardtack/route/logbook"
	"hardtack/route/meal"
	"hardtack/route/pest"
	"hardtack/route/tankage"
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
func TestCautionsAreOnThePages(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	lived(t, svc)
	base := serve(t, svc, Options{})
	all := loadWords(nil)
	for _, lang := range []string{"en", "de"} {
		v := visit(t, base)
		v.post("/prefs", url.Values{"lang": {lang}})
		for _, tt := range []struct {
			path string
			keys []string
		}{
			{demoVoyage + "/use-first", []string{"caution.keeping"}},
			{"/aboard/fridge?hours=2", []string{"caution.fridge", "caution.keeping"}},
			{"/aboard/fridge?hours=nonsense", []string{"caution.fridge"}},
			{"/aboard/border", []string{"caution.border", "border.ask"}},
			{"/aboard/pests", []string{"caution.bait", "pests.treat.caution.0", "pests.treat.caution.1", "pests.treat.caution.2", "pests.treat.caution.3"}},
			{"/aboard/tanks", []string{"caution.water", "caution.gas", "tanks.rain", "caution.keeping"}},
			{"/aboard/tanks?days=20&ocean=1", []string{"caution.water", "caution.gas"}},
			{"/aboard/stow?stop=1", []string{"stow.caution"}},
			{"/aboard/meals", []string{"meals.advice"}},
		} {
			page := v.get(tt.path)
			require.Equal(t, 200, page.status, tt.path)
			for _, key := range tt.keys {
				require.Contains(t, unescape(page.body), all[lang].Say(key), "%s in %s", tt.path, lang)
			}
		}
	}
}

var entity = strings.NewReplacer("&#39;", "'", "&#34;", `"`, "&amp;", "&", "&lt;", "<", "&gt;", ">")

func unescape(s string) string { return entity.Replace(s) }

func hidden(body, name string) string {
	m := regexp.MustCompile(`name="` + regexp.QuoteMeta(name) + `" value="([^"]*)"`).FindStringSubmatch(body)
	if m == nil {
		return ""
	}
	return unescape(m[1])
}

// fields are the hidden fields of a count sheet as it was served.
func fields(t testing.TB, body string) url.Values {
	t.Helper()
	f := url.Values{}
	for n := 0; strings.Contains(body, `name="item`+strconv.Itoa(n)+`"`); n++ {
		for _, name := range []string{"item", "space", "locker", "best", "book"} {
			f.Set(name+strconv.Itoa(n), hidden(body, name+strconv.Itoa(n)))
		}
	}
	require.NotEmpty(t, f)
	return f
}

// rowOf is the number of an item's first row.
func rowOf(f url.Values, item string) string {
	for n := 0; f.Has("item" + strconv.Itoa(n)); n++ {
		if f.Get("item"+strconv.Itoa(n)) == item {
			return strconv.Itoa(n)
		}
	}
	return ""
}

// The cautions and the tables of safety read in English as the core has them:
// a translation has its original beside it, and neither is made milder.
func TestCautionsAreTheCores(t *testing.T) {
	t.Parallel()
	en := loadWords(nil)["en"]
	for key, text := range map[string]string{
		"caution.water": tankage.WaterCaution, "caution.gas": tankage.GasCaution, "caution.border": arrival.Caution, "caution.bait": pest.BaitCaution,
	} {
		require.Equal(t, text, en.Say(key), key)
	}
	for n, x := range tankage.GasNotes() {
		require.Equal(t, x, en.Say(numbered("gas.note", n)))
	}
	for n, x := range tankage.WaterNeeds() {
		require.Equal(t, x.About, en.Say(numbered("water.need", n)))
	}
	for n, x := range pest.Hints() {
		require.Equal(t, x, en.Say(numbered("pests.hint", n)))
	}
	for n, x := range pest.Treatments() {
		require.Equal(t, x.Name, en.Say(numbered("pests.treat.name", n)))
		require.Equal(t, x.How, en.Say(numbered("pests.treat.how", n)))
		require.Equal(t, x.Caution, en.Say(numbered("pests.treat.caution", n)))
	}
	for key := range en.text {
		if after, ok := strings.CutPrefix(key, "gas.note."); ok {
			n, err := strconv.Atoi(after)
			require.NoError(t, err)
			require.Less(t, n, len(tankage.GasNotes()))
		}
	}
}

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
func TestCountAfterAPassage(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	lived(t, svc)
	v := visit(t, serve(t, svc, Options{}))
	sheet := v.get("/aboard/count").body
	f := fields(t, sheet)
	require.Equal(t, 422, v.post("/aboard/count", f).status, "an empty sheet is no count")
	for item, mark := range map[string]string{"pasta_short": "ran out", "flour_white": "left over", "sugar_white": "spoilt", "rice_white": "hated"} {
		n := rowOf(f, item)
		require.NotEmpty(t, n, item)
		f.Set("mark"+n, mark)
	}
	n := rowOf(f, "flour_white")
	f.Set("amount"+n, "1,5 kg")
	f.Set("cause"+rowOf(f, "sugar_white"), "wet")
	f.Set("new0", "honey")
	f.Set("newamount0", "250 g")
	f.Set("newplace0", "bilge low")
	before, err := svc.Aboard(ctx, boatOf(t, svc).ID)
	require.NoError(t, err)
	done := v.post("/aboard/count", f)
	require.Equal(t, 200, done.status)
	for _, words := range []string{"The count is the book now", "It ran out", "It was left over", "thrown away", "Nobody liked it", "1.5 kg used"} {
		require.Contains(t, done.body, words)
	}
	lots, err := svc.Aboard(ctx, boatOf(t, svc).ID)
	require.NoError(t, err)
	have := map[string]float64{}
	for _, l := range lots.Value {
		have[string(l.Item)] += l.Quantity.Units()
	}
	require.InDelta(t, 1.5, have["flour_white"], 1e-9)
	require.Zero(t, have["pasta_short"]+have["sugar_white"])
	for _, l := range before.Value {
		if !slices.Contains([]string{"pasta_short", "flour_white", "sugar_white", "rice_white", "honey"}, string(l.Item)) {
			require.Positive(t, have[string(l.Item)], "%s was left empty, so it is as the book says", l.Item)
		}
	}
	file := v.get("/aboard/count.csv")
	require.Contains(t, file.header.Get("Content-Disposition"), "count.csv")
	require.Contains(t, file.body, "flour_white,forepeak shelves,=")
	require.Equal(t, 200, v.post("/aboard/count", url.Values{"csv_text": {file.body}}).status)
	bad := v.post("/aboard/count", url.Values{"csv_text": {"item,space,amount\nrice_white,attic,1 kg\n"}})
	require.Equal(t, 422, bad.status)
	require.Contains(t, bad.body, "line 2")
	wrong := fields(t, v.get("/aboard/count").body)
	wrong.Set("amount0", "a lot")
	again := v.post("/aboard/count", wrong)
	require.Equal(t, 422, again.status)
	require.Contains(t, again.body, `value="a lot"`)
}

// Passages counted are told in words, pooled over all food, and as a table.
func TestWhatWeReallyUse(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	require.Contains(t, v.get("/aboard/used").body, "Nothing is learned yet")
	boat := boatOf(t, svc)
	crews, err := svc.Crews(ctx)
	require.NoError(t, err)
	c := crews[0].Value
	for i := range c.Persons {
		c.Persons[i].Aboard = nil
	}
	_, err = svc.PutCrew(ctx, c, api.AnyRevision)
	require.NoError(t, err)
	count := func(ago calendar.Day, text string) {
		t.Helper()
		_, err := svc.Count(ctx, boat.ID, strings.NewReader("item,space,amount\n"+text), api.CountOptions{Day: svc.Today() - ago, Partial: true}, api.AnyRevision)
		require.NoError(t, err)
	}
	count(30, "rice_white,galley ready-use,20 kg\nonion,galley ready-use,9 kg\nsponges,galley ready-use,5\n")
	count(0, "rice_white,galley ready-use,19.5 kg\nonion,galley ready-use,2 kg\nsponges,galley ready-use,4\n")
	page := v.get("/aboard/used?days=1000").body
	require.Contains(t, page, "less over 1000 person-days")
	require.Contains(t, page, "the boat uses")
	require.Contains(t, page, "All food together")
	require.Contains(t, v.get("/aboard/used?days=x").body, "Want a plain number")
}

// Every page about what is aboard answers on a database with nothing in it, and
// on a boat that has no voyage.
func TestAboardWithNothing(t *testing.T) {
	t.Parallel()
	svc := empty(t)
	v := visit(t, serve(t, svc, Options{}))
	require.Contains(t, v.get("/aboard").body, "/start")
	for _, path := range []string{"lockers", "count", "used", "fridge", "border", "pests", "tanks", "log", "look-back", "stow", "come"} {
		require.Equal(t, 404, v.get("/aboard/"+path).status, path)
	}
	require.Equal(t, 200, v.get("/aboard/meals").status)
	_, err := svc.PutVessel(ctx, vessel.Vessel{ID: "v", Name: "V (invented)", Spaces: []vessel.Space{{ID: "port", Kind: vessel.Dry, Litres: 300}}}, api.AnyRevision)
	require.NoError(t, err)
	for _, path := range []string{"", "/lockers", "/count", "/log", "/look-back", "/come", "/tanks"} {
		require.Less(t, v.get("/aboard"+path).status, 500, path)
		require.NotEqual(t, 404, v.get("/aboard"+path).status, path)
	}
}

func TestLockersAreKeptAndGoodsStowed(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	require.Contains(t, v.get("/aboard/stow?stop=0").body, "No lockers are entered yet")
	bad := v.post("/aboard/lockers", url.Values{"revision": {"0"}, "name0": {"wine hole"}, "space0": {"bilge"}, "litres0": {"much"}})
	require.Equal(t, 422, bad.status)
	kept := v.post("/aboard/lockers", url.Values{
		"revision": {"0"}, "name0": {"wine hole"}, "space0": {"bilge"}, "litres0": {"60"}, "low0": {"1"}, "side0": {"port"}, "temp0": {"17,5"},
		"name1": {"rice bin"}, "space1": {"saloon port low"}, "litres1": {"80"}, "sea1": {"1"}, "name2": {""},
	})
	require.Contains(t, kept.body, "The lockers are kept")
	require.Contains(t, kept.body, "wine hole")
	require.Contains(t, v.get("/aboard/lockers").body, `value="17.5"`)
	stow := v.get("/aboard/stow?stop=0").body
	require.Contains(t, stow, "rice bin")
	require.Contains(t, stow, "limber holes")
	require.Equal(t, 404, v.get("/aboard/stow?stop=99").status)
}

func TestTheLogTeachesWaterAndGas(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	require.Contains(t, v.get("/aboard/tanks").body, "nothing was read yet")
	day := func(ago int) string { return (svc.Today() - calendar.Day(ago)).String() }
	crews, err := svc.Crews(ctx)
	require.NoError(t, err)
	c := crews[0].Value
	for i := range c.Persons {
		c.Persons[i].Aboard = nil
	}
	_, err = svc.PutCrew(ctx, c, api.AnyRevision)
	require.NoError(t, err)
	for _, e := range []url.Values{
		{"kind": {"water level"}, "amount": {"400"}, "day": {day(10)}}, {"kind": {"water level"}, "amount": {"250,5"}, "day": {day(1)}},
		{"kind": {"gas swap"}, "amount": {"6"}, "day": {day(0)}}, {"kind": {"condition"}, "item": {"onion"}, "note": {"sprouting"}},
		{"kind": {"wanted"}, "place": {"Mindelo"}, "note": {"fish hooks"}},
	} {
		require.Contains(t, v.post("/aboard/log", e).body, "Written into the log", e.Get("kind"))
	}
	require.Contains(t, v.get("/aboard/tanks").body, "as learned from 1 stretch")
	require.InDelta(t, 12, boatOf(t, svc).GasKg(), 7, "a cylinder came off empty")
	require.Equal(t, 422, v.post("/aboard/log", url.Values{"kind": {"whales"}}).status)
	require.Equal(t, 422, v.post("/aboard/log", url.Values{"kind": {"rain"}, "amount": {"some"}}).status)
	require.Contains(t, v.get("/aboard/log").body, "fish hooks")
	require.Contains(t, v.get("/aboard/tanks?days=abc").body, "Want a plain number")
}

func TestMealsBecomeAList(t *testing.T) {
	t.Parallel()
	v := visit(t, serve(t, empty(t), Options{}))
	page := v.get("/aboard/meals")
	require.Contains(t, page.body, "Lentil stew")
	list := v.post("/aboard/meals", url.Values{"meals": {meal.Example}, "people": {"4"}, "days": {"21"}, "prone": {"1"}, "ocean": {"1"}})
	require.Equal(t, 200, list.status)
	require.Contains(t, list.body, "kcal a person and day")
	bad := v.post("/aboard/meals", url.Values{"meals": {"Stew,,2,unobtainium,1 kg\n"}, "people": {"4"}, "days": {"21"}})
	require.Equal(t, 422, bad.status)
	require.Contains(t, bad.body, "unobtainium")
	require.Equal(t, 422, v.post("/aboard/meals", url.Values{"meals": {meal.Example}, "people": {"many"}, "days": {"21"}}).status)
}

// A border is never safer on the page than it was read, and an officer can read
// the sealed stores.
func TestTheNextBorder(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	lived(t, svc)
	v := visit(t, serve(t, svc, Options{}))
	page := v.get("/aboard/border").body
	require.Contains(t, page, "Declare everything; officers decide")
	options := regexp.MustCompile(`<option value="([A-Z0-9a-z-]+ \d{4}-\d\d-\d\d)"`).FindAllStringSubmatch(page, -1)
	require.NotEmpty(t, options)
	unknown := 0
	for _, o := range options {
		page := unescape(v.get("/aboard/border?to=" + url.QueryEscape(o[1])).body)
		require.Contains(t, page, "Ask:", o[1])
		require.Contains(t, page, "Stores to seal")
		if strings.Contains(page, "no rule read") {
			unknown++
			require.Contains(t, page, "Unknown – declare", o[1])
		}
	}
	require.Positive(t, unknown, "some country of the route has no rule read")
}
