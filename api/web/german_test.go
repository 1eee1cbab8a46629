package web

import (
	"encoding/csv"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"hardtack/seed"
)

// spoken is what a reader reads of a page: text, and the words of attributes.
// What says that it is in another language does not count.
func spoken(doc *html.Node) []string {
	var out []string
	var read func(n *html.Node)
	read = func(n *html.Node) {
		lang, _ := attr(n, "lang")
		if n.Type == html.ElementNode && (n.DataAtom == atom.Script || n.DataAtom == atom.Style || lang != "" && n.DataAtom != atom.Html) {
			return
		}
		if n.Type == html.TextNode && strings.TrimSpace(n.Data) != "" {
			out = append(out, strings.TrimSpace(n.Data))
		}
		for _, key := range []string{"aria-label", "title", "placeholder", "data-gone", "data-back"} {
			if text, ok := attr(n, key); ok && n.Type == html.ElementNode && text != "" {
				out = append(out, text)
			}
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			read(c)
		}
	}
	read(doc)
	return out
}

// Under German nothing is said in English: no name of the catalogue, no text of
// the pages or of the core as it is in English.
func TestGermanPagesHaveNoEnglish(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	lived(t, svc)
	w, err := world()
	require.NoError(t, err)
	names := w.Catalogue.Words["de"]
	english := map[string]string{}
	strange := func(en, de string) {
		if en != de && len(en) > 3 && !strings.Contains(en, "%") {
			english[en] = de
		}
	}
	for id, it := range w.Catalogue.Items {
		strange(it.Name, names.Name("item", string(id), ""))
		strange(it.BuyHint, names.Name("hint", it.BuyHint, ""))
	}
	for _, n := range planOf(t, svc).Notes.Needs {
		strange(n.Name, (&Words{names: names}).need(n))
	}
	words := loadWords(w.Catalogue.Words)
	for key, text := range words["en"].text {
		if strings.HasPrefix(key, "space.") {
			continue // the invented boat's people name lockers like that
		}
		strange(text, words["de"].text[key])
	}
	german := map[string]bool{} // what is German as well
	for _, de := range english {
		german[de] = true
	}
	named := append(outlets(t), planOf(t, svc).Title)
	v := visit(t, serve(t, svc, Options{}))
	for name, body := range germanPages(v) {
		doc, err := html.Parse(strings.NewReader(body))
		require.NoError(t, err)
		for _, text := range spoken(doc) {
			_, is := english[text]
			require.False(t, is && !german[text], "%s: %q is not German", name, text)
			for en := range english {
				require.False(t, len(en) > 12 && strings.Contains(text, en) && !german[en], "%s: %q has English in it: %q", name, text, en)
			}
			for _, name := range named {
				text = strings.ReplaceAll(text, name, "")
			}
			if word := function.FindString(text); word != "" {
				t.Errorf("%s: %q is English: %q", name, text, word)
			}
		}
		checkForeign(t, name, doc)
	}
}

// function are words that stand in an English sentence and in no German one.
var function = regexp.MustCompile(`(?i)(^|[\s(„"])(the|and|of|is|are|with|it|not|from|that|this|they|or|to|be|no|you|your|when|than|only|which|has|have|been|were|want|other|some|any|into|before|there|found|by|where|until)([\s.,:;)“"]|$)`)

// outlets are the shops of the demo's reports, by the names people gave them.
func outlets(t *testing.T) []string {
	t.Helper()
	f, err := seed.FS.Open("demo/reports.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	k := slices.Index(rows[0], "shop")
	require.NotEqual(t, -1, k)
	seen := map[string]bool{}
	for _, row := range rows[1:] {
		seen[row[k]] = row[k] != ""
	}
	return slices.Collect(maps.Keys(seen))
}

// germanPages are the pages of the demo under German, those about what is
// aboard with what only some boats have, and forms sent wrong.
func germanPages(v *visitor) map[string]string {
	out := map[string]string{}
	get := func(name, path string) { out[name] = v.do("GET", path, nil, "Accept-Language", "de").body }
	for _, p := range append(pagesToLookAt, struct{ name, path string }{"carry", demoVoyage + "/carry"}) {
		get(p.name, p.path)
	}
	return out
}

// checkForeign wants what a page says to be in English to be a citation or what
// the reader types.
func checkForeign(t *testing.T, page string, doc *html.Node) {
	t.Helper()
	each(doc, func(n *html.Node) {
		lang, has := attr(n, "lang")
		if has && n.DataAtom != atom.Html && n.DataAtom != atom.Cite && n.DataAtom != atom.Textarea {
			t.Errorf("%s: <%s lang=%s> is no citation", page, n.Data, lang)
		}
	})
}
