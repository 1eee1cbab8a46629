package web

import (
	"math"
	"strconv"
	"strings"

	"hardtack/api"
	"hardtack/pricing/measure"
	"hardtack/route/shopping"
)

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
	if unnamed(out.Sub) {
		out.Note, out.Warn = q.say("shop.sub.which"), true
	}
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
