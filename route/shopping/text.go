package shopping

import (
	"bufio"
	"fmt"
	"hardtack/pricing/wording"
	"io"
	"strings"
)

// width is the columns of a printed list: A4 in a usual fixed font.
const width = 78

// WriteText writes all lists to be printed, one after the other.
func (l Lists) WriteText(w io.Writer) error {
	p := printer{bufio.NewWriter(w), speech{wording.English()}}
	p.line("%s", l.Title)
	p.wrapped("", p.expected(l))
	for _, x := range l.Lists {
		p.line("\n%s\n", strings.Repeat("=", width))
		p.list(x)
	}
	return p.Flush()
}

// WriteText writes one list to be printed.
func (l List) WriteText(w io.Writer) error {
	p := printer{bufio.NewWriter(w), speech{wording.English()}}
	p.list(l)
	return p.Flush()
}

type printer struct {
	*bufio.Writer
	speech
}

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
	p.line("%s   %s", strings.ToUpper(l.Name), p.say("list.dates", wording.Day(l.Arrive), wording.Day(l.Depart)))
	for _, s := range p.head(l) {
		p.wrapped("", s)
	}
	for _, when := range Whens() {
		p.section(l, when)
	}
	if len(l.Lasts) > 0 {
		p.line("\n%s", p.say("list.sail", wording.Text(l.Next)))
		for _, e := range l.Lasts {
			p.wrapped("  ", p.lasts(e))
		}
	}
	p.eatDown(l)
	if advice := l.Advice(); len(advice) > 0 {
		p.line("\n%s", p.words("list.advice"))
		for _, a := range advice {
			p.wrapped("  ", p.about(a))
		}
	}
}

func (p printer) section(l List, when When) {
	first := true
	for _, x := range l.Lines {
		if x.When != when {
			continue
		}
		if first {
			p.line("\n%s", p.heading(when))
			first = false
		}
		p.bought(l, x)
	}
}

func (p printer) bought(l List, x Line) {
	guess := ""
	if x.Guess {
		guess = "~"
	}
	price := p.sum(x.Home.Expect, l.Home)
	if l.Currency != l.Home && x.Local.Expect > 0 {
		price = p.sum(x.Local.Expect, l.Currency) + " = " + price
	}
	p.row("[ ] "+p.packs(x)+"  "+p.item(x), guess+price+" ("+p.span(x.Home)+")")
	for _, s := range p.details(x) {
		p.wrapped("      ", s)
	}
}

func (p printer) eatDown(l List) {
	if len(l.EatDown) == 0 {
		return
	}
	p.line("\n%s", p.say("list.eat", wording.Text(l.Next)))
	for _, e := range l.EatDown {
		p.wrapped("  ", p.rule(e))
		for _, g := range e.Goods {
			p.wrapped("    - ", p.left(g))
		}
	}
	p.wrapped("  ", p.declare())
}
