package web

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// What a page may cost: a boat's link is thin. Goals of the project.
const (
	firstView  = 50 << 10 // bytes over the wire
	secondView = 10 << 10
	mostAsked  = 3
	// A link of 64 kbit/s with 600 ms to and fro.
	linkBytes = 64_000 / 8
	linkDelay = 600
)

// traffic is what loading a page asked for.
type traffic struct {
	asked   int
	bytes   float64
	outside []string
}

// loading counts what a step asks of the network, headers and all.
func (b *tab) loading(base string, s step) traffic {
	b.t.Helper()
	var out traffic
	within, stop := context.WithCancel(b.ctx)
	defer stop()
	done := make(chan struct{})
	finished := chromedp.Events(within, network.LoadingFinished)
	sent := chromedp.Events(within, network.RequestWillBeSent)
	go func() {
		defer close(done)
		for ev, err := range sent {
			if err != nil {
				return
			}
			at := ev.Request.URL
			switch {
			case strings.HasPrefix(at, "data:"):
			case strings.HasPrefix(at, base):
				out.asked++
			default:
				out.outside = append(out.outside, at)
			}
		}
	}()
	b.do(s, until(`document.readyState === "complete"`))
	time.Sleep(50 * time.Millisecond) // the last event is on its way
	go func() {
		time.Sleep(50 * time.Millisecond)
		stop()
	}()
	for ev, err := range finished {
		if err != nil {
			break
		}
		out.bytes += ev.EncodedDataLength
	}
	<-done
	return out
}

func call[P, R any](command cdp.Command[P, R], params P) step {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, command, params)
		return err
	})
}

// Every page within its budget, first with nothing kept, then again, then over
// the thin link.
func TestPagesAreLight(t *testing.T) {
	t.Parallel()
	base := serve(t, invented(t), Options{})
	b := open(t)
	b.do(size(360, 740), call(network.Enable, network.EnableParams{}))
	var table strings.Builder
	for _, p := range pagesToLookAt {
		if p.name == "problem" {
			continue
		}
		b.do(chromedp.Navigate("about:blank"), call(network.ClearBrowserCache, cdp.Empty{}))
		first := b.loading(base, chromedp.Navigate(base+p.path))
		second := b.loading(base, chromedp.Navigate(base+p.path))
		require.Empty(t, first.outside, "%s: nothing is asked of others", p.name)
		require.LessOrEqual(t, first.asked, mostAsked, p.name)
		require.LessOrEqual(t, first.bytes, float64(firstView), p.name)
		require.LessOrEqual(t, second.bytes, float64(secondView), "%s, second view", p.name)
		link := 2*linkDelay + 1000*first.bytes/linkBytes
		require.LessOrEqual(t, link, 5000.0+2*linkDelay, "%s: over the thin link", p.name)
		fmt.Fprintf(&table, "%-10s %6.1f KB %d requests, again %5.1f KB\n", p.name, first.bytes/1024, first.asked, second.bytes/1024)
	}
	if at := os.Getenv("SCREENSHOTS"); at != "" {
		require.NoError(t, os.WriteFile(at+"/weight.txt", []byte(table.String()), 0o644))
	}
	t.Log("\n" + table.String())
}

// The season over 64 kbit/s with 600 ms to and fro, as Chromium throttles it,
// beside the same page without: what the link adds until something is read.
func TestTheSeasonOverAThinLink(t *testing.T) {
	t.Parallel()
	base := serve(t, invented(t), Options{})
	b := open(t)
	painted := func() float64 {
		b.do(chromedp.Navigate(base+demoVoyage), chromedp.WaitReady(css("svg.map")),
			chromedp.Poll[chromedp.Void](`performance.getEntriesByName("first-contentful-paint").length > 0`, chromedp.WithPollingTimeout(time.Minute)))
		return eval[float64](b, `performance.getEntriesByType("paint").find(e => e.name === "first-contentful-paint").startTime`)
	}
	b.do(size(360, 740), call(network.Enable, network.EnableParams{}), call(network.SetCacheDisabled, network.SetCacheDisabledParams{CacheDisabled: true}))
	fast := painted()
	b.do(call(network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
		MatchedNetworkConditions: []*network.Conditions{{Latency: linkDelay, DownloadThroughput: linkBytes, UploadThroughput: linkBytes}},
	}))
	slow := painted()
	t.Logf("first contentful paint after %.0f ms, %.0f ms without the link", slow, fast)
	require.Greater(t, slow-fast, float64(linkDelay), "the link was slow")
	require.Less(t, slow-fast, 15_000.0, "a busy machine paints late; what the link takes is counted in bytes elsewhere")
}

// nasty are what somebody might type to make a page run or show what it should
// not.
var nasty = []string{
	`<script>window.pwned=1</script>`, `"><img src=x onerror="window.pwned=1">`, `'onfocus='window.pwned=1' autofocus='`,
	`javascript:window.pwned=1`, `</textarea></title><svg onload=window.pwned=1>`, `{{.Base}}${window.pwned=1}`,
}

// Every text that is kept and shown again, with something nasty in it, in a
// browser: nothing runs and nothing becomes an element.
func TestNothingTypedRuns(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	base := serve(t, svc, Options{})
	v := visit(t, base)
	all := strings.Join(nasty, " ")
	form := fieldsOf(t, v.get(demoVoyage+"/edit").body, demoVoyage+"/edit")
	form.Set("name", clipped(all, 150))
	v.post(demoVoyage+"/edit", form)
	lines := linesOf(t, svc)
	shop := url.Values{"do": {"receipt"}}
	for i, text := range nasty {
		id := string(lines[i].Item)
		shop.Set("price."+id, text)
		shop.Set("pack."+id, text)
		shop.Set("count."+id, text)
	}
	v.post(shopPath, shop)
	receipt := fieldsOf(t, v.get(shopPath+"/receipt").body, shopPath+"/receipt")
	receipt.Set("shop", clipped(all, 190))
	receipt.Set("sum", nasty[1])
	v.post(shopPath+"/receipt", receipt)
	boat := fieldsOf(t, v.get("/boat").body, "/boat")
	boat.Set("name", clipped(all, 150))
	boat.Set("person0", nasty[1])
	v.post("/boat", boat)
	b := open(t)
	for _, path := range []string{
		demoVoyage, demoVoyage + "/edit", demoVoyage + "/ashore", shopPath, shopPath + "/receipt", shopPath + "/sheet", "/boat", demoVoyage + "/papers",
		demoVoyage + "/prices?q=" + url.QueryEscape(nasty[1]), demoVoyage + "/ahead?item=" + url.QueryEscape(nasty[0]), "/prefs?back=" + url.QueryEscape(nasty[3]),
		"/start?x=" + url.QueryEscape(nasty[1]), "/" + url.PathEscape(nasty[1]), demoVoyage + "/carry",
	} {
		if strings.HasSuffix(path, "/carry") {
			require.NotContains(t, v.get(path).body, nasty[0])
			continue
		}
		b.do(chromedp.Navigate(base + path))
		require.False(t, eval[bool](b, `"pwned" in window`), path)
		require.Zero(t, eval[int64](b, `document.querySelectorAll("img, script:not([src]), [onerror], [onload], [onfocus], a[href^='javascript']").length`), path)
	}
}
