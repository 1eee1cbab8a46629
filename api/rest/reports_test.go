package rest_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/api/rest"
)

func TestAReportIsRecordedOnce(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	path := "/v1/reports/" + id(1)
	var first, again api.Entry
	c.do("PUT", path, coffee()).want(http.StatusCreated).into(&first)
	require.Equal(t, id(1), first.ID)
	require.Equal(t, "250 g", first.Pack)
	c.do("PUT", path, coffee()).want(http.StatusOK).into(&again)
	require.Equal(t, first, again)
	c.do("PUT", path, first).want(http.StatusOK) // what was read can be sent back
	p := c.do("PUT", path, with(coffee(), "amount", "5.00")).problem(http.StatusConflict)
	require.Contains(t, p.Detail, id(1))
	var kept api.Entry
	a := c.do("GET", path, nil).want(http.StatusOK).into(&kept)
	require.Equal(t, first, kept)
	c.do("GET", path, nil, "If-None-Match", a.header.Get("ETag")).want(http.StatusNotModified)
	c.do("GET", "/v1/reports/"+id(2), nil).problem(http.StatusNotFound)
}

func TestManyReportsAllOrNone(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	batch := func(rs ...object) object { return object{"reports": rs} }
	var done api.Recorded
	c.do("POST", "/v1/reports", batch(with(coffee(), "id", id(1)), with(coffee(), "id", id(2)))).want(http.StatusCreated).into(&done)
	require.Equal(t, api.Recorded{IDs: []string{id(1), id(2)}, New: 2}, done)
	c.do("POST", "/v1/reports", batch(with(coffee(), "id", id(1)), with(coffee(), "id", id(2)))).want(http.StatusOK).into(&done)
	require.Equal(t, 2, done.Same)

	p := c.do("POST", "/v1/reports", batch(coffee(), with(coffee(), "port", "Hortta"))).problem(http.StatusUnprocessableEntity)
	require.NotEmpty(t, p.at(t, "reports[1].port").Nearest)
	c.do("POST", "/v1/reports", batch()).problem(http.StatusUnprocessableEntity)
	require.Len(t, reports(c, ""), 2)
}

func reports(c *client, query string) []api.Entry {
	c.t.Helper()
	var page struct{ Reports []api.Entry }
	c.do("GET", "/v1/reports"+query, nil).want(http.StatusOK).into(&page)
	return page.Reports
}

func TestAReceiptAllOrNone(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	receipt := object{
		"id": id(9), "port": "PTHOR", "day": "2026-06-01", "currency": "EUR", "shop": "by the quay", "reporter": "r1",
		"lines": []object{{"item": someItem, "amount": "1.99", "pack": "1 kg"}, {"item": someMilk, "found": "none"}},
	}
	var done, again api.Recorded
	c.do("POST", "/v1/receipts", receipt).want(http.StatusCreated).into(&done)
	require.Equal(t, 2, done.New)
	c.do("POST", "/v1/receipts", receipt).want(http.StatusOK).into(&again)
	require.Equal(t, done.IDs, again.IDs)
	bad := with(receipt, "id", id(10), "lines", []object{{"item": someItem, "amount": "1.99", "pack": "1 kg"}, {"item": someMilk, "amount": "1", "pack": "1 kg"}})
	c.do("POST", "/v1/receipts", bad).problem(http.StatusUnprocessableEntity).at(t, "lines[1].pack")
	require.Len(t, reports(c, ""), 2)
}

func TestCorrectAndWithdraw(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	c.do("PUT", "/v1/reports/"+id(1), coffee()).want(http.StatusCreated)
	c.do("PUT", "/v1/reports/"+id(2), with(coffee(), "amount", "4.94", "replaces", id(1))).want(http.StatusCreated)
	require.Len(t, reports(c, "?standing=true"), 1)
	c.do("PUT", "/v1/reports/"+id(3), with(coffee(), "reporter", "r2", "replaces", id(2))).problem(http.StatusUnprocessableEntity).at(t, "replaces")
	c.do("PUT", "/v1/reports/"+id(3), with(coffee(), "replaces", id(77))).problem(http.StatusUnprocessableEntity).at(t, "replaces")
	c.do("PUT", "/v1/reports/"+id(3), with(coffee(), "replaces", id(3))).problem(http.StatusUnprocessableEntity).at(t, "replaces")

	take := object{"reporter": "r1", "day": "2026-06-02"}
	c.do("POST", "/v1/reports/"+id(2)+"/withdrawal", with(take, "reporter", "r9")).problem(http.StatusUnprocessableEntity)
	c.do("POST", "/v1/reports/"+id(2)+"/withdrawal", take).want(http.StatusCreated)
	c.do("POST", "/v1/reports/"+id(2)+"/withdrawal", take).want(http.StatusOK)
	c.do("POST", "/v1/reports/"+id(55)+"/withdrawal", take).problem(http.StatusNotFound)
	require.Empty(t, reports(c, "?standing=true"))
	require.Len(t, reports(c, ""), 3)
}

func TestPagesByLink(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	var batch []object
	for i := range 25 {
		batch = append(batch, with(coffee(), "id", id(i), "day", fmt.Sprintf("2026-05-%02d", 1+i%9)))
	}
	c.do("POST", "/v1/reports", object{"reports": batch}).want(http.StatusCreated)
	seen := map[string]bool{}
	path, pages := "/v1/reports?limit=10&port=PTHOR", 0
	for path != "" {
		a := c.do("GET", path, nil).want(http.StatusOK)
		var page struct{ Reports []api.Entry }
		a.into(&page)
		for _, r := range page.Reports {
			require.False(t, seen[r.ID])
			seen[r.ID] = true
		}
		pages++
		link := a.header.Get("Link")
		path, _, _ = strings.Cut(strings.TrimPrefix(link, "<"), ">")
		require.True(t, link == "" || strings.HasSuffix(link, `; rel="next"`), link)
	}
	require.Len(t, seen, 25)
	require.Equal(t, 3, pages)
}

// Each is refused with its place and what was expected there.
func TestBadReports(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	for _, tt := range []struct {
		name string
		body object
		path string
		says string // part of the problem or of the nearest names
	}{
		{"unknown port", with(coffee(), "port", "Hortta"), "port", "PTHOR (Horta, PT)"},
		{"unknown item", with(coffee(), "item", "rice_whit"), "item", "rice_white"},
		{"future day", with(coffee(), "day", "2026-06-17"), "day", "today is 2026-06-15"},
		{"no day", with(coffee(), "day", ""), "day", "YYYY-MM-DD"},
		{"long ago", with(coffee(), "day", "1970-01-02"), "day", "1990"},
		{"negative", with(coffee(), "amount", "-1"), "amount", "decimal"},
		{"nothing paid", with(coffee(), "amount", "0"), "amount", "more than 0"},
		{"not a number", with(coffee(), "amount", "NaN"), "amount", "decimal"},
		{"infinite", with(coffee(), "amount", "Inf"), "amount", ""},
		{"no amount", with(coffee(), "amount", nil), "amount", "decimal"},
		{"huge", with(coffee(), "amount", "99999999999999999999999"), "amount", ""},
		{"unknown currency", with(coffee(), "currency", "ZZZ"), "currency", "ISO 4217"},
		{"no currency", with(coffee(), "currency", nil), "currency", "ISO 4217"},
		{"currency without a rate", with(coffee(), "currency", "KPW"), "currency", "rate"},
		{"wrong unit", with(coffee(), "pack", "2 l"), "pack", "g, kg, oz or lb"},
		{"no pack", with(coffee(), "pack", nil), "pack", ""},
		{"pack of nothing", with(coffee(), "pack", "0 g"), "pack", ""},
		{"huge pack", with(coffee(), "pack", "1000000 kg"), "pack", ""},
		{"price without yes", with(coffee(), "found", "none", "currency", nil, "pack", nil), "amount", "unless found is yes"},
		{"unknown word", with(coffee(), "found", "maybe", "amount", nil, "currency", nil, "pack", nil), "found", "yes, none"},
		{"withdraws nothing", with(coffee(), "found", "", "amount", nil, "currency", nil, "pack", nil), "found", "replaces"},
		{"nobody", with(coffee(), "reporter", ""), "reporter", "who reports"},
		{"unknown source", with(coffee(), "source", "hearsay"), "source", "receipt, shelf or memory"},
		{"quality", with(coffee(), "quality", 6), "quality", "1 (poor)"},
		{"origin", with(coffee(), "origin", "Brazil"), "origin", "ISO 3166-1"},
		{"long note", with(coffee(), "note", strings.Repeat("é", 2001)), "note", "at most 2000"},
		{"control character", with(coffee(), "shop", "a\u0000b"), "shop", "control"},
		{"id of another path", with(coffee(), "id", id(2)), "id", "id of the path"},
	} {
		p := c.do("PUT", "/v1/reports/"+id(1), tt.body).problem(http.StatusUnprocessableEntity)
		f := p.at(t, tt.path)
		require.Contains(t, f.Problem+strings.Join(f.Nearest, " "), tt.says, tt.name)
	}
	c.do("PUT", "/v1/reports/1", coffee()).problem(http.StatusUnprocessableEntity).at(t, "id")
	require.Empty(t, reports(c, ""))
}

func TestEveryFaultIsTold(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	p := c.do("PUT", "/v1/reports/"+id(1), object{"port": "x", "item": "x", "day": "2027-01-01", "found": "yes", "reporter": ""}).problem(http.StatusUnprocessableEntity)
	require.GreaterOrEqual(t, len(p.Errors), 6, "%+v", p.Errors)
}

func TestQueriesAreReadStrictly(t *testing.T) {
	t.Parallel()
	c := serve(t, rest.Options{})
	for _, q := range []string{
		"?limit=0", "?limit=1001", "?limit=x", "?limit=1e2", "?limit=-1", "?since=yesterday", "?since=2026-02-30", "?standing=yes",
		"?prot=PTHOR", "?port=a&port=b", "?after=x", "?after=" + strings.Repeat("A", 500), "?port=%ff", "?port=%00", "?port=%zz", "?a;b",
	} {
		c.do("GET", "/v1/reports"+q, nil).problem(http.StatusUnprocessableEntity)
	}
}
