package rest_test

import (
	"bytes"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"hardtack/api/rest"
)

// keel is a boat with a crew, a voyage and lockers; every answer below is held
// against the document by the client.
func keel(t *testing.T) (*client, string) {
	c := serve(t, rest.Options{})
	c.do("PUT", "/v1/vessels/mine", vessel()).want(http.StatusOK)
	c.do("PUT", "/v1/crews/c", crew()).want(http.StatusOK)
	const base = "/v1/vessels/mine/"
	first := c.do("PUT", base+"lockers", object{"lockers": []object{
		{"id": "rice bin", "space": "saloon", "litres": 20, "at_sea": true}, {"id": "under the stove", "space": "saloon", "hot": true, "temp_c": 33.5, "read_on": "2026-06-01"},
	}}).want(http.StatusOK)
	c.do("PUT", base+"lockers", object{"lockers": []object{}}, "If-Match", `"1"`).problem(http.StatusPreconditionFailed)
	c.do("GET", base+"lockers", nil, "If-None-Match", first.header.Get("ETag")).want(http.StatusNotModified)
	c.do("PUT", base+"lockers", object{"lockers": []object{{"id": "x", "space": "attic"}}}).problem(http.StatusUnprocessableEntity).at(t, "lockers[0].space")
	return c, base
}

func TestTheStoresBookOverHTTP(t *testing.T) {
	t.Parallel()
	c, base := keel(t)
	act := func(o object) answer { return c.do("POST", base+"moves", o) }
	act(object{"kind": "bought", "item": someItem, "amount": "5 kg", "to": "rice bin", "pack": "1 kg", "paid": "10.00", "currency": "EUR", "day": "2026-05-01"}).want(http.StatusOK)
	act(object{"kind": "used", "item": someItem, "amount": "1 kg"}).want(http.StatusOK)
	act(object{"kind": "spoilt", "item": someItem, "amount": "500 g", "cause": "wet"}).want(http.StatusOK)
	act(object{"kind": "given", "item": someItem, "amount": "500 g", "party": "ketch", "loan": true}).want(http.StatusOK)
	require.Contains(t, act(object{"kind": "used", "item": someItem, "amount": "50 kg"}).problem(http.StatusUnprocessableEntity).Errors[0].Problem, "3 kg there by the book")
	act(object{"kind": "used", "item": "unobtainium", "amount": "1 kg"}).problem(http.StatusUnprocessableEntity).at(t, "item")
	act(object{"kind": "spoilt", "item": someItem, "all": true}).problem(http.StatusUnprocessableEntity).at(t, "cause")

	var moves struct{ Moves []struct{ Kind string } }
	c.do("GET", base+"moves?from=2026-05-02", nil).want(http.StatusOK).into(&moves)
	require.Len(t, moves.Moves, 3)
	var spots struct{ Spots []struct{ Place string } }
	c.do("GET", base+"find?q=rice", nil).want(http.StatusOK).into(&spots)
	require.Equal(t, "rice bin", spots.Spots[0].Place)
	c.do("PUT", base+"aboard/count?crew=c&day=2026-06-01", "item,locker,amount,mark\n"+someItem+",rice bin,2 kg,left over\n", "Content-Type", "text/csv").want(http.StatusOK)
	c.do("PUT", base+"aboard/count?day=2027-06-01", "item,locker,amount\n", "Content-Type", "text/csv").problem(http.StatusUnprocessableEntity)
	c.do("GET", base+"usage?person_days=300", nil).want(http.StatusOK)
	c.do("GET", base+"usage?person_days=-1", nil).problem(http.StatusUnprocessableEntity)

	var review struct {
		Spent float64
		Words []string
	}
	c.do("GET", base+"review", nil).want(http.StatusOK).into(&review)
	require.InDelta(t, 10, review.Spent, 1e-9)
	require.NotEmpty(t, review.Words)
	require.Contains(t, string(c.do("GET", base+"ledger", nil).want(http.StatusOK).body), `"they_owe":500000`)
	require.Contains(t, string(c.do("GET", base+"export?table=book", nil).want(http.StatusOK).body), "bought,"+someItem)
	c.do("GET", base+"export?table=none", nil).problem(http.StatusUnprocessableEntity)
	f, err := excelize.OpenReader(bytes.NewReader(c.do("GET", base+"export", nil).want(http.StatusOK).body))
	require.NoError(t, err)
	require.Len(t, f.GetSheetList(), 8)
}

func TestTheGalleyOverHTTP(t *testing.T) {
	t.Parallel()
	c, base := keel(t)
	for _, o := range []object{
		{"kind": "bought", "item": "flour_white", "amount": "2 kg", "to": "rice bin"},
		{"kind": "bought", "item": "tomato_ripe", "amount": "1 kg", "to": "saloon", "day": "2026-06-08"},
		{"kind": "bought", "item": "honey", "amount": "500 g", "to": "saloon"},
	} {
		c.do("POST", base+"moves", o).want(http.StatusOK)
	}
	for _, e := range []object{
		{"kind": "water level", "amount": 300, "day": "2026-06-01"}, {"kind": "water level", "amount": 240, "day": "2026-06-09"},
		{"kind": "temperature", "amount": 36, "place": "rice bin"}, {"kind": "pest", "item": "flour_white", "note": "weevils"},
	} {
		c.do("POST", base+"log", e).want(http.StatusOK)
	}
	c.do("POST", base+"log", object{"kind": "temperature", "amount": 99}).problem(http.StatusUnprocessableEntity)
	require.Contains(t, string(c.do("GET", base+"log", nil).want(http.StatusOK).body), "weevils")
	require.Contains(t, string(c.do("GET", base+"lockers", nil).want(http.StatusOK).body), `"temp_c":36`, "a reading is the locker's")

	first := string(c.do("GET", base+"use-first?port=PTHOR&days=20", nil).want(http.StatusOK).body)
	require.Contains(t, first, "tomato_ripe")
	require.Contains(t, first, "when in doubt, throw it out")
	c.do("GET", base+"use-first", nil).problem(http.StatusUnprocessableEntity)
	require.Contains(t, string(c.do("GET", base+"fridge-off?port=PTHOR&hours=3", nil).want(http.StatusOK).body), "when in doubt, throw it out")
	list := string(c.do("GET", base+"arrival?from=x-neiafu&to=NZAKL&on=2026-06-25", nil).want(http.StatusOK).body)
	require.Contains(t, list, "refused")
	require.Contains(t, list, "Declare everything")
	water := string(c.do("GET", base+"water?days=20&ocean=true&made=5", nil).want(http.StatusOK).body)
	require.Contains(t, water, "Never let chlorinated water reach the watermaker")
	require.Contains(t, string(c.do("GET", base+"gas?days=20", nil).want(http.StatusOK).body), "licensed fitter")
	require.Contains(t, string(c.do("GET", base+"pests?port=PTHOR", nil).want(http.StatusOK).body), "poisons")
	c.do("GET", base+"pests?port=PTHOR&lot=none", nil).problem(http.StatusUnprocessableEntity)
	c.do("GET", base+"stow", nil).problem(http.StatusUnprocessableEntity)
	for _, path := range []string{"lockers", "moves", "usage", "water?days=3", "review", "ledger", "log", "export", "find?q=x"} {
		c.do("GET", "/v1/vessels/nobody/"+path, nil).problem(http.StatusNotFound)
	}
}
