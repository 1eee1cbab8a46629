package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"hardtack/pricing"
)

func TestPricesAreFoundByAnySpelling(t *testing.T) {
	t.Parallel()
	v := visit(t, serve(t, invented(t), Options{}))
	page := v.get(demoVoyage + "/prices?q=" + url.QueryEscape("flowr"))
	require.Equal(t, http.StatusOK, page.status)
	require.Contains(t, page.body, "Flour")
	page = v.get(demoVoyage + "/prices?q=zzzzzzzz")
	require.Contains(t, page.body, "Nothing in the catalogue is like")
	page = v.get(demoVoyage + "/ahead?item=ric&from=1")
	require.Contains(t, page.body, "Rice")
	require.Contains(t, page.body, "Las Palmas")
}

func TestReportsByReceipt(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	path := demoVoyage + "/report"
	form := fieldsOf(t, v.get(path+"?port=GDSTG").body, path)
	form.Set("item0", "long-grain")
	form.Set("price0", "4,50")
	form.Set("item1", "cheese")
	form.Set("price1", "9.9")
	form.Set("item2", "egg_unwashed")
	form.Set("none2", "1")
	form.Set("source", "shelf")
	form.Set("shop", "<b>Market</b>")
	page := v.post(path, form)
	require.Equal(t, http.StatusUnprocessableEntity, page.status, "which cheese?")
	require.Empty(t, mine(t, svc))
	require.Contains(t, page.body, `value="4,50"`)
	require.NotContains(t, page.body, "<b>Market")
	form = fieldsOf(t, page.body, path)
	form.Set("none2", "1")
	form.Set("source", "shelf")
	page = v.post(path, form)
	require.Equal(t, http.StatusOK, page.status, page.body)
	require.Contains(t, page.body, "3 reports recorded")
	rs := mine(t, svc)
	require.Len(t, rs, 3)
	for _, r := range rs {
		require.Equal(t, pricing.PortID("GDSTG"), r.Port)
		require.Equal(t, pricing.Shelf, r.Source)
		if r.Found == pricing.FoundYes {
			require.Equal(t, "XCD", string(r.Paid.Currency))
		}
	}
	v.post(path, form)
	require.Len(t, mine(t, svc), 3, "sent twice, recorded once")

	cell := demoVoyage + "/prices/GDSTG/rice_white"
	page = v.get(cell)
	require.Contains(t, page.body, "4.50 XCD")
	require.NotContains(t, page.body, "<b>Market")
	page = v.post(cell, fieldsOf(t, page.body, cell))
	require.Equal(t, http.StatusOK, page.status)
	require.Contains(t, page.body, "taken back")
}

const csvHead = "report,port,item,day,found,amount,currency,pack,shop,reporter,source,quality,origin,note,replaces\n"

func TestImportIsLookedAtTakenAndTakenBack(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	path := demoVoyage + "/import"
	me, err := svc.Me(ctx)
	require.NoError(t, err)
	file := csvHead +
		"0d7b7b0a-3d0e-4a6e-8a36-0d8e3f6a4b01,PTHOR,rice_white,2026-06-01,yes,1.99,EUR,1,<script>alert(1)</script>," + me + ",shelf,,,,\n" +
		"0d7b7b0a-3d0e-4a6e-8a36-0d8e3f6a4b02,NOWHERE,rice_white,2026-06-01,yes,1.99,EUR,1,,x,shelf,,,,\n"
	page := v.post(path, url.Values{"csv_text": {file}, "do": {"look"}})
	require.Equal(t, http.StatusOK, page.status, page.body)
	require.Contains(t, page.body, "1 new reports, 0 there already, 1 rows")
	require.Contains(t, page.body, "column port")
	require.NotContains(t, page.body, "<script>alert")
	require.Empty(t, mine(t, svc), "nothing before yes")
	form := fieldsOf(t, page.body, path)
	form.Set("do", "yes")
	page = v.post(path, form)
	require.Len(t, mine(t, svc), 1)
	form = fieldsOf(t, page.body, path)
	form.Set("do", "undo")
	page = v.post(path, form)
	require.Contains(t, page.body, "1 reports taken back")
	require.Len(t, mine(t, svc), 2, "a report is never deleted, only withdrawn")

	page = v.post(path, url.Values{"csv_text": {"a,b\n1,2\n"}, "do": {"look"}})
	require.Equal(t, http.StatusUnprocessableEntity, page.status)
	require.Contains(t, page.body, "Nothing was changed")
	require.Contains(t, page.body, "line 1: column")
	page = v.sendFile(path, "jotted.csv", "a,b\n1,2\n")
	require.Equal(t, http.StatusUnprocessableEntity, page.status)
	require.Contains(t, page.body, "<p>jotted.csv</p>")
	require.Equal(t, http.StatusUnprocessableEntity, v.post(path, url.Values{"token": {"x"}, "do": {"yes"}}).status)
	require.Equal(t, http.StatusUnprocessableEntity, v.post(path, url.Values{"do": {"look"}}).status)
	require.Equal(t, http.StatusRequestEntityTooLarge, v.post(path, url.Values{"csv_text": {strings.Repeat("x", 2<<20)}}).status)
}

func TestReportSurvivesAReload(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	base := serve(t, svc, Options{})
	b := open(t)
	path := demoVoyage + "/report?port=GDSTG"
	b.do(size(360, 740), chromedp.Navigate(base+path), chromedp.WaitReady(css("form[data-draft]")),
		typed("input[name=item0]", "long-grain"), typed("input[name=price0]", "4.50"), reload,
		chromedp.WaitReady(css("form[data-draft]")), until(`document.querySelector("input[name=item0]").value === "long-grain"`),
		press("button[value=record]"), chromedp.WaitReady(css("p.done")))
	require.Len(t, mine(t, svc), 1)
	require.Equal(t, "", eval[string](b, `document.querySelector("input[name=item0]").value`), "what was taken is forgotten")
}
