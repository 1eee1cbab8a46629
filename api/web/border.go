package web

import (
	"net/http"
	"strings"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/route/arrival"
	"hardtack/route/inventory"
	"hardtack/route/port"
)

// borderPage is the stores for the next border: what is taken there, what to
// eat down, the list for the officer, the stores to seal.
type borderPage struct {
	Frame
	Zone, Authority string
	Stops           []choice
	Groups          []borderGroup
	EatDown         []eatRow
	Sealed          []sealRow
	Drinks          []drinkRow
	Nobody          bool // is known to ask
	NoLimit         bool // none was read for that zone
	Adults          int
}

type borderGroup struct {
	Verdict string
	Grave   bool
	Rows    []borderRow
}

type borderRow struct {
	Name, Much, Places, For string
	Note, Source, Age       string
	Doubtful                bool
}

type eatRow struct{ Name, Much, Do string }

type sealRow struct{ Name, Much, Place string }

type drinkRow struct {
	Kind, Litres, Limit string
	Over                bool
}

// verdictKeys are the words of a verdict.
var verdictKeys = map[arrival.Verdict]string{
	arrival.Refused: "refused", arrival.Surrendered: "surrendered", arrival.Unknown: "unknown", arrival.Conditional: "conditional",
	arrival.Allowed: "allowed", arrival.NoBorder: "none",
}

func (s *site) getBorder(q *request) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	x, stops, err := q.crossing()
	if err != nil {
		return err
	}
	l, err := q.svc.Arrival(q.r.Context(), v.ID, x)
	if err != nil {
		return err
	}
	f := q.aboardFrame("border.title")
	p := &borderPage{Zone: l.ZoneName, Authority: l.Authority, Stops: stops, NoLimit: len(l.Sealed.Allowance) == 0, Nobody: l.Unasked}
	for _, line := range l.Lines {
		words := q.say("border." + verdictKeys[line.Verdict])
		if k := len(p.Groups) - 1; k < 0 || p.Groups[k].Verdict != words {
			p.Groups = append(p.Groups, borderGroup{Verdict: words, Grave: line.Verdict == arrival.Refused || line.Verdict == arrival.Surrendered || line.Verdict == arrival.Unknown})
		}
		g := &p.Groups[len(p.Groups)-1]
		g.Rows = append(g.Rows, q.borderRow(&f, line))
	}
	for _, e := range l.EatDown {
		p.EatDown = append(p.EatDown, eatRow{q.words.Item(e.Item, e.Name), f.Much(e.Amount.Units(), e.Unit), q.eatDown(&f, e)})
	}
	for _, x := range l.Sealed.Lines {
		p.Sealed = append(p.Sealed, sealRow{q.words.Item(x.Item, x.Name), f.Much(x.Amount.Units(), x.Unit), q.placeName(x.Place)})
	}
	for _, d := range l.Sealed.Litres {
		row := drinkRow{Kind: q.say("drink." + strings.ReplaceAll(d.Kind, " ", "_")), Litres: f.Much(d.Litres, measure.Litre), Over: d.Over}
		if d.Limit > 0 {
			row.Limit = f.Much(d.Limit, measure.Litre)
		}
		p.Drinks = append(p.Drinks, row)
	}
	return q.show(http.StatusOK, "border", f, p)
}

// crossing is which border is meant: to the stop asked for, else the next.
func (q *request) crossing() (api.Crossing, []choice, error) {
	voyage := q.voyageHere()
	x := api.Crossing{Voyage: voyage}
	if c, _, err := q.crew(); err == nil {
		x.Crew = c.ID
	}
	if voyage == "" {
		return x, nil, nil
	}
	it, err := q.svc.Itinerary(q.r.Context(), voyage)
	if err != nil {
		return x, nil, err
	}
	g, err := q.svc.Gazetteer(q.r.Context())
	if err != nil {
		return x, nil, err
	}
	var stops []choice
	for k, c := range it.Calls {
		if k == 0 {
			continue
		}
		arrive := it.Start + calendar.Day(c.Arrive)
		value := string(c.Port) + " " + arrive.String()
		name := string(c.Port)
		if at, ok := g.Port(c.Port); ok {
			name = at.Name
		}
		next := q.text("to") == "" && x.To == "" && arrive >= q.svc.Today()
		if value == q.text("to") || next {
			x.From, x.To, x.Arrive = string(it.Calls[k-1].Port), string(c.Port), arrive
		}
		stops = append(stops, choice{value, name + ", " + q.words.Day(arrive, true), value == q.text("to") || next})
	}
	return x, stops, nil
}

func (q *request) borderRow(f *Frame, l arrival.Line) borderRow {
	places := make([]string, len(l.Places))
	for k, x := range l.Places {
		places[k] = q.placeName(x)
	}
	row := borderRow{
		Name: q.words.Item(l.Item, l.Name), Much: f.Much(l.Amount.Units(), l.Unit), Places: strings.Join(places, ", "), Note: f.RuleNote(l.Rule.Note), Source: l.Rule.Source,
		Doubtful: l.Unconfirmed, Age: q.ruleAge(l),
	}
	if l.For != inventory.Eaten {
		row.For = q.say("for." + string(l.For))
	}
	return row
}

// ruleAge says how old the reading of a rule is.
func (q *request) ruleAge(l arrival.Line) string {
	if l.Verdict == arrival.NoBorder {
		return ""
	}
	if l.Rule.Status == port.Unknown {
		return q.say("border.unread")
	}
	days, dated := port.Age(l.Rule, q.svc.Today())
	if !dated {
		return q.say("border.undated")
	}
	text := q.words.Count("border.months", max(0, days/30))
	if l.Unconfirmed {
		text += ": " + q.say("rule.unconfirmed")
	}
	return text
}

// eatDown says what to do from now with what will not be let in.
func (q *request) eatDown(f *Frame, e arrival.EatDown) string {
	how := q.say("border.eat.first")
	switch {
	case strings.HasPrefix(e.Class, "EGG"):
		how = q.say("border.eat.eggs")
	case strings.HasPrefix(e.Class, "MEAT"):
		how = q.say("border.eat.meat")
	case strings.HasPrefix(e.Class, "FRUITVEG"):
		how = q.say("border.eat.fresh")
	}
	switch {
	case e.Days == 0:
		return how + " " + q.say("border.eat.rest")
	case e.Left == 0:
		return q.say("border.eat.done")
	}
	return how + " " + q.say("border.eat.rate", f.Much(significant(e.PerDay), e.Unit), f.Much(significant(e.Left.Units()), e.Unit))
}
