package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/db"
	"hardtack/pricing"
	"hardtack/route/shopping"
)

const shopPath = demoVoyage + "/ashore/1"

// linesOf are the lines of the list of stop 1.
func linesOf(t *testing.T, s *api.Service) []shopping.Line {
	t.Helper()
	l, err := s.List(ctx, "demo-season", 1)
	require.NoError(t, err)
	require.Greater(t, len(l.Lists[0].Lines), 24)
	return l.Lists[0].Lines
}

// mine are the reports of this database's own reporter.
func mine(t *testing.T, s *api.Service) []pricing.Report {
	t.Helper()
	me, err := s.Me(ctx)
	require.NoError(t, err)
	all, _, err := s.Reports(ctx, db.Filter{Reporter: me}, db.Cursor{}, 100)
	require.NoError(t, err)
	return all
}

func TestReceiptBecomesReportsAndLots(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	lines := linesOf(t, svc)
	v := visit(t, serve(t, svc, Options{}))
	a, b, c, none := lines[0], lines[1], lines[2], lines[3]
	fields := url.Values{"do": {"receipt"}}
	for _, l := range lines {
		fields.Set("price."+string(l.Item), "")
	}
	fields.Set("price."+string(a.Item), "1,95") // as expected in pack and number
	fields.Set("price."+string(b.Item), "12.5.0")
	fields.Set("got."+string(c.Item), "1") // bought, price not noted
	fields.Set("none."+string(none.Item), "1")
	page := v.post(shopPath, fields)
	require.Equal(t, http.StatusOK, page.status)
	require.Equal(t, shopPath+"/receipt", page.url.Path)
	require.Contains(t, page.body, "12.5.0", "what was typed is kept, right or wrong")

	form := fieldsOf(t, page.body, shopPath+"/receipt")
	form.Set("do", "confirm")
	page = v.post(shopPath+"/receipt", form)
	require.Equal(t, http.StatusUnprocessableEntity, page.status)
	require.Empty(t, mine(t, svc), "nothing is recorded while something is wrong")

	fields.Set("price."+string(b.Item), "12.50")
	page = v.post(shopPath, fields)
	form = fieldsOf(t, page.body, shopPath+"/receipt")
	form.Set("do", "confirm")
	form.Set("shop", "<img src=x onerror=alert(1)>")
	before, err := svc.Aboard(ctx, "quillback")
	require.NoError(t, err)
	page = v.post(shopPath+"/receipt", form)
	require.Equal(t, http.StatusOK, page.status, page.body)
	require.Equal(t, shopPath, page.url.Path)
	reports := mine(t, svc)
	require.Len(t, reports, 3)
	found := map[pricing.ItemID]pricing.Report{}
	for _, r := range reports {
		found[r.Item] = r
	}
	require.Equal(t, int64(195), found[a.Item].Paid.Minor)
	require.Equal(t, a.MainPack(), found[a.Item].Pack)
	require.Equal(t, pricing.FoundNone, found[none.Item].Found)
	after, err := svc.Aboard(ctx, "quillback")
	require.NoError(t, err)
	stowed := 0
	for _, l := range []shopping.Line{a, b, c} {
		if len(l.Stow) > 0 {
			stowed++
		}
	}
	require.Len(t, after.Value, len(before.Value)+stowed)
	require.NotContains(t, page.body, `name="price.`+string(a.Item)+`"`, "what is aboard is off the list")

	again := v.post(shopPath+"/receipt", form) // the phone sends it once more
	require.Equal(t, http.StatusOK, again.status)
	require.Len(t, mine(t, svc), 3, "sent twice, recorded once")
}

func TestPackAndPriceMetAreAnsweredAtOnce(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	line := linesOf(t, svc)[0]
	v := visit(t, serve(t, svc, Options{}))
	pack := line.Amount / 7
	price := line.Local.High / 7 * 1.5
	id := string(line.Item)
	a := v.post(shopPath, url.Values{"line": {id}, "price." + id: {fmt.Sprintf("%.2f", price)}, "pack." + id: {fmt.Sprintf("%.6f %s", pack*1.0001, line.Unit)}})
	require.Equal(t, http.StatusOK, a.status, a.body)
	require.Contains(t, a.body, "Take 7 of", "as much in other packs")
	require.Contains(t, a.body, "more than expected")
	require.Contains(t, a.body, `"warn":true`)
}

// flaky is a server that can be out of reach.
type flaky struct {
	http.Handler
	gone atomic.Bool
}

func (f *flaky) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if f.gone.Load() {
		panic(http.ErrAbortHandler)
	}
	f.Handler.ServeHTTP(w, r)
}

// A page does not take back what another phone typed since it was loaded.
func TestTheOtherPhonesPricesStay(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	server := serve(t, svc, Options{})
	b := open(t)
	b.do(size(360, 740), chromedp.Navigate(server+shopPath), chromedp.WaitReady(css("form.shop")))
	lines := linesOf(t, svc)
	mine, theirs := string(lines[0].Item), string(lines[1].Item)
	a := visit(t, server).post(shopPath, url.Values{"line": {theirs}, "price." + theirs: {"2.20"}})
	require.Equal(t, http.StatusOK, a.status, a.body)
	b.do(typed(`input[name="price.`+mine+`"]`, "1.10"), press("button[value=receipt]"), chromedp.WaitReady(css("input[name=sum]")))
	d, err := svc.Draft(ctx, planOf(t, svc), 1)
	require.NoError(t, err)
	prices := map[string]string{}
	for _, l := range d.Value.Lines {
		prices[string(l.Item)] = l.Price
	}
	require.Equal(t, map[string]string{mine: "1.10", theirs: "2.20"}, prices)
}

func TestShoppingInABrowser(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *tab) {
		svc := invented(t)
		base := serve(t, svc, Options{})
		b.do(chromedp.Navigate(base+demoVoyage+"/ashore"), press(`a[href$="/ashore/1"]`), chromedp.WaitReady(css("form.shop")))
		id := string(linesOf(t, svc)[0].Item)
		b.do(typed(`input[name="price.`+id+`"]`, "2.49"), press("button[value=receipt]"), chromedp.WaitReady(css("input[name=sum]")),
			press("button[value=confirm]"), chromedp.WaitReady(css("p.done")))
		require.Len(t, mine(t, svc), 1)
	})
}

func TestAislesInTheSkippersOrder(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	page := v.get("/aisles?back=" + url.QueryEscape(shopPath+"?by=aisle"))
	form := fieldsOf(t, page.body, "/aisles")
	form.Set("at.tin", "1")
	page = v.post("/aisles", form)
	require.Equal(t, shopPath, page.url.Path)
	order, err := svc.Aisles(ctx)
	require.NoError(t, err)
	require.Equal(t, "tin", order[0])
	require.Less(t, strings.Index(page.body, "<h2>Tins"), strings.Index(page.body, "<h2>Dairy"))
}
