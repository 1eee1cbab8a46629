package shopping

import (
	"bufio"
	"fmt"
	"io"
	"strings"
)

// width is the columns of a printed list: A4 in a usual fixed font.
const width = 78

// WriteText writes all lists to be printed, one after the other.
func (l Lists) WriteText(w io.Writer) error {
	p := printer{bufio.NewWriter(w)}
	p.line("%s", l.Title)
	p.wrapped("", fmt.Sprintf("Expected to cost %s in all. %s", sum(l.Spend, l.Home), l.guesses()))
	for _, x := range l.Lists {
		p.line("\n%s\n", strings.Repeat("=", width))
		p.list(x)
	}
	return p.Flush()
}

// WriteText writes one list to be printed.
func (l List) WriteText(w io.Writer) error {
	p := printer{bufio.NewWriter(w)}
	p.list(l)
	return p.Flush()
}

// guesses says what share of the money rests on no report.
func (l Lists) guesses() string {
	switch {
	case l.GuessShare <= 0:
		return "Every price rests on reports."
	case l.GuessShare < 0.01:
		return "Under 1 % of that rests on guessed prices (marked ~)."
	}
	return fmt.Sprintf("%.0f %% of that rests on guessed prices (marked ~).", 100*l.GuessShare)
}

type printer struct{ *bufio.Writer }

// line ignores errors: a bufio.Writer keeps the first for Flush.
func (p printer) line(format string, a ...any) { fmt.Fprintf(p, format+"\n", a...) }

// wrapped writes a sentence in lines of at most width columns: head before the
// first line, as much room before the others.
func (p printer) wrapped(head, s string) {
	at, begun := head, false
	for word := range strings.FieldsSeq(s) {
		if begun && len([]rune(at))+1+len([]rune(word)) > width {
			p.line("%s", at)
			at, begun = strings.Repeat(" ", len([]rune(head))), false
		}
		if begun {
			at += " "
		}
		at, begun = at+word, true
	}
	p.line("%s", at)
}

// row writes two texts to both margins, on two lines if need be.
func (p printer) row(left, right string) {
	gap := width - len([]rune(left)) - len([]rune(right))
	if gap < 2 {
		p.wrapped("", left)
		p.line("%*s", width, right)
		return
	}
	p.line("%s%s%s", left, strings.Repeat(" ", gap), right)
}

func (p printer) list(l List) {
	p.line("%s   %s to %s", strings.ToUpper(l.Name), l.Arrive, l.Depart)
	for _, s := range l.head() {
		p.wrapped("", s)
	}
	for _, when := range Whens() {
		p.section(l, when)
	}
	if len(l.Lasts) > 0 {
		p.line("\nWhen you sail for %s", l.Next)
		for _, e := range l.Lasts {
			p.wrapped("  ", e.words())
		}
	}
	p.eatDown(l)
	if advice := l.Advice(); len(advice) > 0 {
		p.line("\nWhat to look for, and what to do with it aboard")
		for _, a := range advice {
			p.wrapped("  ", a.words())
		}
	}
}

// head is what to know before going ashore.
func (l List) head() []string {
	if len(l.Lines) == 0 {
		return append([]string{"Nothing to buy here."}, l.Sayings...)
	}
	out := []string{fmt.Sprintf("%s, four times in five %s.", sum(l.Spend.Expect, l.Home), span(l.Spend))}
	if l.Currency != l.Home && l.Cash.Expect > 0 {
		out = append(out, fmt.Sprintf("Money to take: about %s, to be safe %s (many small shops take cash only).",
			round(l.Cash.Expect, l.Currency), round(l.Cash.High, l.Currency)))
	}
	if l.Trips > 0 {
		out = append(out, fmt.Sprintf("To carry: %.0f kg in %s; it fills %.0f L.", l.Kg, trips(l.Trips), l.Litres))
	}
	return append(out, l.Sayings...)
}

func trips(n int) string {
	if n == 1 {
		return "one trip"
	}
	return fmt.Sprintf("%d trips", n)
}

func (p printer) section(l List, when When) {
	first := true
	for _, x := range l.Lines {
		if x.When != when {
			continue
		}
		if first {
			p.line("\n%s", headings[when])
			first = false
		}
		p.item(l, x)
	}
}

func (p printer) item(l List, x Line) {
	guess := ""
	if x.Guess {
		guess = "~"
	}
	price := sum(x.Home.Expect, l.Home)
	if l.Currency != l.Home && x.Local.Expect > 0 {
		price = sum(x.Local.Expect, l.Currency) + " = " + price
	}
	p.row("[ ] "+x.packs()+"  "+x.Name, guess+price+" ("+span(x.Home)+")")
	for _, s := range x.details() {
		p.wrapped("      ", s)
	}
}

// details are the sentences under a line.
func (x Line) details() []string {
	var out []string
	var stow []string
	for _, s := range x.Stow {
		stow = append(stow, s.where(x.Unit))
	}
	if len(stow) > 0 {
		out = append(out, "stow: "+strings.Join(stow, ", ")+x.alsoHere())
	}
	if len(x.Labels) > 0 {
		var names []string
		for _, p := range x.Labels {
			names = append(names, p.Name)
		}
		out = append(out, "read the label for "+strings.Join(names, " and "))
	}
	if x.Hint != "" {
		out = append(out, x.Hint)
	}
	if x.Spare > 0 {
		out = append(out, amount(x.Spare, x.Unit)+" more than is planned to be used")
	}
	if len(x.Instead) > 0 {
		var names []string
		for _, i := range x.Instead {
			names = append(names, i.words())
		}
		out = append(out, "or: "+strings.Join(names, "; "))
	}
	return out
}

func (x Line) alsoHere() string {
	if x.EatHere <= 0 {
		return ""
	}
	return "; " + amount(x.EatHere, x.Unit) + " for the days in port"
}

func (i Instead) words() string {
	guess := ""
	if i.Guess {
		guess = "~"
	}
	return fmt.Sprintf("%s %s, %s%.2f", i.Packs, i.Name, guess, i.Home)
}

func (p printer) eatDown(l List) {
	if len(l.EatDown) == 0 {
		return
	}
	p.line("\nEat up before you arrive in %s", l.Next)
	for _, e := range l.EatDown {
		p.wrapped("  ", e.rule())
		for _, g := range e.Goods {
			p.wrapped("    - ", g.left())
		}
	}
	p.wrapped("  ", declare)
}
