package web

import (
	"context"
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// both runs a journey in a browser, with the pages' script and without.
func both(t *testing.T, journey func(t *testing.T, b *tab)) {
	for _, on := range []bool{true, false} {
		t.Run(fmt.Sprintf("script %v", on), func(t *testing.T) {
			t.Parallel()
			b := open(t)
			b.do(size(360, 740), scripts(on))
			journey(t, b)
		})
	}
}

func css(s string) chromedp.CSS { return chromedp.CSS(s) }

func typed(field, text string) step { return chromedp.SendKeys(css(field), text) }

// press clicks a thing after bringing it to the middle, clear of the bars. What
// comes in may move it away under the finger: then it presses again, as one does.
func press(button string) step {
	middle := chromedp.Evaluate[bool](fmt.Sprintf(`(e => {
		e.scrollIntoView({block: "center"});
		window.missed = true;
		e.addEventListener("click", () => { window.missed = false; }, {capture: true, once: true});
		return true;
	})(document.querySelector(%q))`, button))
	missed := chromedp.Evaluate[bool](`(() => {
		let heard = false; // nothing is where scripts are off
		window.addEventListener("hearing", () => { heard = true; }, {once: true});
		window.dispatchEvent(new Event("hearing"));
		return heard && window.missed === true;
	})()`)
	return func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		for range 3 {
			if _, err := chromedp.WaitReady(css(button))(ctx, t); err != nil {
				return chromedp.Void{}, err
			}
			if _, err := middle(ctx, t); err != nil {
				return chromedp.Void{}, err
			}
			if _, err := chromedp.Click(css(button))(ctx, t); err != nil {
				return chromedp.Void{}, err
			}
			if again, err := missed(ctx, t); err != nil || !again {
				break // an error: the page is gone already, which a click can do
			}
		}
		return chromedp.Void{}, nil
	}
}

// text is the page's, as read.
func (b *tab) text() string {
	b.t.Helper()
	text, err := chromedp.Run(b.ctx, chromedp.Text(css("main")))
	require.NoError(b.t, err)
	return text
}

func (b *tab) path() string {
	b.t.Helper()
	at, err := chromedp.Run(b.ctx, chromedp.Location())
	require.NoError(b.t, err)
	u, err := url.Parse(at)
	require.NoError(b.t, err)
	return u.Path
}

func TestFirstPlanInABrowser(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *tab) {
		base := serve(t, empty(t), Options{})
		b.do(chromedp.Navigate(base+"/"), chromedp.WaitReady(css("input[name=port0]")),
			typed("input[name=port0]", "Horta"), typed("input[name=port1]", "Santa Mria"),
			press("button.main"), chromedp.WaitReady(css("[role=alert]")))
		b.do(press("button.main"), chromedp.WaitReady(css("svg.map")))
		require.True(t, strings.HasPrefix(b.path(), "/voyage/"), b.path())
		require.Contains(t, b.text(), "Horta")
	})
}

// Every task there is, by one visitor, as far as the tests of its own do not
// show it in a browser.
func TestEveryTaskInABrowser(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *tab) {
		svc := invented(t)
		base := serve(t, svc, Options{})
		at := func(path string) step { return chromedp.Navigate(base + path) }
		there := func(sel string) step { return chromedp.WaitReady(css(sel)) }

		b.do(at("/prefs?back=/boat"), press("input[name=look][value=dark]"), press("button.main"), there("html[data-look=dark]"))
		require.Equal(t, "/boat", b.path())
		b.do(chromedp.SetValue(css("input[name=age0]"), "57"), press("button.main"), there("p.done"))
		crew, err := svc.Crew(ctx, "demo-crew")
		require.NoError(t, err)
		require.Equal(t, 57.0, crew.Value.Persons[0].Age)

		b.do(at(demoVoyage), press(`a[href$="/edit"]`), there("input[name=name]"), chromedp.SetValue(css("input[name=depart1]"), "2026-09-22"),
			press("button.main"), there("#diff"))
		v, err := svc.Voyage(ctx, "demo-season")
		require.NoError(t, err)
		require.Equal(t, "2026-09-22", v.Value.Stops[1].Depart.String())

		b.do(at(demoVoyage+"/ahead"), typed("input[name=item]", "flour"), press("button.main"), there("svg.bars"))
		b.do(at(demoVoyage+"/prices"), press(".matrix td a"), there("svg.bars"))
		b.do(at(demoVoyage), press(`details summary`), press(`ul.links a[href*="/need/"]`), there("svg path.area"))

		b.do(at(demoVoyage+"/import"), chromedp.SetValue(css("textarea"), csvHead+
			"0d7b7b0a-3d0e-4a6e-8a36-0d8e3f6a4b01,PTHOR,rice_white,2026-06-01,yes,1.99,EUR,1,,x,shelf,,,,\n"), press("button.main"), there("button[value=yes]"))
		b.do(press("button[value=yes]"), there("button[value=undo]"), press("button[value=undo]"), chromedp.WaitNotPresent(css("button[value=undo]")), there("p.done"))
		require.Contains(t, b.text(), "1 reports taken back")

		id := string(linesOf(t, svc)[0].Item)
		b.do(at(demoVoyage+"/papers"), chromedp.SetValue(css("textarea"), "call,item,got,none,price,pack,count\n"+planOf(t, svc).Call(1).String()+","+id+",1,,2.49,,\n"), press("form button.main"), there("p.done"))
		b.do(at(shopPath), there(`input[name="price.`+id+`"][value="2.49"]`))
		b.do(at("/aisles"), chromedp.SetValue(css(`input[name="at.tin"]`), "1"), press("button.main"), there(".stops, svg.map"))
	})
}

// The invented season is one press from the first page, can be shopped in, and
// leaves nothing in one's own data.
func TestTheInventedSeasonInABrowser(t *testing.T) {
	t.Parallel()
	both(t, func(t *testing.T, b *tab) {
		opened, own := 0, empty(t)
		base := serve(t, own, Options{Demo: opener(t, &opened)})
		b.do(chromedp.Navigate(base+"/"), press(`a[href="/demo/"]`), chromedp.WaitReady(css("svg.map")))
		require.Equal(t, "/demo/", b.path())
		require.Contains(t, eval[string](b, `document.querySelector("h1").textContent`), "(invented)")
		b.do(press(`a[href="/demo`+demoVoyage+`/ashore"]`), press(`a[href="/demo`+shopPath+`"]`), chromedp.WaitReady(css("form.shop")),
			press("input[name^='got.']"), press("button[value=receipt]"), chromedp.WaitReady(css("button[value=confirm]")),
			press("button[value=confirm]"), chromedp.WaitReady(css("p.done")))
		require.True(t, strings.HasPrefix(b.path(), "/demo/"), b.path())
		require.Equal(t, 1, opened)
		all, err := own.Voyages(ctx)
		require.NoError(t, err)
		require.Empty(t, all)
		b.do(chromedp.Navigate(base+"/"), chromedp.WaitReady(css("input[name=port0]")))
	})
}
