package shopping

import (
	"crypto/sha256"
	_ "embed" // the page's parts are files beside this one
	"encoding/base64"
	"html/template"
	"io"
	"strconv"
	"strings"

	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

//go:embed page.js
var pageJS string

// pageData is all that page.html may show.
type pageData struct {
	Lists
	Whens  []When
	Style  template.CSS
	Script template.JS
	Policy string // content security policy: only this style and this script
}

// Local is the currency a stop's prices are typed in.
func (p pageData) Local(l List) money.Currency { return l.Currency }

// WriteHTML is WriteHTMLIn in English.
func (l Lists) WriteHTML(w io.Writer) error { return l.WriteHTMLIn(w, wording.English()) }

// WriteHTMLIn writes all lists as one file for the phone, in the words of a
// reader. It asks nothing of any server, works without script, and with it
// keeps the ticks on the phone.
func (l Lists) WriteHTMLIn(w io.Writer, t *wording.Tongue) error {
	s := speech{t}
	page, err := template.New("page").Funcs(template.FuncMap{
		"lang": func() string { return t.Lang }, "say": s.words, "to": func(key, name string) string { return s.say(key, wording.Text(name)) },
		"sum": s.sum, "span": s.span, "day": s.day, "heading": s.heading, "of": ofWhen, "item": s.item, "one": s.one,
		"packs": s.packs, "details": s.details, "head": s.head, "declare": s.declare, "rule": s.rule, "left": s.left, "lasts": s.lasts,
		"expected": s.expected, "reason": s.reason, "advice": List.Advice, "about": s.about,
	}).Parse(pageHTML)
	if err != nil {
		return err
	}
	return page.Execute(w, pageData{
		Lists: l, Whens: Whens(), Style: template.CSS(pageCSS), Script: template.JS(pageJS),
		Policy: "default-src 'none'; style-src " + digest(pageCSS) + "; script-src " + digest(pageJS),
	})
}

func digest(s string) string {
	sum := sha256.Sum256([]byte(s))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

func ofWhen(l List, w When) []Line {
	var out []Line
	for _, x := range l.Lines {
		if x.When == w {
			out = append(out, x)
		}
	}
	return out
}

// one is the pack a price is asked for: the one most of the line comes in.
func (s speech) one(x Line) string { return s.Amount(x.MainPack().Units(), x.Unit) }

// MainPack is the pack most of a line comes in; one unit when it has none.
func (x Line) MainPack() measure.Quantity {
	best, most := measure.One, 0.0
	for _, p := range x.Packs {
		if much := float64(p.Count) * p.Pack.Units(); much > most {
			best, most = p.Pack, much
		}
	}
	return best
}

// Key names a line for the phone's memory of ticks; it changes when the amount
// does, so that an old tick does not stand for a new list.
func (x Line) Key(at Call) string {
	key := string(x.Item)
	for _, p := range x.Packs {
		key += "|" + strconv.Itoa(p.Count) + "x" + strings.ReplaceAll(p.Pack.Format(x.Unit), " ", "")
	}
	return key + "@" + at.String()
}
