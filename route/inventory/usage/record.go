package usage

import (
	"math"
	"slices"

	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
)

// Record is what two counts say of one need of one crew: kept for good.
type Record struct {
	Crew       string       `json:"crew"`
	Need       string       `json:"need"`
	From       calendar.Day `json:"from"` // the day of the count before
	To         calendar.Day `json:"to"`   // the day of the count
	PersonDays float64      `json:"person_days"`
	Used       float64      `json:"used"` // need-units
	RanOut     bool         `json:"ran_out,omitempty"`
	Guessed    bool         `json:"guessed,omitempty"`
}

// Rates are the beliefs of one crew, by need.
type Rates map[string]Belief

// RatesOf learns from all records of one crew. What it was found to eat of
// counted food says something of food that was not: see AppetiteOf. Of other
// needs without a record there is no belief here: the catalogue's list stands.
func RatesOf(cat *item.Catalogue, records []Record, today calendar.Day) Rates {
	trips := tripsOf(records, today)
	alone := learnAlone(cat, trips)
	tastes := tastesOf(cat, alone)
	out := Rates{}
	for _, n := range cat.Needs {
		a := appetite(tastes, n.Group)
		b, counted := alone[n.ID]
		switch {
		case n.Appetite == item.Food && a.Needs > 0:
			out[n.ID] = Learn(NeedPrior(cat, n).sharing(a), trips[n.ID])
		case counted:
			out[n.ID] = b
		}
	}
	return out
}

// learnAlone learns each need from its own records only.
func learnAlone(cat *item.Catalogue, trips map[string][]Trip) Rates {
	out := Rates{}
	for _, n := range cat.Needs {
		if t := trips[n.ID]; len(t) > 0 {
			out[n.ID] = Learn(NeedPrior(cat, n), t)
		}
	}
	return out
}

func tripsOf(records []Record, today calendar.Day) map[string][]Trip {
	trips := map[string][]Trip{}
	for _, r := range records {
		trips[r.Need] = append(trips[r.Need], Trip{
			Used: r.Used, PersonDays: r.PersonDays, RanOut: r.RanOut, Guessed: r.Guessed, AgeDays: float64(today - r.To),
		})
	}
	return trips
}

// shareSpread is how differently crews split a group among its needs, beside
// how much of the group they use: judgement of the trade.
const shareSpread = 0.3

// NeedPrior is what the catalogue says of a need.
func NeedPrior(cat *item.Catalogue, n item.Need) Prior {
	cv := 0.5
	if k := slices.IndexFunc(cat.Groups, func(g item.Group) bool { return g.ID == n.Group }); k >= 0 {
		cv = cat.Groups[k].CV
	}
	if n.Share < 1 {
		cv = math.Hypot(cv, shareSpread)
	}
	return ListPrior(n.PerPersonDay, cv, n.Class == item.Comfort || n.Class == item.Luxury, n.Unit == measure.Each)
}

// Apply gives a catalogue whose needs are used at the learned rates; the one
// it is given stays as it is.
func (r Rates) Apply(cat *item.Catalogue) *item.Catalogue {
	out := *cat
	out.Needs = slices.Clone(cat.Needs)
	for k, n := range out.Needs {
		if b, ok := r[n.ID]; ok && b.Mean() > 0 {
			out.Needs[k].PerPersonDay = b.Mean()
		}
	}
	return &out
}

// Line is one learned rate in words.
type Line struct {
	Need   string       `json:"need"`
	Name   string       `json:"name"`
	Unit   measure.Unit `json:"unit"`
	Rate   float64      `json:"rate"`  // need-units a person-day; of a boat's need a day
	SD     float64      `json:"sd"`    // how unsure that is
	List   float64      `json:"list"`  // what the list says
	Trips  int          `json:"trips"` // passages counted
	Boat   bool         `json:"boat,omitempty"`
	Over   float64      `json:"over"`   // person-days, or days, of the season asked for
	Change float64      `json:"change"` // need-units more over it
	Right  bool         `json:"right"`  // the list is about right
	Hardly float64      `json:"hardly"` // chance that this crew hardly uses it at all
	Words  string       `json:"words"`

	Said wording.Remark `json:"-"` // Words as facts
}

// Season is what changes of a list are worded for.
type Season struct {
	PersonDays float64
	Days       float64 // for needs of the boat rather than of persons
}

// Lines words what was counted, in the catalogue's order, for a season.
func (r Rates) Lines(cat *item.Catalogue, s Season) []Line {
	var out []Line
	for _, n := range cat.Needs {
		b, ok := r[n.ID]
		if !ok || b.Trips == 0 {
			continue
		}
		l := Line{
			Need: n.ID, Name: n.Name, Unit: n.Unit, Rate: b.Mean(), SD: b.SD(), List: n.PerPersonDay, Trips: b.Trips,
			Boat: n.Appetite == item.Vessel, Over: s.PersonDays,
		}
		if l.Boat {
			l.Over = s.Days
		}
		l.Change = (l.Rate - l.List) * l.Over
		l.Right = math.Abs(l.Rate-l.List) < l.SD
		if len(b.Kinds) > 1 {
			l.Hardly = b.Kinds[1]
		}
		l.Said = l.say()
		l.Words = l.Said.String()
		out = append(out, l)
	}
	return out
}

// say is a line as facts, amounts to two figures.
func (l Line) say() wording.Remark {
	much := func(x float64) wording.Fact { return wording.Amount(figures(x), l.Unit) }
	key, over := "usage.line", wording.Say("usage.persondays", wording.Number(l.Over, 0))
	if l.Boat {
		key, over = "usage.boat", wording.Say("usage.days", wording.Number(l.Over, 0))
	}
	buy := wording.Say("usage.more", much(l.Change), wording.Said(over))
	switch {
	case l.Right:
		buy = wording.Say("usage.right")
	case l.Change < 0:
		buy = wording.Say("usage.less", much(-l.Change), wording.Said(over))
	}
	if l.Hardly > 0.5 {
		buy = wording.Both(buy, wording.Say("usage.hardly"))
	}
	return wording.Say(key, wording.Count(l.Trips), wording.Need(l.Need, l.Name), much(l.Rate), much(l.SD), much(l.List), wording.Said(buy))
}

// figures is x to two figures, whole from ten on.
func figures(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return 0
	}
	step := min(1, math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-1))
	return math.Round(x/step) * step
}
