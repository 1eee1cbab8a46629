package web

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/route/shopping"
)

// A carried list comes back to a list on which another phone has kept
// something else: it is asked, line by line, with the script on and off.
func TestACarriedListIsAskedAbout(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *tab) {
		svc := invented(t)
		base := serve(t, svc, Options{})
		lines := linesOf(t, svc)
		rice, oats, salt := lines[0].Item, lines[1].Item, lines[2].Item
		_, err := svc.ChangeDraft(ctx, planOf(t, svc), 1, func(d *api.Draft) {
			d.Set(api.DraftLine{Item: rice, Got: true, Price: "2.20"})
			d.Set(api.DraftLine{Item: oats, Got: true, Price: "1.40"})
		})
		require.NoError(t, err)
		at := planOf(t, svc).Call(1).String()
		carried := "call,item,got,none,price,pack,count\n" +
			at + "," + string(rice) + ",1,,2.35,,\n" + at + "," + string(oats) + ",,1,,,\n" + at + "," + string(salt) + ",1,,0.90,,\n"

		b.do(chromedp.Navigate(base+demoVoyage+"/papers"), chromedp.WaitReady(css("textarea")), chromedp.SetValue(css("textarea"), carried),
			press("form[enctype] button.main"), chromedp.WaitReady(css("input[name=over]")))
		b.shot("papers-asked-light-360")
		require.Contains(t, b.text(), "2 lines say otherwise")
		require.Contains(t, b.text(), "2.35 EUR. Kept aboard: 2.20 EUR")
		kept := typedOf(t, svc)
		require.Equal(t, "2.20", kept[string(rice)].Price, "nothing is put in its place unasked")
		require.Equal(t, "1.40", kept[string(oats)].Price)
		require.Equal(t, "0.90", kept[string(salt)].Price, "what nobody spoke against is back")

		b.do(press(`input[name=over][value="1.`+string(rice)+`"]`), press("form[enctype] button.main"), chromedp.WaitReady(css("p.done")))
		kept = typedOf(t, svc)
		require.Equal(t, "2.35", kept[string(rice)].Price, "chosen")
		require.Equal(t, "1.40", kept[string(oats)].Price, "left")

		// What comes in after the question is asked about again.
		v := visit(t, base)
		late := v.post(demoVoyage+"/papers", url.Values{"ticks_text": {carried}, "asked": {"1." + string(rice)}})
		require.Equal(t, http.StatusConflict, late.status)
		require.NotContains(t, late.body, `value="1.`+string(rice)+`"`)
		require.Contains(t, late.body, `name="over" value="1.`+string(oats)+`"`)
	})
}

// A tick alone is in nobody's way, and the same word is asked about by nobody.
func TestACarriedTickTakesNothingBack(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	rice := linesOf(t, svc)[0].Item
	_, err := svc.ChangeDraft(ctx, planOf(t, svc), 1, func(d *api.Draft) { d.Set(api.DraftLine{Item: rice, Price: "2.20", Pack: "1 kg"}) })
	require.NoError(t, err)
	for _, said := range []string{"1,,,,", "1,,2.20,1 kg,"} {
		text := "call,item,got,none,price,pack,count\n" + planOf(t, svc).Call(1).String() + "," + string(rice) + "," + said + "\n"
		require.Equal(t, http.StatusOK, v.post(demoVoyage+"/papers", url.Values{"ticks_text": {text}}).status, said)
		require.Equal(t, api.DraftLine{Item: rice, Got: true, Price: "2.20", Pack: "1 kg"}, typedOf(t, svc)[string(rice)])
	}
	require.Equal(t, lineState{"none": "1"}, carriedState(shopping.Tick{None: true, Got: true}))
}
