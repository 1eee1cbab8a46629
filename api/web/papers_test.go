package web

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/ledongthuc/pdf"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/unicode/norm"

	"hardtack/api"
)

// A list on paper is one or two pages, of either size, and has every line of
// the list with its box: read back from the PDF a browser prints.
func TestAListIsTwoSheetsOfPaper(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	base := serve(t, svc, Options{})
	b := open(t)
	b.do(chromedp.Navigate(base + shopPath + "/sheet"))
	for name, paper := range map[string]chromedp.PaperSize{"A4": chromedp.PaperA4, "Letter": chromedp.PaperLetter} {
		pages, text := b.print(chromedp.PDFPaper(paper))
		require.Contains(t, []int{1, 2}, pages, name)
		lines := linesOf(t, svc)
		require.Equal(t, len(lines), strings.Count(text, "□"), "%s: one box a line", name)
		for _, l := range lines {
			require.Contains(t, text, folded(l.Name), name)
			for _, p := range l.Packs {
				if l.Item == "water_tank" {
					continue // it is filled up
				}
				require.Contains(t, text, folded(strconv.Itoa(p.Count)+" × "+p.Label), name)
			}
		}
		require.NotContains(t, text, "Season Ashore", "%s: the navigation stays on the screen", name)
	}
	for path, wants := range map[string]string{demoVoyage: "Kinsale", demoVoyage + "/use-first": "Use first"} {
		b.do(chromedp.Navigate(base + path))
		pages, text := b.print(chromedp.PDFPaper(chromedp.PaperA4))
		require.LessOrEqual(t, pages, 4, path)
		require.Contains(t, text, folded(wants), path)
	}
}

// print gives the pages of the PDF a browser prints, and its text.
func (b *tab) print(paper chromedp.PDFOption) (pages int, text string) {
	b.t.Helper()
	body, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(paper))
	require.NoError(b.t, err)
	r, err := pdf.NewReader(bytes.NewReader(body), int64(len(body)))
	require.NoError(b.t, err)
	plain, err := r.GetPlainText()
	require.NoError(b.t, err)
	all, err := io.ReadAll(plain)
	require.NoError(b.t, err)
	return r.NumPage(), folded(string(all))
}

// folded has no ligatures, soft hyphens or line breaks, which paper has.
func folded(text string) string {
	return strings.Join(strings.Fields(norm.NFKC.String(text)), " ")
}

// mostCarried is what the file of all lists of a season may take packed: under
// a minute at 64 kbit/s.
const mostCarried = 64_000 / 8 * 60

func packedSize(t *testing.T, text string) int {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, err := io.WriteString(w, text)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	t.Logf("%.0f KB, packed %.1f KB", float64(len(text))/1024, float64(b.Len())/1024)
	return b.Len()
}

// The carried file is opened from the disk, with no server there: ticks and
// prices survive a reload, and their text is taken back aboard.
func TestACarriedListComesBack(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	v := visit(t, serve(t, svc, Options{}))
	carried := v.get(demoVoyage + "/carry")
	require.Equal(t, http.StatusOK, carried.status)
	lists, err := svc.List(ctx, "demo-season", api.EveryStop)
	require.NoError(t, err)
	reasons := 0
	for _, l := range lists.Lists {
		for _, line := range l.Lines {
			if len(line.Why) > 0 {
				reasons++
			}
		}
	}
	require.Greater(t, reasons, 100)
	require.Equal(t, reasons, strings.Count(carried.body, "<summary>why here</summary>")+strings.Count(carried.body, "why here: "), "each says why it is bought here")
	require.LessOrEqual(t, packedSize(t, carried.body), mostCarried, "bytes over a thin link")
	file := filepath.Join(t.TempDir(), "list.html")
	require.NoError(t, os.WriteFile(file, []byte(carried.body), 0o600))
	lines := linesOf(t, svc)
	at := planOf(t, svc).Call(1).String()
	price := `input[data-call="` + at + `"][data-item="` + string(lines[0].Item) + `"][data-field="price"]`
	none := `input[data-call="` + at + `"][data-item="` + string(lines[1].Item) + `"][data-field="none"]`
	b := open(t)
	b.do(size(360, 740), chromedp.Navigate("file://"+file), chromedp.WaitReady(css(price)), typed(price, "2,49"), press(none),
		reload, chromedp.WaitReady(css(price)))
	require.Equal(t, "2,49", eval[string](b, `document.querySelector('`+price+`').value`), "kept over a reload")
	text := eval[string](b, `document.getElementById("ticks").value`)

	page := v.post(demoVoyage+"/papers", url.Values{"ticks_text": {"Sent from a phone\n\n" + text}})
	require.Equal(t, http.StatusOK, page.status)
	require.Contains(t, page.body, "2 lines are back in 1 lists")
	d, err := svc.Draft(ctx, planOf(t, svc), 1)
	require.NoError(t, err)
	require.ElementsMatch(t, []api.DraftLine{{Item: lines[0].Item, Got: true, Price: "2,49"}, {Item: lines[1].Item, None: true}}, d.Value.Lines)

	// The same as a file that the phone saved.
	_, err = svc.ChangeDraft(ctx, planOf(t, svc), 1, func(d *api.Draft) { d.Lines = nil })
	require.NoError(t, err)
	saved := filepath.Join(t.TempDir(), "ticks.csv")
	require.NoError(t, os.WriteFile(saved, []byte(text), 0o600))
	b.do(chromedp.Navigate(v.base+demoVoyage+"/papers"), chromedp.SetUploadFiles(css("input[name=ticks]"), []string{saved}),
		press("form[enctype] button.main"), chromedp.WaitReady(css("p.done")))
	again, err := svc.Draft(ctx, planOf(t, svc), 1)
	require.NoError(t, err)
	require.ElementsMatch(t, d.Value.Lines, again.Value.Lines)
	away := strings.ReplaceAll(text, at, "ESLPA@2031-01-01")
	lost := v.post(demoVoyage+"/papers", url.Values{"ticks_text": {away}})
	require.Equal(t, http.StatusUnprocessableEntity, lost.status)
	require.Contains(t, lost.body, "no such call any more: ESLPA@2031-01-01")

	require.Equal(t, http.StatusUnprocessableEntity, v.post(demoVoyage+"/papers", url.Values{"ticks_text": {"hello"}}).status)
	require.Equal(t, http.StatusUnprocessableEntity, v.post(demoVoyage+"/papers", url.Values{}).status)
}
