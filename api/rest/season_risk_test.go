package rest_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestRiskAndReplan(t *testing.T) {
	t.Parallel()
	c := ready(t)
	const risk, replan = "/v1/voyages/go/risk", "/v1/voyages/go/replan"
	c.do("POST", risk, object{}).problem(http.StatusNotFound)
	c.do("POST", replan, object{}).problem(http.StatusNotFound)
	c.do("POST", "/v1/voyages/go/plan", object{"seconds": 0.2, "careful": true}).want(http.StatusOK)
	made := c.do("GET", "/v1/voyages/go/plan", nil).want(http.StatusOK).header.Get("ETag")

	var r struct {
		Report struct{ Needs []object }
	}
	c.do("POST", risk, object{"walks": 20, "remedies": 1, "chances": []float64{0.9}, "wish": 0.9}).want(http.StatusOK).into(&r)
	require.NotEmpty(t, r.Report.Needs)
	c.do("POST", risk, object{"walks": 1e6}).problem(http.StatusUnprocessableEntity).at(t, "walks")
	c.do("POST", risk, object{"chances": []float64{2}}).problem(http.StatusUnprocessableEntity).at(t, "chances[0]")
	c.do("POST", risk, object{"wish": 2}).problem(http.StatusUnprocessableEntity).at(t, "wish")
	c.do("POST", risk, object{"luck": 1}).problem(http.StatusBadRequest)

	var d struct {
		Accepted   bool
		Difference struct{ Words []string }
	}
	ask := object{"day": "2026-07-03", "as_planned": true, "work": 1000}
	c.do("POST", replan, ask).want(http.StatusOK).into(&d)
	require.False(t, d.Accepted)
	require.NotEmpty(t, d.Difference.Words)
	require.Equal(t, made, c.do("GET", "/v1/voyages/go/plan", nil).want(http.StatusOK).header.Get("ETag"))
	c.do("POST", replan, with(ask, "accept", true)).want(http.StatusOK)
	require.NotEqual(t, made, c.do("GET", "/v1/voyages/go/plan", nil).want(http.StatusOK).header.Get("ETag"))
	c.do("POST", replan, with(ask, "day", "2030-01-01")).problem(http.StatusUnprocessableEntity)
	c.do("POST", replan, with(ask, "lost", []string{"attic"})).problem(http.StatusUnprocessableEntity)
	c.do("POST", replan, with(ask, "work", 1e9)).problem(http.StatusUnprocessableEntity).at(t, "work")
}

func TestWorth(t *testing.T) {
	t.Parallel()
	c := ready(t)
	const path = "/v1/voyages/go/worth?item="
	c.do("GET", path+someItem, nil).problem(http.StatusNotFound)
	c.do("POST", "/v1/voyages/go/plan", object{"seconds": 0.2}).want(http.StatusOK)
	var w struct{ Rungs []object }
	c.do("GET", path+"rice_white", nil).want(http.StatusOK).into(&w)
	require.NotEmpty(t, w.Rungs)
	c.do("GET", path+"unobtainium", nil).problem(http.StatusNotFound)
	c.do("GET", path+"rice_white&stop=99", nil).problem(http.StatusNotFound)
	c.do("GET", path, nil).problem(http.StatusUnprocessableEntity).at(t, "item")
}

func TestFed(t *testing.T) {
	t.Parallel()
	c := ready(t)
	const path = "/v1/voyages/go/fed"
	c.do("GET", path, nil).problem(http.StatusNotFound)
	c.do("POST", "/v1/voyages/go/plan", object{"seconds": 0.2}).want(http.StatusOK)
	var f struct {
		Parts, Persons []object
		Cautions       []string
	}
	c.do("GET", path, nil).want(http.StatusOK).into(&f)
	require.NotEmpty(t, f.Parts)
	require.NotEmpty(t, f.Persons)
	require.Contains(t, f.Cautions[0], "not advice on health")
}
