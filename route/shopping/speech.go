package shopping

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route/port"
)

// speech puts lists into the words of one reader.
type speech struct{ *wording.Tongue }

func (s speech) say(key string, facts ...wording.Fact) string {
	return s.Say(wording.Say(key, facts...))
}

// words is a text without arguments.
func (s speech) words(key string) string { return s.Word(key) }

func (s speech) day(d calendar.Day) string { return s.Day(d) }

// headings name the sections of a list.
var headings = map[When]string{
	Ahead: "when.ahead", LastDays: "when.days", LastMorning: "when.morning", AsYouGo: "when.go",
}

func (s speech) heading(w When) string { return s.Word(headings[w]) }

func (s speech) item(l Line) string { return s.Fact(wording.Item(string(l.Item), l.Name)) }

// pack is how many of which pack.
func (s speech) pack(p Packs) string { return strconv.Itoa(p.Count) + " × " + s.Pack(p.Label) }

// packs is all of a line's packs.
func (s speech) packs(l Line) string {
	if l.Item == "water_tank" {
		return s.say("list.fill", wording.Amount(l.Amount, l.Unit))
	}
	out := make([]string, len(l.Packs))
	for i, p := range l.Packs {
		out[i] = s.pack(p)
	}
	return strings.Join(out, " + ")
}

// weighed is an amount a person can weigh out.
func weighed(x float64, u measure.Unit) wording.Fact {
	step := 0.001
	switch {
	case u == measure.Each:
		return wording.Amount(math.Ceil(x*2-1e-6)/2, u)
	case x >= 10:
		step = 0.1
	case x >= 0.1:
		step = 0.01
	}
	return wording.Amount(math.Round(x/step)*step, u)
}

// sum is money for people: to the minor unit, with the currency's code.
func (s speech) sum(x float64, c money.Currency) string {
	decimals := 2
	if a, err := money.FromFloat(x, c); err == nil {
		_, frac, _ := strings.Cut(a.Decimal(), ".")
		decimals = len(frac)
	}
	return s.Number(x, decimals) + " " + string(c)
}

// round is money for a purse: to two or three figures, upwards.
func (s speech) round(x float64, c money.Currency) string {
	if x < 100 {
		return s.sum(math.Ceil(x), c)
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1) / 2
	return s.Number(math.Ceil(x/step)*step, 0) + " " + string(c)
}

// span is the interval of a range without the currency.
func (s speech) span(r Range) string {
	decimals := 2
	if r.Expect >= 100 {
		decimals = 0
	}
	return s.Number(r.Low, decimals) + "–" + s.Number(r.High, decimals)
}

// days is a number of days for people.
func days(x float64) wording.Fact {
	if x >= 365 {
		return wording.Word("list.year")
	}
	return wording.Said(wording.Say("list.days", wording.Number(math.Floor(x), 0)))
}

// where is one stowage entry.
func (s speech) where(st Stow, u measure.Unit) string {
	space := wording.Word("space." + st.Space)
	if st.Litres >= 0.5 {
		return s.say("list.where.litres", space, weighed(st.Amount, u), wording.Amount(math.Round(st.Litres), measure.Litre))
	}
	return s.say("list.where", space, weighed(st.Amount, u))
}

// declare goes with every arrival rule.
func (s speech) declare() string { return s.Word("rule.advice") + " " + s.Word("rule.unlisted") }

// rule is what takes the goods, with its source and age. Unknown never reads
// as allowed.
func (s speech) rule(e EatDown) string {
	r := e.Rule
	status := r.Status
	if status == "" {
		status = port.Unknown
	}
	what := s.Word("rule." + string(status))
	out := e.Zone + ": " + what
	if note := strings.TrimSuffix(s.Glossary.Name("note", r.Note, r.Note), "."); note != "" && !strings.EqualFold(note, what) {
		out += " – " + note
	}
	switch {
	case r.Source != "" && r.SourceDate != "":
		out += " [" + r.Source + ", " + r.SourceDate + "]"
	case r.Source != "":
		out += " [" + r.Source + ", " + s.Word("list.undated") + "]"
	}
	if e.Unconfirmed {
		out += "; " + s.Word("rule.unconfirmed")
	}
	if e.BySwitch {
		out += "; " + s.Word("list.switch")
	}
	return out
}

// left says what the plan has of the goods on arrival.
func (s speech) left(g Goods) string {
	name, aboard := wording.Item(string(g.Item), g.Name), weighed(g.Aboard, g.Unit)
	if g.Left <= speck {
		return s.say("list.eaten", name, aboard)
	}
	return s.say("list.left", name, aboard, weighed(g.Left, g.Unit))
}

// lasts is an endurance.
func (s speech) lasts(e Endurance) string {
	key := "list.lasts"
	if !e.Enough {
		key = "list.lasts.short"
	}
	return s.say(key, wording.Need(e.Need, e.Name), wording.Amount(math.Round(e.Aboard), measure.Unit(e.Unit)), days(e.Lasts), wording.Day(e.Day), days(math.Ceil(e.Long)))
}

// about is what advice is about, by the word before the comma, and the advice.
func (s speech) about(a Advice) string {
	var names []string
	for _, f := range a.About {
		short, _, _ := strings.Cut(s.Fact(f), ",")
		short, _, _ = strings.Cut(short, " (")
		if !slices.Contains(names, short) {
			names = append(names, short)
		}
	}
	return strings.Join(names, ", ") + ": " + s.Say(a.Remark)
}

// About is advice with the names of what it is about.
func About(t *wording.Tongue, a Advice) string { return speech{t}.about(a) }

// guesses says what share of the money rests on no report.
func (s speech) guesses(l Lists) string {
	switch {
	case l.GuessShare <= 0:
		return s.Word("list.sure")
	case l.GuessShare < 0.01:
		return s.Word("list.guesses.few")
	}
	return s.say("list.guesses", wording.Number(100*l.GuessShare, 0))
}

// expected is what all of it should cost.
func (s speech) expected(l Lists) string {
	return s.say("list.expected", wording.Text(s.sum(l.Spend, l.Home))) + " " + s.guesses(l)
}

// head is what to know before going ashore.
func (s speech) head(l List) []string {
	var out []string
	if len(l.Lines) == 0 {
		out = append(out, s.Word("list.nothing"))
	} else {
		out = append(out, s.say("list.spend", wording.Text(s.sum(l.Spend.Expect, l.Home)), wording.Text(s.span(l.Spend))))
		if l.Currency != l.Home && l.Cash.Expect > 0 {
			out = append(out, s.say("list.cash", wording.Text(s.round(l.Cash.Expect, l.Currency)), wording.Text(s.round(l.Cash.High, l.Currency))))
		}
		if l.Trips > 0 {
			out = append(out, s.say("list.carry", wording.Count(l.Trips),
				wording.Amount(math.Round(l.Kg), measure.Kilogram), wording.Amount(math.Round(l.Litres), measure.Litre)))
		}
	}
	for _, r := range l.Sayings {
		out = append(out, s.Say(r))
	}
	return out
}

// details are the sentences under a line.
func (s speech) details(x Line) []string {
	var out []string
	var stow []string
	for _, st := range x.Stow {
		stow = append(stow, s.where(st, x.Unit))
	}
	if len(stow) > 0 {
		also := ""
		if x.EatHere > 0 {
			also = "; " + s.say("list.here", weighed(x.EatHere, x.Unit))
		}
		out = append(out, s.say("list.stow", wording.Text(strings.Join(stow, ", ")))+also)
	}
	if len(x.Labels) > 0 {
		var names []wording.Fact
		for _, p := range x.Labels {
			names = append(names, wording.Text(p.Name))
		}
		out = append(out, s.say("list.label", wording.List(names...)))
	}
	if x.Hint != "" {
		out = append(out, s.Glossary.Name("hint", x.Hint, x.Hint))
	}
	if x.Spare > 0 {
		out = append(out, s.say("list.spare", weighed(x.Spare, x.Unit)))
	}
	if x.surprising() {
		out = append(out, s.say("list.why", wording.Text(s.why(x))))
	}
	if len(x.Instead) > 0 {
		var names []string
		for _, i := range x.Instead {
			names = append(names, s.instead(i))
		}
		out = append(out, s.say("list.or", wording.Text(strings.Join(names, "; "))))
	}
	return out
}

// why is why a line is bought here.
func (s speech) why(x Line) string {
	var parts []string
	for _, r := range x.Why {
		parts = append(parts, s.Say(r))
	}
	return strings.Join(parts, "; ")
}

// reason is why a line is bought here where its details do not say so.
func (s speech) reason(x Line) string {
	if x.surprising() {
		return ""
	}
	return s.why(x)
}

func (s speech) instead(i Instead) string {
	guess := ""
	if i.Guess {
		guess = "~"
	}
	return s.pack(i.Packs) + " " + s.Fact(wording.Item(string(i.Item), i.Name)) + ", " + guess + s.Number(i.Home, 2)
}
