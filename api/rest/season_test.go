package rest_test

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
)

// ready is a server with a boat, a crew and a voyage.
func ready(t *testing.T) *client {
	t.Helper()
	c := serve(t, rest.Options{})
	c.do("PUT", "/v1/vessels/mine", vessel()).want(http.StatusOK)
	c.do("PUT", "/v1/crews/us", crew()).want(http.StatusOK)
	c.do("PUT", "/v1/voyages/go", voyage()).want(http.StatusOK)
	return c
}

// From nothing but a boat, a crew and a voyage to the lists, over HTTP.
func TestFromVoyageToLists(t *testing.T) {
	t.Parallel()
	c := ready(t)
	var it struct {
		Calls []object
		Ways  []struct {
			DistanceNM float64 `json:"distance_nm"`
		}
	}
	c.do("GET", "/v1/voyages/go/itinerary", nil).want(http.StatusOK).into(&it)
	require.Len(t, it.Calls, 2)
	require.InDelta(t, 4.5, it.Ways[0].DistanceNM, 2) // Horta to Madalena is some 4 to 5 miles, common knowledge there

	c.do("GET", "/v1/voyages/go/plan", nil).problem(http.StatusNotFound)
	c.do("GET", "/v1/voyages/go/list", nil).problem(http.StatusNotFound)
	var b api.Briefed
	c.do("GET", "/v1/voyages/go/brief", nil).want(http.StatusOK).into(&b)
	require.NotEmpty(t, b.Brief.Needs)

	var made, kept api.Planned
	a := c.do("POST", "/v1/voyages/go/plan", object{"seconds": 0.2}).want(http.StatusOK).into(&made)
	require.NotEmpty(t, made.Plan.Purchases)
	require.Len(t, made.Habits, 3)
	b2 := c.do("GET", "/v1/voyages/go/plan", nil).want(http.StatusOK).into(&kept)
	require.Equal(t, a.header.Get("ETag"), b2.header.Get("ETag"))
	require.Equal(t, made, kept)

	var lists struct{ Lists []struct{ Stop int } }
	c.do("GET", "/v1/voyages/go/list", nil).want(http.StatusOK).into(&lists)
	require.NotEmpty(t, lists.Lists)
	c.do("GET", "/v1/voyages/go/list?stop=0", nil).want(http.StatusOK).into(&lists)
	require.Len(t, lists.Lists, 1)
	c.do("GET", "/v1/voyages/go/list?stop=99", nil).problem(http.StatusNotFound)
	require.NotEmpty(t, c.do("GET", "/v1/voyages/go/list?format=text", nil).want(http.StatusOK).body)
	page := c.do("GET", "/v1/voyages/go/list?format=html", nil).want(http.StatusOK)
	require.True(t, strings.HasPrefix(string(page.body), "<!"), "%.100s", page.body)
	c.do("GET", "/v1/voyages/go/list?format=pdf", nil).problem(http.StatusUnprocessableEntity)

	c.do("POST", "/v1/voyages/go/plan", object{"seconds": 1e6}).problem(http.StatusUnprocessableEntity).at(t, "seconds")
	c.do("POST", "/v1/voyages/none/plan", object{}).problem(http.StatusNotFound)
}

func TestAhead(t *testing.T) {
	t.Parallel()
	c := ready(t)
	var a struct{ Here, Ahead []object }
	c.do("GET", "/v1/voyages/go/ahead?item="+someItem, nil).want(http.StatusOK).into(&a)
	require.NotEmpty(t, a.Ahead)
	c.do("GET", "/v1/voyages/go/ahead?item=unobtainium", nil).problem(http.StatusNotFound)
	c.do("GET", "/v1/voyages/go/ahead?need=unobtainium", nil).problem(http.StatusNotFound)
	c.do("GET", "/v1/voyages/go/ahead?from=7&item="+someItem, nil).problem(http.StatusNotFound)
	c.do("GET", "/v1/voyages/go/ahead", nil).problem(http.StatusUnprocessableEntity)
}

func TestSettings(t *testing.T) {
	t.Parallel()
	c := ready(t)
	const path = "/v1/voyages/go/settings"
	first := c.do("GET", path, nil).want(http.StatusOK).header.Get("ETag")
	set := object{"vessel": "mine", "crew": "us", "wishes": []object{{"item": someItem, "port": "PTHOR", "least": 3}}, "options": object{"end_days": 3}}
	second := c.do("PUT", path, set, "If-Match", first).want(http.StatusOK).header.Get("ETag")
	c.do("PUT", path, object{}, "If-Match", first).problem(http.StatusPreconditionFailed)
	require.Equal(t, second, c.do("GET", path, nil).want(http.StatusOK).header.Get("ETag"))
	for path1, bad := range map[string]object{
		"vessel":          with(set, "vessel", "yours"),
		"crew":            with(set, "crew", "them"),
		"wishes[0].item":  with(set, "wishes", []object{{"item": "unobtainium", "never": true}}),
		"wishes[0].port":  with(set, "wishes", []object{{"item": someItem, "least": 1}}),
		"wishes[0].least": with(set, "wishes", []object{{"item": someItem, "port": "PTHOR"}}),
	} {
		c.do("PUT", path, bad).problem(http.StatusUnprocessableEntity).at(t, path1)
	}
	c.do("GET", "/v1/voyages/none/settings", nil).problem(http.StatusNotFound)
	c.do("DELETE", "/v1/voyages/go", nil).want(http.StatusNoContent)
	c.do("PUT", "/v1/voyages/go", voyage()).want(http.StatusOK)
	require.NotEqual(t, second, c.do("GET", path, nil).want(http.StatusOK).header.Get("ETag"), "gone with the voyage")
}

func TestWithoutABoatThereIsNoPlan(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	c.do("PUT", "/v1/voyages/go", voyage()).want(http.StatusOK)
	c.do("POST", "/v1/voyages/go/plan", object{}).problem(http.StatusUnprocessableEntity).at(t, "vessel")
	c.do("PUT", "/v1/vessels/a", vessel()).want(http.StatusOK)
	c.do("PUT", "/v1/vessels/b", vessel()).want(http.StatusOK)
	c.do("POST", "/v1/voyages/go/plan", object{}).problem(http.StatusUnprocessableEntity).at(t, "vessel")
	c.do("PUT", "/v1/voyages/go/settings", object{"vessel": "a"}).want(http.StatusOK)
	c.do("POST", "/v1/voyages/go/plan", object{}).problem(http.StatusUnprocessableEntity).at(t, "crew")
}

func TestVoyageFromGPX(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	gpx := `<?xml version="1.0"?><gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1"><rte><name>r</name>` +
		`<rtept lat="38.53" lon="-28.62"/><rtept lat="38.536" lon="-28.533"/></rte></gpx>`
	var got struct {
		Voyage object
		Notes  []string
	}
	c.do("POST", "/v1/voyages/from-gpx", gpx, "Content-Type", "application/gpx+xml").want(http.StatusOK).into(&got)
	require.NotEmpty(t, got.Voyage["stops"])
	for _, bad := range []string{"", "<gpx>", "not xml", strings.Replace(gpx, "38.53", "NaN", 1), strings.Repeat("<a>", 100_000)} {
		c.do("POST", "/v1/voyages/from-gpx", bad, "Content-Type", "application/gpx+xml").problem(http.StatusUnprocessableEntity)
	}
}
