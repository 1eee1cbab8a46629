package web

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"hardtack/api"
)

// zoomFaults looks at all there is on a page, folded parts opened. What may be
// moved sideways is only what stands in an element of class wide: tables and
// charts, which Success Criterion 1.4.10 of WCAG 2.2 leaves out.
const zoomFaults = `(() => {
	const out = [], said = new Set(), wide = innerWidth;
	const say = (what, e, more) => {
		const words = what + ": " + e.outerHTML.replace(/\s+/g, " ").slice(0, 90) + " " + (more || "");
		if (!said.has(words) && out.length < 8) { said.add(words); out.push(words); }
	};
	for (let n = 0; n < 3; n++) { document.querySelectorAll("details:not([open])").forEach(d => { d.open = true; }); }
	document.documentElement.style.scrollBehavior = "auto";
	if (document.scrollingElement.scrollWidth > wide) { say("sideways", document.documentElement, document.scrollingElement.scrollWidth + " px"); }
	document.querySelectorAll("body *").forEach(e => {
		const s = getComputedStyle(e);
		if (/auto|scroll/.test(s.overflowX) && e.scrollWidth > e.clientWidth + 1 && !e.classList.contains("wide") && !/^(TEXTAREA|INPUT|SELECT)$/.test(e.tagName)) { say("scrolls sideways", e); }
	});
	// Text: whole within the screen and within whatever clips it.
	const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
	const range = document.createRange();
	for (let t = walk.nextNode(); t; t = walk.nextNode()) {
		const e = t.parentElement;
		if (!t.data.trim() || e.closest("svg, script, option, .skip, .wide") || e.offsetParent === null && getComputedStyle(e).position !== "fixed") { continue; }
		range.selectNodeContents(t);
		for (const r of range.getClientRects()) {
			if (r.width < 1) { continue; }
			if (r.left < -1 || r.right > wide + 1) { say("text off the screen", e, Math.round(r.left) + "–" + Math.round(r.right)); }
			for (let a = e; a && a !== document.body; a = a.parentElement) {
				if (getComputedStyle(a).overflow === "visible") { continue; }
				const c = a.getBoundingClientRect();
				if (r.left < c.left - 1 || r.right > c.right + 1 || r.top < c.top - 2 || r.bottom > c.bottom + 2) { say("text cut", e); }
			}
		}
	}
	// What a browser draws inside a field: as wide as it would be by itself.
	document.querySelectorAll("select, input[type=date]").forEach(e => {
		if (e.offsetParent === null || e.closest(".wide")) { return; }
		const has = e.offsetWidth, kept = [e.style.width, e.style.maxWidth];
		if (e.tagName === "SELECT") { Array.from(e.options).forEach(o => { if (!o.selected) { o.remove(); } }); }
		e.style.width = "max-content"; e.style.maxWidth = "none";
		const wants = e.offsetWidth;
		e.style.width = kept[0]; e.style.maxWidth = kept[1];
		if (wants > has + 1 && has < wide * 0.8) { say("cut in its field", e, has + " of " + wants + " px"); }
	});
	document.querySelectorAll("button, .button, select, input:not([type=hidden], [type=checkbox], [type=radio], [type=file]), .places a, .leafs a").forEach(e => {
		if (e.offsetParent === null && getComputedStyle(e).position !== "fixed" || e.classList.contains("skip")) { return; }
		const lines = parseFloat(getComputedStyle(e).fontSize) * 1.1, r = e.getBoundingClientRect();
		if (r.height < lines || !/^(INPUT|SELECT)$/.test(e.tagName) && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1)) { say("too small for its text", e); }
	});
	// Controls: brought to where the keyboard brings them, nothing lies over them.
	let stuck = 0;
	document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary").forEach(e => {
		if (e.offsetParent === null && getComputedStyle(e).position !== "fixed" || e.classList.contains("skip") || e.disabled) { return; }
		e.focus();
		const r = e.getClientRects()[0] || e.getBoundingClientRect();
		const x = Math.min(Math.max(r.left + r.width / 2, 1), wide - 2), y = r.top + Math.min(r.height / 2, 22);
		const over = document.elementFromPoint(x, y);
		const own = over && (e.contains(over) || over.contains(e) || over.closest("label") && over.closest("label").contains(e));
		if (!own) { say("covered or out of sight", e, "at " + Math.round(y) + " of " + innerHeight + " by " + (over ? over.outerHTML.slice(0, 60) : "nothing")); }
	});
	window.scrollTo(0, document.body.scrollHeight / 2);
	document.querySelectorAll("body *").forEach(e => {
		if (!/fixed|sticky/.test(getComputedStyle(e).position) || e.closest("table, .skip")) { return; }
		const r = e.getBoundingClientRect();
		if (r.bottom > 0 && r.top < innerHeight) { stuck += Math.min(r.bottom, innerHeight) - Math.max(r.top, 0); }
	});
	if (stuck > innerHeight / 2) { say("bars over half of the screen", document.body, Math.round(stuck) + " of " + innerHeight + " px"); }
	window.scrollTo(0, 0);
	return out;
})()`

// Every page four times as large on a screen of 1280 by 1024, with letters
// alone twice as large on a phone, and as it is there: nothing is cut, covered or off the screen
// (WCAG 2.2: 1.4.4, 1.4.10, 2.4.11).
func TestEveryPageEnlarged(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	_, err := svc.ChangeDraft(ctx, planOf(t, svc), 1, func(d *api.Draft) {
		d.Set(api.DraftLine{Item: linesOf(t, svc)[0].Item, Got: true, Price: "19.90"})
		d.Set(api.DraftLine{Item: linesOf(t, svc)[1].Item, None: true})
	})
	require.NoError(t, err)
	lived(t, svc)
	base := serve(t, svc, Options{})
	for _, z := range []struct {
		name    string
		screen  step
		letters int64 // the size a reader has set as normal
		width   int64
	}{
		{"400", chromedp.EmulateViewport(320, 256, chromedp.EmulateScale(4)), 16, 320},
		{"letters", size(360, 740), 32, 360},
		{"phone", size(360, 740), 16, 360},
	} {
		t.Run(z.name, func(t *testing.T) {
			t.Parallel()
			b := open(t)
			b.do(z.screen, call(page.SetFontSizes, page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: z.letters, Fixed: z.letters}}))
			for _, p := range pagesToLookAt {
				b.do(chromedp.Navigate(base + p.path))
				require.Equal(t, fmt.Sprintf("%dpx", z.letters), eval[string](b, `getComputedStyle(document.documentElement).fontSize`))
				b.checkSizes(p.name+" "+z.name, z.width)
				b.screen("zoom-" + p.name + "-" + z.name)
				for _, fault := range eval[[]string](b, zoomFaults) {
					t.Errorf("%s %s: %s", p.name, z.name, fault)
				}
			}
		})
	}
}
