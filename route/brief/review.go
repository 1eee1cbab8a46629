package brief

import (
	"maps"
	"slices"

	"hardtack/pricing/calendar"
	"hardtack/route"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

// Review is a plan in the figures a skipper reads it by.
type Review struct {
	PersonDays float64 `json:"person_days"` // full board: at sea, and in port less what is eaten ashore
	Kcal       float64 `json:"kcal"`        // eaten per person and full-board day
	KcalNeed   float64 `json:"kcal_need"`   // the crew's need on the same days
	ProteinG   float64 `json:"protein_g"`
	ProteinMin float64 `json:"protein_min_g"` // the crew's safe level on the same days

	Fed         []Fed        `json:"fed"` // the same by stay and leg
	Groups      []GroupEaten `json:"groups"`
	Shares      []ItemShare  `json:"shares"`      // largest first within each group
	Surrendered []Lost       `json:"surrendered"` // taken away on arrival
	Spoilt      []Lost       `json:"spoilt"`      // past its time before it was eaten
	Left        float64      `json:"left"`        // worth of what is still good at the end
	Loads       []Load       `json:"loads"`
	Fill        []Fill       `json:"fill"` // fullest departure of each space
	Spend       float64      `json:"spend"`
	GuessShare  float64      `json:"guess_share"`
}

// GroupEaten is what is eaten of a group per person and full-board day.
type GroupEaten struct {
	Group        string  `json:"group"`
	PerPersonDay float64 `json:"per_person_day"` // units of the group's use, as in the catalogue's groups
	Kcal         float64 `json:"kcal"`
}

// ItemShare is an item's share of what is eaten of its group, 0–1.
type ItemShare struct {
	Group string  `json:"group"`
	Item  string  `json:"item"` // the catalogue's
	Share float64 `json:"share"`
}

// Lost is an amount that was paid for and not eaten.
type Lost struct {
	Item   string  `json:"item"`
	Stop   int     `json:"stop"` // where it is taken away; -1 for spoilt
	Amount float64 `json:"amount"`
	Cost   float64 `json:"cost"`
}

// Load is the shopping asked at a stop.
type Load struct {
	Stop  int     `json:"stop"`
	Kg    float64 `json:"kg"` // carried away
	Trips int     `json:"trips"`
	Lines int     `json:"lines"` // items carried away
	Packs int     `json:"packs"`
	Spend float64 `json:"spend"`
}

// Fill is how full a space is at its fullest departure.
type Fill struct {
	Space  string  `json:"space"`
	Litres float64 `json:"litres"`
	Room   float64 `json:"room"`
	Stop   int     `json:"stop"`
}

// LostShare is the share of the spend a list of losses cost.
func (r Review) LostShare(l []Lost) float64 {
	sum := 0.0
	for _, x := range l {
		sum += x.Cost
	}
	return ratioOr(sum, r.Spend, 0)
}

// ReviewOf reads a plan critically. Crew and itinerary are those the brief was
// built from.
func ReviewOf(b plan.Brief, n Notes, p plan.Plan, crew vessel.Crew, it route.Itinerary) Review {
	r := Review{Loads: loads(b, p), GuessShare: n.GuessShare(p)}
	for _, l := range r.Loads {
		r.Spend += l.Spend
	}
	r.KcalNeed, r.PersonDays = boardNeed(n, crew, it, usualNeed)
	r.ProteinMin, _ = boardNeed(n, crew, it, vessel.Person.ProteinNeed)
	eaten := eatenOf(p)
	r.Groups, r.Shares = groupsOf(b, n, eaten, r.PersonDays)
	r.Kcal, r.ProteinG = nourish(n, eaten)
	r.Kcal, r.ProteinG = ratioOr(r.Kcal, r.PersonDays, 0), ratioOr(r.ProteinG, r.PersonDays, 0)
	r.Fed = fedOf(n, p, crew, it)
	lots := ledger(b, p)
	r.losses(b, lots)
	r.Fill = fills(b, lots)
	return r
}

// nourish is the energy, kcal, and the protein, g, of what is eaten, the part
// that is expected to spoil left out.
func nourish(n Notes, eaten map[string]float64) (kcal, protein float64) {
	for _, id := range slices.Sorted(maps.Keys(eaten)) { // in one order, so that the same plan reads the same
		note, _ := n.Item(id)
		kcal += eaten[id] * note.Kcal * (1 - note.LossPart)
		protein += eaten[id] * note.ProteinG * (1 - note.LossPart)
	}
	return kcal, protein
}

// boardNeed is what the crew needs per person on full-board days, and how many
// such person-days there are.
func boardNeed(n Notes, crew vessel.Crew, it route.Itinerary, need func(vessel.Person) float64) (mean, days float64) {
	add := func(start calendar.Day, from, to, share float64) {
		mean += share * crew.PersonDays(start, from, to, need)
		days += share * crew.PersonDays(start, from, to, vessel.Heads)
	}
	for _, s := range n.Stops {
		add(n.Start, s.Arrive, s.Depart, 1-it.Calls[s.Call].Ashore)
	}
	for _, l := range n.Legs {
		add(n.Start, l.Depart, l.Arrive, 1)
	}
	return ratioOr(mean, days, 0), days
}
