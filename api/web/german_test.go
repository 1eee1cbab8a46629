package web

import (
	"encoding/csv"
	"maps"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"hardtack/route/meal"
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
	v.post("/prefs", url.Values{"lang": {"de"}})
	for _, stop := range []string{"3", "8"} {
		get("stow at "+stop, "/aboard/stow?stop="+stop)
	}
	get("beside", "/aboard/pests?lot="+regexp.MustCompile(`pests\?lot=([^"]+)"`).FindStringSubmatch(out["pests"])[1])
	for _, m := range regexp.MustCompile(`<option value="([^"]+ \d{4}-\d\d-\d\d)"`).FindAllStringSubmatch(out["border"], -1)[:6] {
		get("border to "+m[1], "/aboard/border?to="+url.QueryEscape(m[1]))
	}
	get("no port", demoVoyage+"/ahead?item=unobtainium&from=2")
	for _, x := range []struct {
		name, path string
		form       url.Values
	}{
		{"meals made", "/aboard/meals", url.Values{"meals": {meal.Example}, "people": {"4"}, "days": {"21"}}},
		{"no water in the meals", "/aboard/meals", url.Values{"meals": {"Stew,,2,lettuce,1 kg\n"}, "people": {"4"}, "days": {"90"}, "less": {"1"}}},
		{"bad meals", "/aboard/meals", url.Values{"meals": {"Stew,brunch,2,onion,1 kg\nStew,,2,unobtainium,1 kg\nStew,,,onion,1 kg\nStew,,1,onion,viel\nStew,2\ndays,x\n"}, "people": {"4"}, "days": {"2"}}},
		{"no meals", "/aboard/meals", url.Values{"meals": {"#\n"}, "people": {"4"}, "days": {"2"}}},
		{"a log of whales", "/aboard/log", url.Values{"kind": {"whales"}}},
		{"too much rain", "/aboard/log", url.Values{"kind": {"rain"}, "amount": {"999999"}}},
		{"a remark without words", "/aboard/log", url.Values{"kind": {"remark"}}},
		{"come to no place", "/aboard/come", url.Values{"item": {"rice_white"}, "amount": {"1 kg"}, "to": {"attic"}, "how": {"bought"}}},
		{"come without amount", "/aboard/come", url.Values{"item": {"rice_white"}, "amount": {"much"}, "to": {"fridge"}, "how": {"bought"}, "paid": {"dear"}, "currency": {"EUR"}}},
		{"paid in nothing", "/aboard/come", url.Values{"item": {"rice_white"}, "amount": {"1 kg"}, "to": {"fridge"}, "how": {"bought"}, "paid": {"3"}, "currency": {"QQQ"}}},
		{"more used than there is", "/aboard/lot/rice_white", url.Values{"do": {"used"}, "amount": {"99 kg"}}},
		{"moved nowhere", "/aboard/lot/rice_white", url.Values{"do": {"moved"}, "amount": {"1 kg"}, "to": {""}}},
		{"bad lockers", "/aboard/lockers", url.Values{"revision": {"0"}, "name0": {"x"}, "space0": {"attic"}, "litres0": {"60"}}},
		{"bad report", demoVoyage + "/report", url.Values{"port": {"ESLPA"}, "item": {"rice_white"}, "found": {"yes"}, "amount": {"dear"}, "currency": {"EUR"}, "pack": {"a sack"}, "day": {"2031-01-01"}, "source": {"receipt"}}},
		{"a report of nothing", demoVoyage + "/report", url.Values{"port": {"nowhere"}, "item": {"unobtainium"}, "found": {"maybe"}}},
		{"bad file", demoVoyage + "/import", url.Values{"reports_text": {"port,item,day,found,amount,currency,pack\nnowhere,rice_white,2026-09-01,yes,1,EUR,1 kg\nESLPA,rice_white,2031-09-01,yes,x,EUR,1 sack\n"}}},
	} {
		out[x.name] = v.post(x.path, x.form).body
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
