package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"
)

// Prefs are how one reader likes pages. They are kept in a cookie of the
// reader's, so that the phone at night may be red while the chart table is not.
type Prefs struct {
	Look  string // auto, light, dark, red
	Lang  string
	Units string // metric, us, imp
	Comma bool   // decimal comma
	Money string // both, local, home: what prices ashore are shown in
}

const prefsCookie = "hardtack"

// The choices there are, the default first.
var (
	looks   = []string{"auto", "light", "dark", "red"}
	units   = []string{"metric", "us", "imp"}
	moneys  = []string{"both", "local", "home"}
	yearAge = 365 * 24 * time.Hour
)

func readPrefs(r *http.Request) Prefs {
	var v url.Values
	if c, err := r.Cookie(prefsCookie); err == nil {
		v, _ = url.ParseQuery(c.Value) // a damaged cookie is as good as none
	}
	p := Prefs{
		Look: among(looks, v.Get("look")), Units: among(units, v.Get("units")), Money: among(moneys, v.Get("money")),
		Lang: v.Get("lang"), Comma: v.Get("comma") == "1",
	}
	if !known(p.Lang) {
		p.Lang = accepted(r.Header.Get("Accept-Language"))
		p.Comma = p.Comma || p.Lang == "de"
	}
	return p
}

func (p Prefs) write(w http.ResponseWriter) {
	v := url.Values{"look": {p.Look}, "units": {p.Units}, "money": {p.Money}, "lang": {p.Lang}}
	if p.Comma {
		v.Set("comma", "1")
	}
	http.SetCookie(w, &http.Cookie{
		Name: prefsCookie, Value: v.Encode(), Path: "/", MaxAge: int(yearAge.Seconds()), HttpOnly: true, SameSite: http.SameSiteLaxMode,
	})
}

func among(choices []string, x string) string {
	if slices.Contains(choices, x) {
		return x
	}
	return choices[0]
}

// accepted is the first language of an Accept-Language header that there is.
func accepted(header string) string {
	for part := range strings.SplitSeq(header, ",") {
		tag, _, _ := strings.Cut(strings.TrimSpace(part), ";")
		lang, _, _ := strings.Cut(strings.ToLower(tag), "-")
		if known(lang) {
			return lang
		}
	}
	return languages[0]
}

// prefsPage lets the reader choose.
type prefsPage struct {
	Frame
	Back   string
	Groups []choices
}

// choices are one question with its answers.
type choices struct {
	Title, Name string
	Of          []choice
}

// choice is one of several.
type choice struct {
	Value, Label string
	On           bool
}

func (q *request) choices(name string, values []string, on string) choices {
	out := choices{Title: name + ".title", Name: name}
	for _, v := range values {
		out.Of = append(out.Of, choice{v, q.say(name + "." + v), v == on})
	}
	return out
}

func (s *site) getPrefs(q *request) error {
	comma := "point"
	if q.prefs.Comma {
		comma = "comma"
	}
	return q.show(http.StatusOK, "prefs", q.frame(q.say("prefs.title"), "papers", q.voyageHere()), &prefsPage{
		Back: q.ownPath(q.text("back")),
		Groups: []choices{
			q.choices("look", looks, q.prefs.Look), q.choices("lang", languages, q.prefs.Lang),
			q.choices("units", units, q.prefs.Units), q.choices("comma", []string{"point", "comma"}, comma),
			q.choices("money", moneys, q.prefs.Money),
		},
	})
}

// postPrefs changes what the form names and leaves the rest.
func (s *site) postPrefs(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	p := q.prefs
	set := func(to *string, choices []string, name string) {
		if v := q.text(name); slices.Contains(choices, v) {
			*to = v
		}
	}
	set(&p.Look, looks, "look")
	set(&p.Lang, languages, "lang")
	set(&p.Units, units, "units")
	set(&p.Money, moneys, "money")
	if v := q.text("comma"); v != "" {
		p.Comma = v == "comma"
	}
	p.write(q.w)
	http.Redirect(q.w, q.r, q.ownPath(q.text("back")), http.StatusSeeOther)
	return nil
}

// ownPath is a path of this site to go back to; anything else is its front.
func (q *request) ownPath(path string) string {
	if strings.HasPrefix(path, "/") && !strings.HasPrefix(path, "//") && !strings.ContainsAny(path, "\\\r\n") {
		return path
	}
	return q.at("")
}
