package web

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"hardtack/api"
)

const receiptPath = shopPath + "/receipt"

// Two phones on the last page of a receipt: what only one of them changed is
// kept, what both changed is asked, and nobody confirms lines not seen.
func TestTwoPhonesOnAReceipt(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *tab) {
		svc := invented(t)
		base := serve(t, svc, Options{})
		lines := linesOf(t, svc)
		set := func(n int, price string) {
			_, err := svc.ChangeDraft(ctx, planOf(t, svc), 1, func(d *api.Draft) {
				d.Set(api.DraftLine{Item: lines[n].Item, Got: true, Price: price})
			})
			require.NoError(t, err)
		}
		draft := func() api.Draft {
			d, err := svc.Draft(ctx, planOf(t, svc), 1)
			require.NoError(t, err)
			return d.Value
		}
		set(0, "2.20")
		other := visit(t, base)
		theirs := fieldsOf(t, other.get(receiptPath).body, receiptPath)
		b.do(chromedp.Navigate(base+receiptPath), chromedp.WaitReady(css("input[name=sum]")))

		theirs.Set("shop", "Covered market")
		theirs.Set("sum", "2.20")
		require.Equal(t, http.StatusOK, other.post(receiptPath, theirs).status)
		b.do(typed("input[name=sum]", "2.30"), press(".acts button:not([value])"), chromedp.WaitReady(css(".faults")))
		require.Contains(t, b.text(), "another phone has said “2.20” meanwhile")
		require.Equal(t, "2.30", eval[string](b, `document.querySelector("input[name=sum]").value`), "what was typed stands there")
		require.Equal(t, "Covered market", eval[string](b, `document.querySelector("input[name=shop]").value`), "the other's word is there")
		require.Equal(t, "2.20", draft().Sum)
		b.do(press(".acts button:not([value])"), chromedp.WaitNotPresent(css(".faults")))
		require.Equal(t, "2.30", draft().Sum, "sent again knowing of the other")
		require.Equal(t, "Covered market", draft().Shop)

		set(1, "1.40")
		b.do(press("button[value=confirm]"), chromedp.WaitReady(css(".faults")))
		require.Contains(t, b.text(), "Another phone has changed the lines")
		require.Empty(t, mine(t, svc), "nothing is recorded that was not seen")
		b.do(press("button[value=confirm]"), chromedp.WaitReady(css("p.done")))
		require.Len(t, mine(t, svc), 2)
	})
}

// The price of what was taken instead is kept though it was not said what it
// was; the page says what it needs to know, and no receipt is confirmed before.
func TestTheSubstituteIsAskedFor(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	id, other := "", ""
	for _, l := range linesOf(t, svc) {
		if len(l.Instead) > 0 {
			id, other = string(l.Item), string(l.Instead[0].Item)
			break
		}
	}
	form := fieldsOf(t, v.get(shopPath).body, shopPath)
	form.Set("subprice."+id, "2.20")
	page := v.post(shopPath, form)
	require.Equal(t, http.StatusOK, page.status)
	require.Contains(t, page.body, "Say what was taken instead")
	form = fieldsOf(t, page.body, shopPath)
	require.Equal(t, "2.20", form.Get("subprice."+id), "what was typed stands there")

	line := v.post(shopPath, url.Values{"line": {id}, "price." + id: {""}, "none." + id: {"1"}, "subprice." + id: {"2.20"}})
	require.Contains(t, line.body, "Say what was taken instead", "the script is told too")
	receipt := fieldsOf(t, v.get(receiptPath).body, receiptPath)
	receipt.Set("do", "confirm")
	require.Equal(t, http.StatusUnprocessableEntity, v.post(receiptPath, receipt).status)
	require.Empty(t, mine(t, svc))

	form.Set("sub."+id, other)
	require.NotContains(t, v.post(shopPath, form).body, "Say what was taken instead")
	receipt = fieldsOf(t, v.get(receiptPath).body, receiptPath)
	receipt.Set("do", "confirm")
	require.Equal(t, http.StatusOK, v.post(receiptPath, receipt).status)
	require.Len(t, mine(t, svc), 2, "one not to be had, the other's price")
}
