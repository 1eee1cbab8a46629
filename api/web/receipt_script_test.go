package web

import (
	"fmt"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// A hand on a phone, in seconds, by the keystroke-level model (Card, Moran and
// Newell, 1980): to make up one's mind, to bring the thumb to something, and to
// press a key, for one who types 40 words a minute.
const (
	minded  = 1.35
	pointed = 1.1
	pressed = 0.28
)

// hand does what a thumb does, and counts it.
type hand struct {
	*tab
	taps, keys, minds int
	most              int // taps for one price
}

func (h *hand) tap(sel string) { h.t.Helper(); h.do(press(sel)); h.taps++ }

func (h *hand) typing(text string) {
	h.t.Helper()
	h.do(chromedp.KeyEvent(text))
	h.keys += len([]rune(text))
}

// price is all that is done for one price: its taps are counted alone.
func (h *hand) price(enter func()) {
	h.t.Helper()
	before := h.taps
	h.minds++
	enter()
	h.most = max(h.most, h.taps-before)
}

// seconds a person would take for it; walking to the shelf apart.
func (h *hand) seconds() float64 {
	return minded*float64(h.minds) + pointed*float64(h.taps) + pressed*float64(h.taps+h.keys)
}

// another pack than the one a label names, in its unit.
func another(label string) string {
	words := strings.Fields(label)
	switch words[len(words)-1] {
	case "kg", "g":
		return "750 g"
	case "L", "l", "ml":
		return "750 ml"
	}
	return "7"
}

// The receipt of twenty prices on a phone: ten go by the keyboard's own next
// key, five each by a tap on the field, three in another pack and number, one
// thing is not to be had and another is taken for it, one was bought without a
// price. The boat is out of reach from the ninth to the twelfth, and the page is
// loaded anew in the middle.
func TestTwentyPricesOnAPhone(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	f := &flaky{Handler: New(svc, Options{Plan: quick})}
	server := httptest.NewServer(f)
	t.Cleanup(server.Close)
	b := open(t)
	h := &hand{tab: b}
	b.do(size(360, 740), chromedp.Navigate(server.URL+shopPath), chromedp.WaitReady(css("form.shop")))
	shown := eval[[]string](b, `Array.from(document.querySelectorAll("[data-line]")).map(e => e.dataset.line)`)
	instead := eval[string](b, `Array.from(document.querySelectorAll("select[name^='sub.']")).map(e => e.name.slice(4)).find(id => !`+
		fmt.Sprintf("%q.split(' ').includes(id))", strings.Join(shown[:19], " ")))
	field := func(name, id string) string { return fmt.Sprintf(`[name="%s.%s"]`, name, id) }
	began := time.Now()
	h.do(press(`input` + field("price", shown[0])))
	h.taps++
	for n := range 10 {
		if n == 8 {
			f.gone.Store(true)
		}
		h.price(func() { h.typing(fmt.Sprintf("%d.%d0\r", n+1, n%9+1)) })
	}
	for n := 10; n < 15; n++ {
		h.price(func() { h.tap("input" + field("price", shown[n])); h.typing(fmt.Sprintf("%d.5\r", n)) })
		if n == 11 {
			b.do(until(`document.querySelector(".state").textContent.includes("cannot be reached")`))
			f.gone.Store(false)
			b.do(reload, chromedp.WaitReady(css("form.shop")))
		}
	}
	for n := 15; n < 18; n++ {
		h.price(func() {
			h.tap("input" + field("price", shown[n]))
			h.typing("3.10")
			h.tap(fmt.Sprintf(`[data-line="%s"] summary`, shown[n]))
			h.tap("input" + field("pack", shown[n]))
			h.typing(another(eval[string](b, fmt.Sprintf(`document.querySelector('input%s').closest("label").textContent`, field("pack", shown[n])))))
			h.tap("input" + field("count", shown[n]))
			h.typing("4")
		})
	}
	h.price(func() {
		h.tap(fmt.Sprintf(`[data-line="%s"] summary`, instead))
		h.taps += 2 // the list of what may be taken for it, and one of it
		eval[bool](b, fmt.Sprintf(`(e => { e.selectedIndex = 1; e.dispatchEvent(new Event("input", {bubbles: true})); e.dispatchEvent(new Event("change", {bubbles: true})); return true; })(document.querySelector('select%s'))`, field("sub", instead)))
		h.tap("input" + field("subprice", instead))
		h.typing("2.20\t")
	})
	h.price(func() { h.tap("input" + field("got", shown[18])) })
	machine := time.Since(began).Seconds()
	b.do(until(`Object.keys(localStorage).filter(k => k.startsWith("shop:")).length === 0`))
	b.shot("shop-filled-light-360")
	d, err := svc.Draft(ctx, planOf(t, svc), 1)
	require.NoError(t, err)
	var kept []string
	for _, l := range d.Value.Lines {
		if l.For == "" {
			kept = append(kept, string(l.Item))
		}
	}
	want := append(slices.Clone(shown[:19]), instead)
	slices.Sort(want)
	slices.Sort(kept)
	require.Equal(t, want, kept, "nothing typed is lost")
	h.tap("button[value=receipt]")
	b.do(chromedp.WaitReady(css("input[name=sum]")))
	h.tap("button[value=confirm]")
	b.do(chromedp.WaitReady(css("p.done")))
	require.Len(t, mine(t, svc), 20, "18 prices, one not there, and what was taken for it")
	t.Logf("20 prices: %d taps in all, %.1f a price, at most %d for one; %d keys; by hand %.0f s (keystroke-level model), the machine took %.1f s",
		h.taps, float64(h.taps)/20, h.most, h.keys, h.seconds(), machine)
	require.LessOrEqual(t, h.most, 4)
	require.LessOrEqual(t, h.seconds(), 180.0)
}
