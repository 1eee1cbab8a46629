package web

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/pricing/calendar"
)

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

func rowOf(f url.Values, item string) string {
	for n := 0; f.Has("item" + strconv.Itoa(n)); n++ {
		if f.Get("item"+strconv.Itoa(n)) == item {
			return strconv.Itoa(n)
		}
	}
	return ""
}

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
