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

// press clicks a thing after bringing it to the middle, clear of the bars.
func press(button string) step {
	middle := chromedp.Evaluate[bool](fmt.Sprintf(`document.querySelector(%q).scrollIntoView({block: "center"}); true`, button))
	return func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		if _, err := chromedp.WaitReady(css(button))(ctx, t); err != nil {
			return chromedp.Void{}, err
		}
		if _, err := middle(ctx, t); err != nil {
			return chromedp.Void{}, err
		}
		return chromedp.Click(css(button))(ctx, t)
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
