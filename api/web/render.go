package web

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"path"
	"strings"

	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
)

//go:embed templates/*.html
var templateFiles embed.FS

// templates are the pages by name, and the texts they show.
type templates struct {
	pages map[string]*template.Template
	words map[string]*Words
}

// loadTemplates makes one template of the layout, the shared parts (names with
// an underscore in front) and each page.
func loadTemplates(a *assets, called map[string]wording.Glossary) *templates {
	names, err := templateFiles.ReadDir("templates")
	if err != nil {
		panic(err)
	}
	shared := template.New("").Funcs(template.FuncMap{
		"style": func() string { return a.style }, "script": func() string { return a.script }, "part": part,
	})
	for _, n := range names {
		if strings.HasPrefix(n.Name(), "_") {
			template.Must(shared.ParseFS(templateFiles, path.Join("templates", n.Name())))
		}
	}
	out := &templates{pages: map[string]*template.Template{}, words: loadWords(called)}
	for _, n := range names {
		if !strings.HasPrefix(n.Name(), "_") {
			t := template.Must(template.Must(shared.Clone()).ParseFS(templateFiles, path.Join("templates", n.Name())))
			out.pages[strings.TrimSuffix(n.Name(), ".html")] = t
		}
	}
	return out
}

// part hands a shared part of a page the page's frame and what it is about.
func part(f any, about any) map[string]any { return map[string]any{"F": f, "X": about} }

// Frame is what every page has around it.
type Frame struct {
	*Words
	Prefs
	Base     string // before every path
	Title    string
	Here     string // of the places in the navigation
	Path     string // of this page
	Voyage   string // id; empty: none yet
	Invented bool
	DemoOpen bool // the invented season is offered
}

func (f *Frame) frame() *Frame { return f }

// view is a page: a struct that embeds its Frame.
type view interface{ frame() *Frame }

// frame is the frame of a page under a title, at a place in the navigation.
func (q *request) frame(title, here, voyage string) Frame {
	return Frame{
		Words: q.words, Prefs: q.prefs, Base: q.base, Title: title, Here: here, Path: q.base + q.r.URL.Path, Voyage: voyage,
		Invented: q.invented, DemoOpen: q.opts.Demo != nil && q.base == "",
	}
}

// show answers with a page. Nothing is sent unless all of it could be made.
func (q *request) show(status int, name string, f Frame, v view) error {
	*v.frame() = f
	t, ok := q.shown.pages[name]
	if !ok {
		return fmt.Errorf("no page %q", name)
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "layout", v); err != nil {
		return fmt.Errorf("page %s: %w", name, err)
	}
	body := b.Bytes()
	q.w.Header().Set("Content-Type", "text/html; charset=utf-8")
	send(q.w, q.r, status, body, zipped(body), fingerprint(body))
	return nil
}

// Num is a number with so many decimals, as the reader writes it.
func (f *Frame) Num(x float64, decimals int) string {
	return f.point(fmt.Sprintf("%.*f", decimals, x))
}

func (f *Frame) point(s string) string {
	if f.Comma {
		return strings.Replace(s, ".", ",", 1)
	}
	return s
}

// Percent is a share in per cent.
func (f *Frame) Percent(x float64) string {
	if x > 0 && x < 0.1 {
		return f.Num(100*x, 1) + " %"
	}
	return f.Num(100*x, 0) + " %"
}

// Cash is money to the minor unit, with the currency's code.
func (f *Frame) Cash(x float64, c money.Currency) string {
	a, err := money.FromFloat(x, c)
	if err != nil {
		return f.Num(x, 2) + " " + string(c)
	}
	return f.point(a.Decimal()) + " " + string(c)
}

// Plus is a sum, for counting from one.
func (f *Frame) Plus(a, b int) int { return a + b }

// Signed is a whole number with its sign.
func (f *Frame) Signed(x float64) string { return fmt.Sprintf("%+.0f", x) }

// Round is money without its small change.
func (f *Frame) Round(x float64, c money.Currency) string {
	if x != 0 && x < 100 && x > -100 {
		return f.Cash(x, c)
	}
	return f.Num(x, 0) + " " + string(c)
}

// Date is a day with its year.
func (f *Frame) Date(d calendar.Day) string { return f.Day(d, true) }

// Short is a day without its year.
func (f *Frame) Short(d calendar.Day) string { return f.Day(d, false) }

// Pounds and gallons: international pound of 1959; US gallon of 231 cubic
// inches (NIST Handbook 44 app. C); imperial gallon of 4.54609 L (UK Units of
// Measurement Regulations 1995).
const (
	kgPerLb    = 0.45359237
	lPerUSGal  = 3.785411784
	lPerImpGal = 4.54609
)

// Much is an amount of something counted in u, in the reader's units.
func (f *Frame) Much(x float64, u measure.Unit) string {
	switch {
	case u == measure.Each:
		return f.point(trim(x, 1))
	case u == measure.Kilogram && f.Units != "metric":
		return f.large(x/kgPerLb, 1, "lb", 16, "oz")
	case u == measure.Kilogram:
		return f.large(x, 1, "kg", 1000, "g")
	case f.Units == "us":
		return f.large(x/lPerUSGal, 1, "US gal", 128, "US fl oz")
	case f.Units == "imp":
		return f.large(x/lPerImpGal, 1, "imp gal", 160, "imp fl oz")
	}
	return f.large(x, 1, "L", 1000, "ml")
}

// large writes x of one unit, or in the smaller one below a whole.
func (f *Frame) large(x, from float64, unit string, times float64, small string) string {
	if x < from && x > -from && x != 0 {
		return f.Num(x*times, 0) + " " + small
	}
	return f.point(trim(x, 2)) + " " + unit
}

// Unit is a unit of the catalogue.
func (w *Words) Unit(u string) string {
	if w.Has("unit." + u) {
		return w.Say("unit." + u)
	}
	return u
}

// Mass and Volume are Much of kilograms and litres, whole from ten on.
func (f *Frame) Mass(kg float64) string { return f.Much(coarse(kg), measure.Kilogram) }

// Volume is what a space holds.
func (f *Frame) Volume(l float64) string { return f.Much(coarse(l), measure.Litre) }

func coarse(x float64) float64 {
	if x >= 10 {
		return float64(int64(x + 0.5))
	}
	return x
}

// trim is x with at most so many decimals and no zeros behind.
func trim(x float64, decimals int) string {
	s := fmt.Sprintf("%.*f", decimals, x)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
