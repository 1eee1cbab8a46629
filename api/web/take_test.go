package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"hardtack/api"
)

// A price typed at the shelf is answered with how many to take: as the plan
// says when it is asked directly, on the page without script.
func TestPriceTypedAtTheShelf(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	lines := linesOf(t, svc)
	v := visit(t, serve(t, svc, Options{}))
	rice, other := lines[0], lines[1]
	far := fmt.Sprintf("%.2f", rice.Local.High*20)
	a := v.post(shopPath, url.Values{"price." + string(rice.Item): {far}, "price." + string(other.Item): {"a lot"}})
	require.Equal(t, http.StatusOK, a.status)
	r, err := svc.Reprice(ctx, "demo-season", api.MetOptions{Stop: 1, Prices: []api.Met{{
		Item: string(rice.Item), Pack: rice.MainPack().Format(rice.Unit), Price: far, Currency: "EUR"}}})
	require.NoError(t, err)
	require.Zero(t, r.Take)
	require.Contains(t, a.body, fmt.Sprintf("Do not take it here; %d were planned.", r.Shelf.Planned))
	require.Contains(t, a.body, "worth it up to")
	require.NotEmpty(t, r.Difference.Changes)

	var said taking
	body := v.get(shopPath + "/take?item=" + string(rice.Item)).body
	require.NoError(t, json.Unmarshal([]byte(body), &said))
	require.Contains(t, said.Now, "Do not take it here")
	require.NotEmpty(t, said.Else)
	require.Contains(t, v.get(shopPath+"/take?item="+string(other.Item)).body, `"now":""`, "what cannot be read changes nothing")
}

// Walk-away prices are worked out when asked for, and remembered.
func TestWalkAwayPricesOfAList(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	require.NotContains(t, v.get(shopPath).body, "worth it up to")
	asked := v.get(shopPath + "?upto=1")
	require.Equal(t, http.StatusOK, asked.status)
	require.Regexp(t, "worth it up to|must be had|not worth it", asked.body)
	require.Regexp(t, "worth it up to|must be had|not worth it", v.get(shopPath).body)
}

func TestPriceTypedInABrowser(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	base := serve(t, svc, Options{})
	b := open(t)
	id := string(linesOf(t, svc)[0].Item)
	b.do(size(360, 740), chromedp.Navigate(base+shopPath), chromedp.WaitReady(css("form.shop")), typed(`input[name="price.`+id+`"]`, "99"), chromedp.KeyEvent("\r"),
		until(`document.querySelector('[data-line="`+id+`"] .take p') !== null`))
	b.shot("shop-take-light-360")
	require.Contains(t, eval[string](b, `document.querySelector('[data-line="`+id+`"] .take').textContent`), "Do not take it here")
	require.NotEmpty(t, eval[string](b, `document.querySelector('[data-line="`+id+`"] .upto').textContent`))
}
