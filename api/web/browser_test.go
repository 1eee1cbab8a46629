package web

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"
)

// browser is one Chromium for all tests of the package; each test has a tab.
type browser struct {
	once sync.Once
	ctx  context.Context
	stop context.CancelFunc
	err  error
}

var chromium browser

func (b *browser) open() {
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.Flag("lang", "en"),
		chromedp.Flag("host-resolver-rules", "MAP galley.lan 127.0.0.1"), // a name that is no secure context
		chromedp.Flag("force-color-profile", "srgb"), chromedp.Flag("disable-lcd-text", true), chromedp.WindowSize(1280, 900))
	if os.Geteuid() == 0 {
		opts = append(opts, chromedp.NoSandbox) // it refuses to run as root otherwise
	}
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), opts...)
	c, stop := chromedp.NewContext(alloc)
	b.ctx, b.stop = c, func() { stop(); stopAlloc() }
	b.err = chromedp.Do(c)
}

// Nothing a page or a browser started is still running when the tests are over.
func TestMain(m *testing.M) {
	code := m.Run()
	if chromium.stop != nil {
		chromium.stop()
	}
	http.DefaultClient.CloseIdleConnections() // of the visitors
	if err := goleak.Find(); err != nil && code == 0 {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

// tab is a page of its own, gone after the test.
type tab struct {
	t   testing.TB
	ctx context.Context
}

func open(t testing.TB) *tab {
	t.Helper()
	chromium.once.Do(chromium.open)
	require.NoError(t, chromium.err, "Chromium is needed: run .ci/tools")
	c, stop := chromedp.NewContext(chromium.ctx, chromedp.WithNewBrowserContext())
	t.Cleanup(stop)
	require.NoError(t, chromedp.Do(c))
	late, cancel := context.WithTimeout(c, 10*time.Minute) // a busy machine is slow, not wrong
	t.Cleanup(cancel)
	return &tab{t, late}
}

type step = chromedp.Action[chromedp.Void]

func (b *tab) do(steps ...step) {
	b.t.Helper()
	require.NoError(b.t, chromedp.Do(b.ctx, steps...))
}

func eval[T any](b *tab, script string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	require.NoError(b.t, err, "%.200s", script)
	return v
}

func size(width, height int64) step { return chromedp.EmulateViewport(width, height) }

// scripts turns the page's own script on or off.
func scripts(on bool) step {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !on})
		return err
	})
}

// shot leaves a picture of the whole page where SCREENSHOTS says.
func (b *tab) shot(name string) { b.t.Helper(); b.picture(name, chromedp.FullScreenshot(100)) }

// screen leaves a picture of what one sees without scrolling.
func (b *tab) screen(name string) { b.t.Helper(); b.picture(name, chromedp.CaptureScreenshot()) }

func (b *tab) picture(name string, take chromedp.Action[[]byte]) {
	b.t.Helper()
	dir := os.Getenv("SCREENSHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, take)
	require.NoError(b.t, err)
	require.NoError(b.t, os.WriteFile(dir+"/"+name+".png", png, 0o644))
}

// reload loads the page anew and waits until its script has run: the old page
// may still answer for a while, and what is typed into that is gone with it.
func reload(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
	if _, err := chromedp.Evaluate[bool](`window.old = true`)(ctx, t); err != nil {
		return chromedp.Void{}, err
	}
	if _, err := chromedp.Reload()(ctx, t); err != nil {
		return chromedp.Void{}, err
	}
	return until(`!window.old && document.readyState === "complete"`)(ctx, t)
}

// until waits for a script's condition. A page that is just being replaced takes the
// question with it, which is then asked of the new one.
func until(condition string) step {
	return func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		for {
			_, err := chromedp.Poll[bool](condition)(ctx, t)
			if err == nil || !strings.Contains(err.Error(), "Cannot find context") {
				return chromedp.Void{}, err
			}
		}
	}
}
