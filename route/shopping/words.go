package shopping

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/brief"
	"hardtack/route/port"
)

// headings name the sections of a list.
var headings = map[When]string{
	Ahead:       "Any day, the heavy things first: these keep",
	LastDays:    "In the last three days",
	LastMorning: "On the last morning",
	AsYouGo:     "As you go, for the days in port",
}

// statuses say what a rule does, in words. Unknown never reads as allowed.
var statuses = map[port.Status]string{
	port.Prohibited:  "prohibited",
	port.Surrendered: "usually taken at the border",
	port.Conditional: "only under conditions",
	port.Allowed:     "allowed when last read",
	port.Unknown:     "no rule known here",
}

// String is how many of which pack.
func (p Packs) String() string { return fmt.Sprintf("%d × %s", p.Count, p.Label) }

// packs is all of a line's packs.
func (l Line) packs() string {
	if l.Item == "water_tank" {
		return "fill up: " + measure.Of(l.Amount).Format(l.Unit) + " or more"
	}
	var out []string
	for _, p := range l.Packs {
		out = append(out, p.String())
	}
	return strings.Join(out, " + ")
}

// amount is an amount a person can weigh out.
func amount(x float64, u measure.Unit) string {
	if u == measure.Each {
		return measure.Of(math.Ceil(x*2-1e-6) / 2).Format(u)
	}
	step := 0.001
	switch {
	case x >= 10:
		step = 0.1
	case x >= 0.1:
		step = 0.01
	}
	return measure.Of(math.Round(x/step) * step).Format(u)
}

// sum is money for people: to the minor unit, with the currency's code.
func sum(x float64, c money.Currency) string {
	a, err := money.FromFloat(x, c)
	if err != nil {
		return fmt.Sprintf("%.2f %s", x, c)
	}
	return a.String()
}

// round is money for a purse: to two or three figures, upwards.
func round(x float64, c money.Currency) string {
	if x < 100 {
		return sum(math.Ceil(x), c)
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1) / 2
	return fmt.Sprintf("%.0f %s", math.Ceil(x/step)*step, c)
}

// span is the interval of a range without the currency.
func span(r Range) string {
	if r.Expect >= 100 {
		return fmt.Sprintf("%.0f–%.0f", r.Low, r.High)
	}
	return fmt.Sprintf("%.2f–%.2f", r.Low, r.High)
}

// days is a number of days for people.
func days(x float64) string {
	if x >= 365 {
		return "over a year"
	}
	return fmt.Sprintf("%.0f days", math.Floor(x))
}

// where is one stowage entry in words.
func (s Stow) where(u measure.Unit) string {
	out := s.Space + " " + amount(s.Amount, u)
	if s.Litres >= 0.5 {
		out += fmt.Sprintf(" (%.0f L)", s.Litres)
	}
	return out
}

// declare goes with every arrival rule.
const declare = brief.Declare + " A food with no rule here is not thereby allowed."

// rule is what takes the goods, with its source and age.
func (e EatDown) rule() string {
	r := e.Rule
	out := fmt.Sprintf("%s: %s", e.Zone, statuses[r.Status])
	if r.Status == "" {
		out = fmt.Sprintf("%s: %s", e.Zone, statuses[port.Unknown])
	}
	if note := strings.TrimSuffix(r.Note, "."); note != "" && !strings.EqualFold(note, statuses[port.Unknown]) {
		out += " – " + note
	}
	switch {
	case r.Source != "" && r.SourceDate != "":
		out += fmt.Sprintf(" [%s, %s]", r.Source, r.SourceDate)
	case r.Source != "":
		out += fmt.Sprintf(" [%s, undated]", r.Source)
	}
	if e.Unconfirmed {
		out += "; unconfirmed, ask before you arrive"
	}
	if e.BySwitch {
		out += "; planned as lost out of caution"
	}
	return out
}

// left says what the plan has of the goods on arrival.
func (g Goods) left() string {
	if g.Left <= speck {
		return fmt.Sprintf("%s %s: planned to be eaten on the way", g.Name, amount(g.Aboard, g.Unit))
	}
	return fmt.Sprintf("%s %s: %s planned to be left, eat or give it away first", g.Name, amount(g.Aboard, g.Unit), amount(g.Left, g.Unit))
}

// lasts is an endurance in words.
func (e Endurance) words() string {
	out := fmt.Sprintf("%s: %.0f %s aboard last %s, to %s; a long passage takes %s",
		e.Name, e.Aboard, e.Unit, days(e.Lasts), e.Day, days(math.Ceil(e.Long)))
	if !e.Enough {
		out += ". NOT ENOUGH for it: take more or ration from the start"
	}
	return out
}

func (p Label) words() string {
	return fmt.Sprintf("Read every label for %s (not eating: %s).", p.Name, strings.Join(p.NotEating, ", "))
}

// words is the advice with what it is about, by the word before the comma.
func (a Advice) words() string {
	var names []string
	for _, n := range a.Names {
		short, _, _ := strings.Cut(n, ",")
		short, _, _ = strings.Cut(short, " (")
		if !slices.Contains(names, short) {
			names = append(names, short)
		}
	}
	return strings.Join(names, ", ") + ": " + a.Text
}
