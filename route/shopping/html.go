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
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

//go:embed page.js
var pageJS string

// page is all that page.html may show.
type page struct {
	Lists
	Whens  []When
	Style  template.CSS
	Script template.JS
	Policy string // content security policy: only this style and this script
}

// Local is the currency a stop's prices are typed in.
func (p page) Local(l List) money.Currency { return l.Currency }

// WriteHTML writes all lists as one file for the phone. It asks nothing of any
// server, works without script, and with it keeps the ticks on the phone.
func (l Lists) WriteHTML(w io.Writer) error {
	t, err := template.New("page").Funcs(template.FuncMap{
		"sum": sum, "span": span, "amount": amount, "trips": trips,
		"heading": func(w When) string { return headings[w] },
		"of":      ofWhen,
		"packs":   Line.packs, "details": Line.details, "head": List.head,
		"declare": func() string { return declare }, "rule": EatDown.rule, "left": Goods.left, "words": Endurance.words,
		"guesses": Lists.guesses, "advice": List.Advice, "about": Advice.words,
	}).Parse(pageHTML)
	if err != nil {
		return err
	}
	return t.Execute(w, page{
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

// One is the pack a price is asked for: the one most of the line comes in.
func (x Line) One() string { return x.MainPack().Format(x.Unit) }

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
func (x Line) Key(stop int) string {
	return strings.ReplaceAll(strings.Join([]string{string(x.Item), x.packs()}, "|"), " ", "") + "@" + strconv.Itoa(stop)
}
