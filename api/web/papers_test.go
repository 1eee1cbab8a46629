package web

import (
	"bytes"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"hardtack/api"
)

// A list on paper is one or two pages, of either size, read back from the PDF a
// browser prints.
func TestAListIsTwoSheetsOfPaper(t *testing.T) {
	t.Parallel()
	b := open(t)
	b.do(chromedp.Navigate(serve(t, invented(t), Options{}) + shopPath + "/sheet"))
	for name, paper := range map[string]chromedp.PaperSize{"A4": chromedp.PaperA4, "Letter": chromedp.PaperLetter} {
		pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(paper)))
		require.NoError(t, err)
		if dir := os.Getenv("SCREENSHOTS"); dir != "" {
			require.NoError(t, os.WriteFile(filepath.Join(dir, "sheet-"+name+".pdf"), pdf, 0o644))
		}
		pages := bytes.Count(pdf, []byte("/Type /Page\n"))
		require.Contains(t, []int{1, 2}, pages, name)
	}
}

// The carried file is opened from the disk, with no server there: ticks and
// prices survive a reload, and their text is taken back aboard.
func TestACarriedListComesBack(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	carried := v.get(demoVoyage + "/carry")
	require.Equal(t, http.StatusOK, carried.status)
	file := filepath.Join(t.TempDir(), "list.html")
	require.NoError(t, os.WriteFile(file, []byte(carried.body), 0o600))
	lines := linesOf(t, svc)
	at := planOf(t, svc).Call(1).String()
	price := `input[data-call="` + at + `"][data-item="` + string(lines[0].Item) + `"][data-field="price"]`
	none := `input[data-call="` + at + `"][data-item="` + string(lines[1].Item) + `"][data-field="none"]`
	b := open(t)
	b.do(size(360, 740), chromedp.Navigate("file://"+file), chromedp.WaitReady(css(price)), typed(price, "2,49"), press(none),
		chromedp.Reload(), chromedp.WaitReady(css(price)))
	require.Equal(t, "2,49", eval[string](b, `document.querySelector('`+price+`').value`), "kept over a reload")
	text := eval[string](b, `document.getElementById("ticks").value`)

	page := v.post(demoVoyage+"/papers", url.Values{"ticks_text": {"Sent from a phone\n\n" + text}})
	require.Equal(t, http.StatusOK, page.status)
	require.Contains(t, page.body, "2 lines are back in 1 lists")
	d, err := svc.Draft(ctx, planOf(t, svc), 1)
	require.NoError(t, err)
	require.ElementsMatch(t, []api.DraftLine{{Item: lines[0].Item, Got: true, Price: "2,49"}, {Item: lines[1].Item, None: true}}, d.Value.Lines)

	require.Equal(t, http.StatusUnprocessableEntity, v.post(demoVoyage+"/papers", url.Values{"ticks_text": {"hello"}}).status)
	require.Equal(t, http.StatusUnprocessableEntity, v.post(demoVoyage+"/papers", url.Values{}).status)
}
