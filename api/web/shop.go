package web

import (
	"cmp"
	"math"
	"net/http"
	"slices"
	"strings"

	"hardtack/api"
	"hardtack/pricing"
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
	Search   string // the plan may still be replaced
	Advice   []shopping.Advice
	Danger   []string
	Hints    []string // of the boat's own books
	Unknown  int      // walk-away prices not known yet
	Ask      string   // where to ask for them
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
	Hints   []string
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
	if q.svc.Search(x.Voyage).Going {
		p.Search = q.say("search.going")
	}
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
	hints, others, err := q.shopHints(&f, x, l.Stop)
	if err != nil {
		return err
	}
	p.Hints = others
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
		out.Hints = hints[line.Item]
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

// About is advice with the names of what it is about.
func (f *Frame) About(a shopping.Advice) string { return shopping.About(f.Tongue(), a) }
