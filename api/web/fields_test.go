package web

import (
	"maps"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// form is a form of a page: where it leads, what a browser sends of it when
// nothing is touched, and by which fields and buttons people say something.
type form struct {
	method, action string
	fields         url.Values
	texts          []string
	buttons        []url.Values
}

// formsOf are the forms of a page.
func formsOf(t *testing.T, body string) []form {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(body))
	require.NoError(t, err)
	var out []form
	each(doc, func(n *html.Node) {
		if n.Data != "form" {
			return
		}
		f := form{method: http.MethodGet, fields: url.Values{}}
		f.action, _ = attr(n, "action")
		if m, _ := attr(n, "method"); strings.EqualFold(m, "post") {
			f.method = http.MethodPost
		}
		each(n, f.add)
		out = append(out, f)
	})
	return out
}

func (f *form) add(n *html.Node) {
	name, _ := attr(n, "name")
	value, _ := attr(n, "value")
	kind, _ := attr(n, "type")
	_, checked := attr(n, "checked")
	switch {
	case name == "":
	case n.Data == "button":
		f.buttons = append(f.buttons, url.Values{name: {value}})
	case n.Data == "textarea":
		f.texts = append(f.texts, name)
		f.fields.Add(name, textOf(n))
	case n.Data == "select":
		chosen, first := "", true
		each(n, func(o *html.Node) {
			v, given := attr(o, "value")
			if _, on := attr(o, "selected"); o.Data == "option" && (on || first) {
				if chosen, first = v, false; !given {
					chosen = textOf(o)
				}
			}
		})
		f.fields.Add(name, chosen)
	case n.Data != "input" || kind == "file":
	case kind == "checkbox" || kind == "radio":
		if checked {
			f.fields.Add(name, value)
		}
	default:
		f.fields.Add(name, value)
		f.texts = append(f.texts, name)
	}
}

func textOf(n *html.Node) string {
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return b.String()
}

// with is what is sent when something else is said.
func (f form) with(said url.Values) url.Values {
	out := maps.Clone(f.fields)
	maps.Copy(out, said)
	return out
}

func (v *visitor) send(f form, said url.Values) answer {
	if f.method == http.MethodPost {
		return v.post(f.action, f.with(said))
	}
	return v.get(f.action + "?" + f.with(said).Encode())
}

// harmless says whether all that may run on a page is its own script.
func harmless(t *testing.T, where, body string) {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(body))
	require.NoError(t, err)
	each(doc, func(n *html.Node) {
		switch n.Data {
		case "img", "iframe", "object", "embed", "base":
			t.Errorf("%s: <%s> on the page", where, n.Data)
		case "script":
			if src, _ := attr(n, "src"); !strings.HasPrefix(src, "/") || n.FirstChild != nil {
				t.Errorf("%s: a script of its own", where)
			}
		}
		for _, a := range n.Attr {
			if strings.HasPrefix(a.Key, "on") || slices.Contains([]string{"href", "src", "action", "formaction"}, a.Key) && strings.HasPrefix(strings.ToLower(strings.TrimSpace(a.Val)), "javascript:") {
				t.Errorf("%s: %s=%q", where, a.Key, a.Val)
			}
		}
	})
}

var faultsOf = regexp.MustCompile(`(?s)<div class="faults".*?</div>`)

// kindOf a field is its name without number and item.
var kindOf = regexp.MustCompile(`^[a-z_]+`)

// Every field of every form of every page, one of each kind alone and all at
// once by each button, with something nasty in it: no answer has anything in
// it that runs, none is a fault, and what was kept runs on no page.
func TestEveryFieldTakesNastyText(t *testing.T) {
	t.Parallel()
	svc := invented(t)
	lived(t, svc)
	v := visit(t, serve(t, svc, Options{}))
	all := clipped(strings.Join(nasty, " "), 110)
	sent := 0
	try := func(f form, said url.Values) {
		t.Helper()
		a := v.send(f, said)
		sent++
		require.Less(t, a.status, 500, "%s %s", f.action, said.Encode())
		harmless(t, f.action, a.body)
	}
	for _, p := range pagesToLookAt {
		seen := map[string]bool{}
		for n, f := range formsOf(t, v.get(p.path).body) {
			every := url.Values{}
			for _, name := range f.texts {
				every.Set(name, all)
				if kind := f.action + kindOf.FindString(name); !seen[kind] {
					seen[kind] = true
					now := formsOf(t, v.get(p.path).body) // revisions have moved on
					if n < len(now) {
						try(now[n], url.Values{name: {all}})
					}
				}
			}
			for _, button := range f.buttons {
				if len(f.texts) > 0 {
					said := maps.Clone(every)
					maps.Copy(said, button)
					try(f, said)
				}
			}
		}
	}
	require.Greater(t, sent, 100)
	// What only a form that is right otherwise keeps.
	keeps := 0
	for _, k := range []struct {
		page string
		said url.Values
	}{
		{"/aboard/log", url.Values{"kind": {"wanted"}, "place": {nasty[1]}, "note": {all}}},
		{"/aboard/log", url.Values{"kind": {"condition"}, "item": {"onion"}, "note": {nasty[0]}}},
		{"/aboard/come", url.Values{"item": {"rice_white"}, "amount": {"1 kg"}, "to": {"fridge"}, "party": {nasty[1]}}},
		{"/aboard/lot/rice_white", url.Values{"amount": {"100 g"}, "party": {nasty[0]}, "loan": {"1"}, "do": {"given"}}},
		{demoVoyage + "/report?port=GDSTG", url.Values{"item0": {"rice_white"}, "price0": {"4.50"}, "shop": {nasty[1]}, "source": {"shelf"}}},
		{demoVoyage + "/edit", url.Values{"name": {all}}},
		{"/boat", url.Values{"name": {all}, "person0": {nasty[1]}}},
		{"/aboard/lockers", url.Values{"name0": {nasty[0]}}},
	} {
		for _, f := range formsOf(t, v.get(k.page).body) {
			if u, err := url.Parse(k.page); err == nil && f.action == u.Path {
				if a := v.send(f, k.said); a.status == http.StatusOK {
					keeps++
				} else {
					t.Logf("%s: %d %s", k.page, a.status, faultsOf.FindString(a.body))
				}
			}
		}
	}
	require.GreaterOrEqual(t, keeps, 8)
	b := open(t)
	shown := 0
	for _, p := range pagesToLookAt {
		b.do(chromedp.Navigate(v.base + p.path))
		require.False(t, eval[bool](b, `"pwned" in window`), p.path)
		body := v.get(p.path).body
		harmless(t, p.path, body)
		if strings.Contains(body, "pwned") {
			shown++
		}
	}
	t.Logf("%d forms sent, shown again on %d pages", sent, shown)
	require.Greater(t, shown, 8, "it was kept somewhere")
}
