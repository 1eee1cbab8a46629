package web

import (
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/route/meal"
	"hardtack/route/vessel"
)

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
