package web

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"hardtack/api"
	"hardtack/route/plan"
)

// void are the elements without an end (HTML, 13.1.2).
var void = []string{"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}

// tags is the tree a page is written as, by its own tags: every one has its
// end, in order.
func tags(t *testing.T, page, body string) []string {
	t.Helper()
	var open, out []string
	z := html.NewTokenizer(strings.NewReader(body))
	for {
		kind := z.Next()
		if kind == html.ErrorToken {
			require.Empty(t, open, "%s: never closed", page)
			return out
		}
		token := z.Token()
		name := token.Data
		switch kind {
		case html.StartTagToken, html.SelfClosingTagToken:
			seen := map[string]bool{}
			for _, a := range token.Attr {
				require.False(t, seen[a.Key], "%s: %s twice in <%s>", page, a.Key, name)
				seen[a.Key] = true
			}
			out = append(out, fmt.Sprint(len(open), " ", name))
			if kind == html.StartTagToken && !slices.Contains(void, name) {
				open = append(open, name)
			}
		case html.EndTagToken:
			require.NotEmpty(t, open, "%s: </%s> without a beginning", page, name)
			require.Equal(t, open[len(open)-1], name, "%s: ends in another order than it began", page)
			open = open[:len(open)-1]
		}
	}
}

// tree is the tree a browser makes of it.
func tree(n *html.Node, deep int, out *[]string) {
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		if c.Type == html.ElementNode {
			*out = append(*out, fmt.Sprint(deep, " ", strings.ToLower(c.Data)))
			tree(c, deep+1, out)
		}
	}
}

// each calls for every element.
func each(n *html.Node, call func(*html.Node)) {
	if n.Type == html.ElementNode {
		call(n)
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		each(c, call)
	}
}

func attr(n *html.Node, key string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val, true
		}
	}
	return "", false
}

// within are elements that may only stand in others (HTML, content models).
var within = map[string][]string{
	"li": {"ul", "ol"}, "dt": {"dl", "div"}, "dd": {"dl", "div"}, "legend": {"fieldset"}, "summary": {"details"}, "option": {"select"},
	"tr": {"thead", "tbody"}, "td": {"tr"}, "th": {"tr"}, "thead": {"table"}, "tbody": {"table"}, "caption": {"table"},
}

// A browser makes of each page just what is written there: nothing is left
// open, moved or put in. Names within a page are there once, and what points to
// one finds it.
func TestPagesAreValidHTML(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	_, err := svc.ChangeDraft(ctx, planOf(t, svc), 1, func(d *api.Draft) {
		d.Set(api.DraftLine{Item: linesOf(t, svc)[0].Item, Got: true, Price: "a lot"})
	})
	require.NoError(t, err)
	v := visit(t, serve(t, svc, Options{}))
	for _, p := range append(pagesToLookAt, struct{ name, path string }{"carry", demoVoyage + "/carry"}) {
		body := v.get(p.path).body
		require.True(t, strings.HasPrefix(body, "<!doctype html>\n<html lang="), p.name)
		doc, err := html.Parse(strings.NewReader(body))
		require.NoError(t, err, p.name)
		var made []string
		tree(doc, 0, &made)
		require.Equal(t, tags(t, p.name, body), made, "%s: a browser makes another tree of it", p.name)
		checkNames(t, p.name, doc)
	}
}

func checkNames(t *testing.T, page string, doc *html.Node) {
	t.Helper()
	ids := map[string]bool{}
	each(doc, func(n *html.Node) {
		if id, ok := attr(n, "id"); ok {
			require.False(t, ids[id], "%s: two of id %q", page, id)
			require.NotEmpty(t, id, page)
			ids[id] = true
		}
	})
	each(doc, func(n *html.Node) {
		for _, key := range []string{"for", "aria-labelledby", "aria-describedby", "aria-controls"} {
			refs, _ := attr(n, key)
			for id := range strings.FieldsSeq(refs) {
				require.True(t, ids[id], "%s: %s=%q points to nothing", page, key, id)
			}
		}
		if to, _ := attr(n, "href"); strings.HasPrefix(to, "#") && len(to) > 1 {
			require.True(t, ids[to[1:]], "%s: a link to %s", page, to)
		}
		if parents := within[n.Data]; parents != nil && n.Namespace == "" {
			require.Contains(t, parents, n.Parent.Data, "%s: <%s> in <%s>", page, n.Data, n.Parent.Data)
		}
		for _, key := range []string{"style", "onclick", "onload", "onsubmit"} {
			_, has := attr(n, key)
			require.False(t, has, "%s: %s in the page", page, key)
		}
		if n.DataAtom == atom.Form || n.DataAtom == atom.A || n.DataAtom == atom.Button {
			for up := n.Parent; up != nil; up = up.Parent {
				require.NotEqual(t, n.DataAtom, up.DataAtom, "%s: <%s> within one", page, n.Data)
			}
		}
	})
}

// The planner's own warnings, which are sentences in English, are put into the
// reader's words by the need and the period they begin with.
func TestTheDoubtsOfAPlanAreInTheReadersWords(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	w, err := world()
	require.NoError(t, err)
	x := planOf(t, svc)
	x.Plan.Warnings = []string{"coffee, leg 2: every offer in reach costs at least 9.00 EUR per each, more than the 1.00 of going without", "something else"}
	x.Plan.Missing = append(x.Plan.Missing, plan.Missing{Need: "coffee", Period: "leg 2", Amount: 900})
	q := &request{words: loadWords(w.Catalogue.Words)["de"]}
	got := q.doubts(&Frame{Words: q.words}, x)
	require.Contains(t, got[0], "Kaffee, Tassen, ab ")
	require.Equal(t, "something else", got[1])
}
