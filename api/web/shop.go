package web

import (
	"cmp"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/route/shopping"
)

// shopPage is one list, to be carried through a shop.
type shopPage struct {
	Frame
	List     shopping.List
	ByAisle  bool
	Sections []shopSection
	Done     []string // what earlier receipts have
	Head     []string
	Kept     bool   // the draft was just kept
	Held     int    // lines not kept: another has said something else of them
	Draft    string // its id, under which a phone remembers what it could not send
	Landed   string
	Advice   []shopping.Advice
	Danger   []string
	Unknown  int    // walk-away prices not known yet
	Ask      string // where to ask for them
}

type shopSection struct {
	Title string
	Lines []shopLine
}

// shopLine is one thing to buy, and what was typed about it.
type shopLine struct {
	shopping.Line
	Typed   api.DraftLine
	Packs   string // as planned: "3 × 400 g tin"
	One     string // the pack as planned, as it is typed
	Planned int    // packs
	Expect  string // for one pack
	Between string
	Stowing string
	Note    string // what came of the pack and price typed
	Warn    bool
	Sub     api.DraftLine
	Subs    []choice
	Details []string
	Taking  taking
	Was     string // what the line was made from, to be sent back with it
	Rival   string // what another has said of it, when the form says otherwise
}

func (s *site) getShop(q *request) error {
	l, d, x, err := q.listOf()
	if err != nil {
		return err
	}
	return q.showShop(http.StatusOK, l, d.Value, x, nil)
}

func (q *request) showShop(status int, l shopping.List, d api.Draft, x api.Planned, against rivals) error {
	p := shopPage{List: l, Held: len(against), ByAisle: q.text("by") == "aisle", Kept: q.text("kept") != "", Advice: l.Advice(), Danger: q.dangers(x)}
	if reports, lots, ok := strings.Cut(q.text("landed"), "."); ok {
		p.Landed = q.landedWords(reports, lots)
	}
	f := q.frame(q.say("shop.title", l.Name), "ashore", x.Voyage)
	p.Head = q.shopHead(&f, l)
	judge := q.judge(l, x)
	takings, err := q.takings(&f, l, d, x)
	if err != nil {
		return err
	}
	upTo, left, err := q.walkAway(&f, l, x, q.text("upto") != "")
	if err != nil {
		return err
	}
	p.Unknown, p.Ask = left, "?upto=1"
	if p.ByAisle {
		p.Ask = "?by=aisle&upto=1"
	}
	lines := map[pricing.ItemID]shopLine{}
	var open []shopping.Line
	for _, line := range l.Lines {
		typed, held := against[line.Item]
		if slices.Contains(d.Booked, line.Item) && !held {
			p.Done = append(p.Done, q.words.Item(line.Item, line.Name))
			continue
		}
		open = append(open, line)
		seen := d
		if held {
			seen.Lines = slices.Clone(d.Lines)
			typed.keep(&seen, line.Item)
		}
		out := q.shopLine(&f, l, line, seen, judge)
		out.Was = keptState(d, line.Item).text()
		if held {
			out.Rival = q.rivalWords(keptState(d, line.Item), l)
		}
		out.Taking = takings[line.Item]
		out.Taking.UpTo = cmp.Or(out.Taking.UpTo, upTo[line.Item])
		lines[line.Item] = out
	}
	if err := q.sections(&p, open, lines); err != nil {
		return err
	}
	p.Draft = d.ID()
	return q.show(status, "shop", f, &p)
}

// shopHead is what to know before going ashore.
func (q *request) shopHead(f *Frame, l shopping.List) []string {
	if len(l.Lines) == 0 {
		return []string{q.say("shop.nothing")}
	}
	out := []string{q.say("shop.spend", f.Cash(l.Spend.Expect, l.Home), f.Round(l.Spend.Low, l.Home), f.Round(l.Spend.High, l.Home))}
	if l.Currency != l.Home && l.Cash.Expect > 0 {
		out = append(out, q.say("shop.cash", f.Num(math.Ceil(l.Cash.Expect), 0)+" "+string(l.Currency), f.Num(math.Ceil(l.Cash.High), 0)+" "+string(l.Currency)))
	}
	if l.Trips > 0 {
		out = append(out, q.words.Count("shop.carry", l.Trips, f.Mass(l.Kg), f.Volume(l.Litres)))
	}
	return out
}

// sections puts the lines in the order of buying, or of the aisles.
func (q *request) sections(p *shopPage, open []shopping.Line, lines map[pricing.ItemID]shopLine) error {
	keys, title := []string{}, func(k string) string { return q.say("when." + k) }
	of := func(l shopping.Line) string { return whenKeys[l.When] }
	for _, w := range shopping.Whens() {
		keys = append(keys, whenKeys[w])
	}
	if p.ByAisle {
		var err error
		if keys, err = q.svc.Aisles(q.r.Context()); err != nil {
			return err
		}
		title, of = q.aisle, func(l shopping.Line) string { return l.Category }
	}
	for _, k := range keys {
		sec := shopSection{Title: title(k)}
		for _, l := range open {
			if of(l) == k {
				sec.Lines = append(sec.Lines, lines[l.Item])
			}
		}
		if len(sec.Lines) > 0 {
			p.Sections = append(p.Sections, sec)
		}
	}
	return nil
}

var whenKeys = map[shopping.When]string{
	shopping.Ahead: "ahead", shopping.LastDays: "days", shopping.LastMorning: "morning", shopping.AsYouGo: "go",
}

func (q *request) shopLine(f *Frame, l shopping.List, line shopping.Line, d api.Draft, judge judge) shopLine {
	line.Name, line.Hint = q.words.Item(line.Item, line.Name), q.words.Hint(line.Hint)
	out := shopLine{Line: line, Typed: api.DraftLine{Item: line.Item}}
	for _, t := range d.Lines {
		switch {
		case t.Item == line.Item && t.For == "":
			out.Typed = t
		case t.For == line.Item:
			out.Sub = t
		}
	}
	for i, pk := range line.Packs {
		if i > 0 {
			out.Packs += " + "
		}
		out.Packs += strconv.Itoa(pk.Count) + " × " + f.Sold(pk.Label)
	}
	if line.Item == "water_tank" {
		out.Packs = q.say("shop.fill", f.Much(line.Amount, line.Unit))
	}
	pack := line.MainPack()
	out.Planned = countOf(line.Amount, pack)
	out.One = pack.Format(line.Unit)
	out.Expect, out.Between = q.expected(f, l, line, pack.Units()/max(line.Amount, 1e-9))
	for _, st := range line.Stow {
		out.Stowing = joined(out.Stowing, q.say("space."+st.Space)+" "+f.Much(st.Amount, line.Unit))
	}
	out.Details = q.details(f, line)
	out.Note, out.Warn = judge.of(q, f, line, out.Typed)
	for _, in := range line.Instead {
		out.Subs = append(out.Subs, choice{string(in.Item), strconv.Itoa(in.Packs.Count) + " × " + f.Sold(in.Packs.Label) + " " + q.words.Item(in.Item, in.Name), out.Sub.Item == in.Item})
	}
	return out
}

func joined(a, b string) string {
	if a == "" {
		return b
	}
	return a + ", " + b
}

// countOf is how many packs make an amount, at least one.
func countOf(amount float64, pack measure.Quantity) int {
	return max(1, int(math.Ceil(amount/pack.Units()-1e-6)))
}

// expected is what a share of a line should cost here, in the money the reader
// likes.
func (q *request) expected(f *Frame, l shopping.List, line shopping.Line, share float64) (one, between string) {
	r, c := line.Home, l.Home
	if line.Local.Expect > 0 && f.Money != "home" {
		r, c = line.Local, l.Currency
	}
	one = f.Cash(r.Expect*share, c)
	if f.Money == "both" && c != l.Home {
		one += " = " + f.Cash(line.Home.Expect*share, l.Home)
	}
	if line.Guess {
		one = "~" + one
	}
	return one, f.Num(r.Low*share, 2) + "–" + f.Num(r.High*share, 2)
}

func (q *request) details(f *Frame, line shopping.Line) []string {
	var out []string
	if line.EatHere > 0 {
		out = append(out, q.say("shop.here", f.Much(line.EatHere, line.Unit)))
	}
	if line.Spare > 0 {
		out = append(out, q.say("shop.spare", f.Much(line.Spare, line.Unit)))
	}
	if !line.EatenBy.IsZero() {
		out = append(out, q.say("shop.until", f.Date(line.EatenBy)))
	}
	if len(line.Why) > 0 {
		out = append(out, q.say("shop.why", strings.Join(f.TellAll(line.Why), "; ")))
	}
	for _, p := range line.Labels {
		out = append(out, f.Tell(p.Remark()))
	}
	return out
}

// About is advice with the names of what it is about.
func (f *Frame) About(a shopping.Advice) string { return shopping.About(f.Tongue(), a) }
