package web

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// focused is what the keyboard is at: the element, and whether one sees it.
type focused struct {
	At      string `json:"at"`
	How     string `json:"how"`
	Visible bool   `json:"visible"`
	Order   bool   `json:"order"` // not before what was focused last
}

const focusScript = `(() => {
	const e = document.activeElement, r = e.getBoundingClientRect(), s = getComputedStyle(e);
	const over = document.elementFromPoint(r.x + r.width / 2, r.y + Math.min(r.height / 2, 20));
	const last = window.lastFocus;
	window.lastFocus = e;
	return {
		at: e.name ? e.name + (e.value && e.type === "submit" ? "=" + e.value : "") : e.getAttribute("href") || e.tagName.toLowerCase() + "." + e.className,
		visible: s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2 && r.bottom > 0 && r.top < innerHeight && (over === e || e.contains(over) || (over && over.contains(e))),
		how: [s.outlineStyle, s.outlineWidth, Math.round(r.top), Math.round(r.bottom), innerHeight, over && over.outerHTML.slice(0, 60)].join(" "),
		order: !last || !(last.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_PRECEDING),
	};
})()`

// tabTo presses Tab until something is focused. All that is focused on the way
// must be seen, and in the order of the page.
func (b *tab) tabTo(want string) {
	b.t.Helper()
	for n := range 300 {
		b.do(chromedp.KeyEvent("\t"))
		f := eval[focused](b, focusScript)
		require.True(b.t, f.Visible, "%s: focus on %s cannot be seen: %s", b.path(), f.At, f.How)
		require.True(b.t, f.Order || n == 0, "%s: %s comes out of order", b.path(), f.At)
		if f.At == want || strings.HasSuffix(want, "*") && strings.HasPrefix(f.At, strings.TrimSuffix(want, "*")) {
			return
		}
	}
	require.Fail(b.t, "never reached by Tab", "%s: %s", b.path(), want)
}

func (b *tab) keys(text string) { b.t.Helper(); b.do(chromedp.KeyEvent(text)) }

// From an empty boat to a receipt without a mouse: first plan, lists, a tick, a
// price, the receipt.
func TestAFirstPlanAndAReceiptByKeyboard(t *testing.T) {
	t.Parallel()
	svc := empty(t)
	b := open(t)
	there := func(sel string) { b.do(chromedp.WaitReady(css(sel))) }
	b.do(size(1280, 800), chromedp.Navigate(serve(t, svc, Options{})+"/"), chromedp.WaitReady(css("input[name=port0]")))
	b.tabTo("#main") // the way past the header is the first there is
	b.keys("\r")
	b.tabTo("port0")
	b.keys("Horta")
	b.tabTo("days0")
	b.keys("4")
	b.tabTo("port1")
	b.keys("Falmouth\r") // Enter plans
	there("[role=alert], svg.map")
	if eval[bool](b, `!document.querySelector("svg.map")`) { // which Falmouth
		b.tabTo("id1")
		b.keys("\r")
		there("svg.map")
	}
	b.tabTo("/voyage/season-1/ashore")
	b.keys("\r")
	there(".stops")
	b.tabTo("/voyage/season-1/ashore/*")
	b.keys("\r")
	there("form.shop")
	b.tabTo("got.*")
	b.keys(" ")
	b.tabTo("price.*")
	b.keys("3.20")
	b.do(until(`document.querySelector('input[name^="got."]').checked`))
	b.tabTo("do=receipt")
	b.keys("\r")
	there("input[name=sum]")
	b.tabTo("do=confirm")
	b.keys("\r")
	there("p.done")
	require.NotEmpty(t, mine(t, svc))
}

// A route file given to the page as a browser does, then planned.
func TestARouteFileIsReadInABrowser(t *testing.T) {
	t.Parallel()
	gpx := `<?xml version="1.0"?><gpx version="1.1" creator="plotter" xmlns="http://www.topografix.com/GPX/1/1"><rte><name>Azores &amp; home</name>` +
		`<rtept lat="38.53" lon="-28.62"><name>Horta</name></rtept><rtept lat="45.0" lon="-18.0"></rtept><rtept lat="50.15" lon="-5.06"><name>Falmouth</name></rtept></rte></gpx>`
	file := filepath.Join(t.TempDir(), "route.gpx")
	require.NoError(t, os.WriteFile(file, []byte(gpx), 0o600))
	both(t, func(t *testing.T, b *tab) {
		svc := empty(t)
		b.do(chromedp.Navigate(serve(t, svc, Options{})+"/start"), press("form details summary"), chromedp.SetUploadFiles(css("input[name=gpx]"), []string{file}),
			press("button[value=gpx]"), chromedp.WaitReady(css("div.done")))
		require.Contains(t, b.text(), "is taken for a call at Horta")
		for n, want := range []string{"Horta", "Falmouth"} {
			require.Equal(t, want, eval[string](b, fmt.Sprintf(`document.querySelector("input[name=port%d]").value`, n)))
		}
		b.do(press("button.main"), chromedp.WaitReady(css("svg.map")))
		all, err := svc.Voyages(ctx)
		require.NoError(t, err)
		require.Len(t, all[0].Value.Stops, 2)
		require.Len(t, all[0].Value.Stops[0].Leg.Via, 1, "the way of the file is kept")
		require.Equal(t, "Azores & home", all[0].Value.Name)
	})
}
