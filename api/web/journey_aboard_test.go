package web

import (
	"net/http"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/route/logbook"
)

// What the other journeys leave out, each with the pages' script and without:
// something taken instead, prices by receipt, a question answered, a count, the
// log, lockers, the chart drawn closer, the voyage under way.
func TestTheOtherTasksInABrowser(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *tab) {
		svc := invented(t)
		base := serve(t, svc, Options{})
		boat := boatOf(t, svc).ID
		at := func(path string) step { return chromedp.Navigate(base + path) }
		there := func(sel string) step { return chromedp.WaitReady(css(sel)) }

		var id, other string
		for _, l := range linesOf(t, svc) {
			if len(l.Instead) > 0 {
				id, other = string(l.Item), string(l.Instead[0].Item)
				break
			}
		}
		b.do(at(shopPath), press(`[data-line="`+id+`"] summary`), press(`input[name="none.`+id+`"]`), chromedp.SetValue(css(`select[name="sub.`+id+`"]`), other),
			typed(`input[name="subprice.`+id+`"]`, "2.20"), press("button[value=receipt]"), there("input[name=sum]"), press("button[value=confirm]"), there("p.done"))
		found := map[pricing.Found]int{}
		for _, r := range mine(t, svc) {
			found[r.Found]++
		}
		require.Equal(t, 1, found[pricing.FoundNone])
		require.Len(t, mine(t, svc), 2, "one not there, and what was taken for it")

		b.do(at(demoVoyage+"/report?port=GDSTG"), typed("input[name=item0]", "rice_white"), typed("input[name=price0]", "450,00"), press("button[value=record]"), there("p.done"))
		require.Len(t, mine(t, svc), 3)
		b.do(at(demoVoyage+"/asked"), press("button[value=stands]"), chromedp.WaitNotPresent(css("button[value=stands]")), there("p.done"))

		b.do(at("/aboard/log"), chromedp.SetValue(css("select[name=kind]"), string(logbook.Rain)), typed("input[name=amount]", "40"), press("button.main"), there("p.done"))
		log, err := svc.Log(ctx, boat, 0, 1<<30)
		require.NoError(t, err)
		require.Len(t, log, 1)
		b.do(at("/aboard/lockers"), typed("input[name=name0]", "wine hole"), typed("input[name=litres0]", "60"), press("button.main"), there("p.done"))
		lockers, err := svc.Lockers(ctx, boat)
		require.NoError(t, err)
		require.Len(t, lockers.Value, 1)
		b.do(at("/aboard/come"), typed("input[name=item]", "honey"), typed("input[name=amount]", "500 g"), press("button.main"), there("p.done"))
		b.do(at("/aboard/lot/rice_white"), typed("input[name=amount]", "100 g"), press("button.main"), there("p.done"))
		b.do(at("/aboard/count"), there("select[name=mark0]"))
		b.do(chromedp.SetValue(css("select[name=mark0]"), eval[string](b, `document.querySelector("select[name=mark0]").options[1].value`)), press("form.count button.main"), there("p.done"))

		b.do(at(demoVoyage+"/chart?stop=9&zoom=2"), press("p.acts a.main"), there("svg.map"))
		require.Contains(t, eval[string](b, `location.search`), "zoom=3")
		b.do(at(demoVoyage+"/under-way"), press(`input[name=aboard][value=planned]`), press("form .acts button"), there("button[value=accept]"))
		require.Equal(t, http.StatusOK, visit(t, base).get(demoVoyage).status)
	})
}
