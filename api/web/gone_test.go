package web

import (
	"net"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"hardtack/api/guard"
)

// Every form that takes some minutes to fill: the server goes away in the
// middle, the page is closed, and what was typed is there again.
func TestNothingTypedIsLostWhenTheServerGoesAway(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	for _, f := range []struct{ name, path, field, text, button, taken string }{
		{"first plan", "/start", "input[name=port1]", "Santa Maria", "button.main", `[data-drafted="start"]`},
		{"edit", demoVoyage + "/edit", "input[name=name]", "Westabout", "button.main", "#diff"},
		{"boat", "/boat", "input[name=person0]", "Ada Quill", "button.main", "p.done"},
		{"report", demoVoyage + "/report", "input[name=shop]", "Market by the quay", "", ""},
	} {
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			srv := svc
			if f.name == "first plan" {
				srv = empty(t)
			}
			far := &flaky{Handler: New(srv, Options{Plan: quick})}
			server := httptest.NewServer(far)
			t.Cleanup(server.Close)
			b := open(t)
			value := func() string { return eval[string](b, `document.querySelector('`+f.field+`').value`) }
			b.do(size(360, 740), chromedp.Navigate(server.URL+f.path), chromedp.WaitReady(css(f.field)))
			eval[bool](b, `document.querySelector('`+f.field+`').value = ""; true`)
			b.do(typed(f.field, f.text))
			far.gone.Store(true)
			_, err := chromedp.Run(b.ctx, chromedp.Navigate(server.URL+"/"))
			require.Error(t, err, "the server is out of reach")
			far.gone.Store(false)
			b.do(chromedp.Navigate(server.URL+f.path), chromedp.WaitReady(css(f.field)))
			require.Equal(t, f.text, value())
			require.Contains(t, eval[string](b, `document.querySelector(".state").textContent`), "is back")
			if f.button == "" {
				return
			}
			if f.name == "first plan" {
				b.do(typed("input[name=port0]", "Horta"))
			}
			b.do(press(f.button), chromedp.WaitReady(css(f.taken)), chromedp.Navigate(server.URL+f.path), chromedp.WaitReady(css(f.field)))
			require.Empty(t, eval[string](b, `document.querySelector(".state").textContent`), "what was taken is forgotten")
		})
	}
}

// In the boat's own network the address is plain HTTP: the browser gives no
// service worker, no randomUUID, no Sec-Fetch header. Ticks work all the same.
func TestShoppingWithoutASecureContext(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	base := serve(t, svc, Options{Hosts: guard.Hosts{"galley.lan"}})
	u, err := url.Parse(base)
	require.NoError(t, err)
	_, port, err := net.SplitHostPort(u.Host)
	require.NoError(t, err)
	b := open(t)
	b.do(size(360, 740), chromedp.Navigate("http://galley.lan:"+port+shopPath), chromedp.WaitReady(css("form.shop")))
	require.False(t, eval[bool](b, `window.isSecureContext`), "this would prove nothing on a secure one")
	require.False(t, eval[bool](b, `"serviceWorker" in navigator || "randomUUID" in crypto`))
	id := string(linesOf(t, svc)[0].Item)
	b.do(typed(`input[name="price.`+id+`"]`, "2.49\t"), until(`document.querySelector(".state").textContent.includes("Kept aboard")`))
	d, err := svc.Draft(ctx, planOf(t, svc), 1)
	require.NoError(t, err)
	require.Equal(t, "2.49", d.Value.Lines[0].Price)
	b.do(press("button[value=receipt]"), chromedp.WaitReady(css("input[name=sum]")), press("button[value=confirm]"), chromedp.WaitReady(css("p.done")))
	require.Len(t, mine(t, svc), 1)
	require.True(t, strings.HasPrefix(b.path(), demoVoyage))
}
