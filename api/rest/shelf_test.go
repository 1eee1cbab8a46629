package rest_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
)

// At the shelf over HTTP: steps first, then the real price.
func TestShelf(t *testing.T) {
	t.Parallel()
	c := ready(t)
	const path = "/v1/voyages/go/shelf"
	c.do("GET", path+"?item="+someItem, nil).problem(http.StatusNotFound)
	c.do("POST", "/v1/voyages/go/plan", object{"work": 20_000}).want(http.StatusOK)

	var x api.Shelf
	c.do("GET", path+"?item="+someItem, nil).want(http.StatusOK).into(&x)
	require.NotEmpty(t, x.Steps)
	var other api.Shelf
	c.do("GET", path+"?item="+someItem+"&pack=1.7+kg", nil).want(http.StatusOK).into(&other)
	require.Equal(t, 1.7, other.Pack)
	require.Zero(t, other.Expected)
	c.do("GET", path+"?item=unobtainium", nil).problem(http.StatusNotFound)
	c.do("GET", path+"?item="+someItem+"&stop=7", nil).problem(http.StatusNotFound)
	c.do("GET", path+"?item="+someItem+"&pack=sack", nil).problem(http.StatusUnprocessableEntity).at(t, "pack")
	c.do("GET", path, nil).problem(http.StatusUnprocessableEntity).at(t, "item")

	met := func(price string) object { return object{"item": someItem, "price": price} }
	var dear, cheap api.Repriced
	c.do("POST", path, object{"prices": []object{met("99")}}).want(http.StatusOK).into(&dear)
	require.Zero(t, dear.Take)
	require.NotEmpty(t, dear.Words)
	c.do("POST", path, object{"prices": []object{met("99"), met("0.01")}, "whole": true, "work": 500}).want(http.StatusOK).into(&cheap)
	require.Positive(t, cheap.Take)
	require.NotNil(t, cheap.Whole)

	c.do("POST", path, object{"prices": []object{met("free")}}).problem(http.StatusUnprocessableEntity).at(t, "prices[0].price")
	c.do("POST", path, object{"prices": []object{met("1"), with(met("1"), "currency", "E")}}).problem(http.StatusUnprocessableEntity).at(t, "prices[1].currency")
	c.do("POST", path, object{"prices": []object{}}).problem(http.StatusUnprocessableEntity).at(t, "prices")
	c.do("POST", path, object{"prices": []object{met("1")}, "work": -1}).problem(http.StatusUnprocessableEntity).at(t, "work")
	c.do("POST", path, object{"prices": []object{met("1")}, "stop": 7}).problem(http.StatusNotFound)
	c.do("POST", "/v1/voyages/none/shelf", object{"prices": []object{met("1")}}).problem(http.StatusNotFound)
}

func TestWhatBindsOverHTTP(t *testing.T) {
	t.Parallel()
	c := ready(t)
	const path = "/v1/voyages/go/binds"
	c.do("POST", path, object{}).problem(http.StatusNotFound)
	c.do("POST", "/v1/voyages/go/plan", object{"work": 20_000}).want(http.StatusOK)
	var x api.Bindings
	c.do("POST", path, object{"work": 300}).want(http.StatusOK).into(&x)
	require.Equal(t, 300, x.Work)
	require.NotNil(t, x.Binds)
	c.do("POST", path, object{"work": -1}).problem(http.StatusUnprocessableEntity).at(t, "work")
}
