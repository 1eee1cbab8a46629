package rest_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api/rest"
)

func TestPortsByNameAndPlace(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	first := func(path string) string {
		var in struct{ Ports []struct{ ID string } }
		c.do("GET", path, nil).want(http.StatusOK).into(&in)
		require.NotEmpty(t, in.Ports, path)
		return in.Ports[0].ID
	}
	require.Equal(t, "PTHOR", first("/v1/ports?q=horta"))
	require.Equal(t, "PTHOR", first("/v1/ports?near=38.53,-28.62"))
	var all struct{ Ports []object }
	c.do("GET", "/v1/ports?limit=2000", nil).want(http.StatusOK).into(&all)
	require.GreaterOrEqual(t, len(all.Ports), 300)
	for _, bad := range []string{"91,0", "NaN,NaN", "1", "1,2,3", "a,b", ",", "1e999,0"} {
		c.do("GET", "/v1/ports?near="+bad, nil).problem(http.StatusUnprocessableEntity)
	}
	p := c.do("GET", "/v1/ports/Hortta", nil).problem(http.StatusNotFound)
	require.Contains(t, p.Detail, "PTHOR")
}

func TestAPortOfOnesOwn(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	cove := object{"name": "Hidden Cove (invented)", "country": "PT", "position": object{"lat": 38.40, "lon": -28.05}, "approach": object{"lat": 38.36, "lon": -28.05}, "size": "village"}
	path := "/v1/ports/own-cove"
	c.do("PUT", path, cove).want(http.StatusOK)
	c.do("PUT", "/v1/reports/"+id(1), with(coffee(), "port", "own-cove")).want(http.StatusCreated)
	c.do("PUT", "/v1/ports/PTHOR", with(cove, "name", "Mine")).problem(http.StatusConflict)
	for name, bad := range map[string]object{
		"nowhere":    with(cove, "position", object{"lat": 138, "lon": 0}),
		"no name":    with(cove, "name", ""),
		"no country": with(cove, "country", "Portugal"),
	} {
		require.NotEmpty(t, c.do("PUT", "/v1/ports/own-b", bad).problem(http.StatusUnprocessableEntity).Errors, name)
	}
	c.do("DELETE", path, nil).want(http.StatusNoContent)
	c.do("GET", path, nil).problem(http.StatusNotFound)
	c.do("DELETE", "/v1/ports/PTHOR", nil).problem(http.StatusNotFound)
}

func TestItems(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	var all struct{ Items []object }
	c.do("GET", "/v1/items", nil).want(http.StatusOK).into(&all)
	require.GreaterOrEqual(t, len(all.Items), 200)
	c.do("GET", "/v1/items/"+someItem, nil).want(http.StatusOK)
	c.do("GET", "/v1/items/unobtainium", nil).problem(http.StatusNotFound)
}

func TestRates(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	rate := func(currency string) float64 {
		var in struct {
			Reference string
			Rates     []struct {
				Currency     string
				PerReference float64 `json:"per_reference"`
			}
		}
		c.do("GET", "/v1/rates", nil).want(http.StatusOK).into(&in)
		require.Equal(t, "EUR", in.Reference)
		for _, r := range in.Rates {
			if r.Currency == currency {
				return r.PerReference
			}
		}
		return 0
	}
	require.Zero(t, rate("KPW"))
	c.do("PUT", "/v1/reports/"+id(1), with(coffee(), "currency", "KPW", "amount", "100")).problem(http.StatusUnprocessableEntity).at(t, "currency")
	c.do("PUT", "/v1/rates/KPW/2026-01-01", object{"per_reference": 987.5, "source": "invented"}).want(http.StatusOK)
	require.Equal(t, 987.5, rate("KPW"))
	c.do("PUT", "/v1/reports/"+id(1), with(coffee(), "currency", "KPW", "amount", "100")).want(http.StatusCreated)
	c.do("PUT", "/v1/rates/GBP/2026-06-15", object{"per_reference": 0.5}).want(http.StatusOK)
	require.Equal(t, 0.5, rate("GBP"), "the newest holds, whoever gave it")
	for path, bad := range map[string]float64{
		"KPW/2026-01-01": 0, "KPW/2026-01-02": -1, "ZZZ/2026-01-01": 1, "KPW/2030-01-01": 1, "KPW/tomorrow": 1, "EUR/2026-01-01": 2,
	} {
		c.do("PUT", "/v1/rates/"+path, object{"per_reference": bad}).problem(http.StatusUnprocessableEntity)
	}
}

func TestEstimates(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	type estimate struct {
		Port, Item, Basis                         string
		Price, Low80, High80, Available, Evidence float64
	}
	ask := func(path string) []estimate {
		var in struct{ Estimates []estimate }
		c.do("GET", "/v1/estimates"+path, nil).want(http.StatusOK).into(&in)
		return in.Estimates
	}
	fresh := ask("?port=PTHOR&port=ESLPA&item=" + someItem + "&item=" + someMilk)
	require.Len(t, fresh, 4)
	for _, e := range fresh {
		require.Equal(t, "guess", e.Basis, "nobody has reported yet")
		require.Less(t, e.Low80, e.Price)
		require.Greater(t, e.High80, e.Price)
	}
	var batch []object
	for i := range 8 {
		batch = append(batch, with(coffee(), "id", id(i), "amount", "5.00", "pack", "1 kg", "reporter", id(100+i)))
	}
	c.do("POST", "/v1/reports", object{"reports": batch}).want(http.StatusCreated)
	after := ask("?port=PTHOR&item=" + someItem)
	require.NotEqual(t, "guess", after[0].Basis)
	require.Greater(t, after[0].Price, fresh[0].Price, "eight receipts of 5.00 a kilo are heard")
	var posted struct{ Estimates []estimate }
	c.do("POST", "/v1/estimates", object{"pairs": []object{{"port": "PTHOR", "item": someItem}}}).want(http.StatusOK).into(&posted)
	require.Equal(t, after, posted.Estimates)
	c.do("GET", "/v1/estimates?port=nowhere&item="+someItem, nil).problem(http.StatusUnprocessableEntity)
	c.do("GET", "/v1/estimates?port=PTHOR", nil).problem(http.StatusUnprocessableEntity)
}
