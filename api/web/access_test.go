package web

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"hardtack/api"
)

// pagesToLookAt are every page of the site over the demo season.
var pagesToLookAt = []struct{ name, path string }{
	{"season", demoVoyage},
	{"edit", demoVoyage + "/edit"},
	{"underway", demoVoyage + "/under-way"},
	{"ashore", demoVoyage + "/ashore"},
	{"shop", demoVoyage + "/ashore/1"},
	{"aisles", "/aisles"},
	{"receipt", demoVoyage + "/ashore/1/receipt"},
	{"prices", demoVoyage + "/prices"},
	{"cell", demoVoyage + "/prices/ESLPA/rice_white"},
	{"ahead", demoVoyage + "/ahead?item=flour&from=2"},
	{"asked", demoVoyage + "/asked"},
	{"report", demoVoyage + "/report?port=ESLPA"},
	{"import", demoVoyage + "/import"},
	{"chart", demoVoyage + "/chart?stop=9&zoom=3"},
	{"need", demoVoyage + "/need/coffee"},
	{"risk", demoVoyage + "/risk"},
	{"fed", demoVoyage + "/fed"},
	{"papers", demoVoyage + "/papers"},
	{"sheet", demoVoyage + "/ashore/1/sheet"},
	{"use-first", demoVoyage + "/use-first"},
	{"lockers", "/aboard?find=rice"},
	{"locker_edit", "/aboard/lockers"},
	{"lot", "/aboard/lot/rice_white"},
	{"come", "/aboard/come"},
	{"stow", "/aboard/stow?stop=1"},
	{"count", "/aboard/count"},
	{"used", "/aboard/used"},
	{"fridge", "/aboard/fridge?hours=2"},
	{"border", "/aboard/border"},
	{"pests", "/aboard/pests"},
	{"tanks", "/aboard/tanks"},
	{"meals", "/aboard/meals"},
	{"log", "/aboard/log"},
	{"look-back", "/aboard/look-back"},
	{"boat", "/boat"},
	{"start", "/start"},
	{"prefs", "/prefs"},
	{"problem", "/no-such-page"},
}

// violation is what axe-core reports, as far as it is told here.
type violation struct {
	ID    string   `json:"id"`
	Help  string   `json:"help"`
	Nodes []string `json:"nodes"`
}

// axe-core 4.14 with its own default rules and those of target size; it is
// held against every page in every light at the width of a phone and of a
// chart table.
func TestEveryPageInEveryLightIsAccessible(t *testing.T) {
	t.Parallel()
	axe, err := os.ReadFile("../../testdata/axe/axe.min.js")
	require.NoError(t, err)
	svc := invented(t)
	_, err = svc.ChangeDraft(ctx, planOf(t, svc), 1, func(d *api.Draft) {
		d.Set(api.DraftLine{Item: linesOf(t, svc)[0].Item, Got: true, Price: "19.90"})
		d.Set(api.DraftLine{Item: linesOf(t, svc)[1].Item, None: true})
		d.Set(api.DraftLine{Item: linesOf(t, svc)[2].Item, Got: true, Price: "a lot", Pack: "a sack"})
	})
	require.NoError(t, err)
	lived(t, svc)
	base := serve(t, svc, Options{})
	for _, look := range []string{"light", "dark", "red"} {
		t.Run(look, func(t *testing.T) {
			t.Parallel()
			b := open(t)
			b.do(chromedp.Navigate(base + "/prefs"))
			b.setLook(look)
			for _, p := range pagesToLookAt {
				if look == "light" { // four times as large on a chart table's screen
					b.do(size(320, 800), chromedp.Navigate(base+p.path))
					b.checkSizes(p.name+" at 400 %", 320)
				}
				for _, width := range []int64{360, 1280} {
					b.do(size(width, 800), chromedp.Navigate(base+p.path))
					b.shot(fmt.Sprintf("%s-%s-%d", p.name, look, width))
					b.checkAxe(string(axe), fmt.Sprintf("%s %s %d", p.name, look, width))
					b.checkSizes(fmt.Sprintf("%s %s %d", p.name, look, width), width)
					if look == "red" {
						b.checkRed(p.name, width)
					}
				}
			}
		})
	}
}

// setLook sends the form a reader would.
func (b *tab) setLook(look string) {
	b.t.Helper()
	b.do(chromedp.Click(chromedp.CSS("input[name=look][value="+look+"]")), chromedp.Click(chromedp.CSS("form[action$='/prefs'] button.main")),
		chromedp.WaitReady(chromedp.CSS("html[data-look="+look+"]")))
}

func (b *tab) checkAxe(axe, where string) {
	b.t.Helper()
	eval[bool](b, axe+"; true")
	found := eval[[]violation](b, `axe.run(document, {rules: {"target-size": {enabled: true}}}).then(r =>
		r.violations.map(v => ({id: v.id, help: v.help, nodes: v.nodes.slice(0, 3).map(n => n.html.slice(0, 160) + " " + (n.failureSummary || "").slice(0, 200))})))`)
	for _, v := range found {
		b.t.Errorf("%s: axe %s: %s\n  %s", where, v.ID, v.Help, strings.Join(v.Nodes, "\n  "))
	}
}

// checkSizes wants every target to be a thumb's width, and no page to be wider
// than the screen.
func (b *tab) checkSizes(where string, width int64) {
	b.t.Helper()
	small := eval[[]string](b, `Array.from(document.querySelectorAll("a, button, input:not([type=hidden]), select, textarea, summary"))
		.filter(e => e.offsetParent !== null && !e.classList.contains("skip"))
		.map(e => { const own = e.getBoundingClientRect(), l = e.closest("label"); const r = l && own.height < 44 ? l.getBoundingClientRect() : own; return [r, e]; })
		.filter(([r, e]) => r.height < 43.5 || r.width < 43.5)
		.map(([r, e]) => e.outerHTML.slice(0, 100) + " " + Math.round(r.width) + "x" + Math.round(r.height))`)
	if len(small) > 0 {
		b.t.Errorf("%s: targets under 44 px: %q", where, small)
	}
	if wide := eval[int64](b, `document.documentElement.scrollWidth`); wide > width {
		b.t.Errorf("%s: %d px wide", where, wide)
	}
}

// checkRed looks at every pixel of the page in red light.
func (b *tab) checkRed(name string, width int64) {
	b.t.Helper()
	shot, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	require.NoError(b.t, err)
	img, err := png.Decode(bytes.NewReader(shot))
	require.NoError(b.t, err)
	worst, where := worstOf(img)
	if worst > 40 {
		b.t.Errorf("%s at %d px: green or blue of %d at %v", name, width, worst, where)
	}
}

// worstOf is the most green or blue there is, and where. Chromium's pictures
// are opaque.
func worstOf(img image.Image) (worst uint8, where image.Point) {
	flat, ok := img.(*image.NRGBA)
	if !ok {
		flat = image.NewNRGBA(img.Bounds())
		draw.Draw(flat, flat.Bounds(), img, img.Bounds().Min, draw.Src)
	}
	for i := 0; i+3 < len(flat.Pix); i += 4 {
		if m := max(flat.Pix[i+1], flat.Pix[i+2]); m > worst {
			worst, where = m, image.Pt(i%flat.Stride/4, i/flat.Stride)
		}
	}
	return worst, where
}
