package api

import (
	"hardtack/pricing/item"
	"hardtack/route/plan"
)

// Lacking is a need of which so much goes unmet that somebody notices, in
// need-units over the whole plan.
type Lacking struct {
	Need    string         `json:"need"`
	Name    string         `json:"name"`
	Class   item.Necessity `json:"class"`
	Unit    string         `json:"unit"`
	Missing float64        `json:"missing"`
	Use     float64        `json:"use"`
}

// worthSaying is the share of a need's use from which lack of it is noticed.
const worthSaying = 0.01

// Lacking are the needs a plan does not meet, in the brief's order.
func (p Planned) Lacking() []Lacking {
	missing := map[string]float64{}
	for _, m := range p.Plan.Missing {
		missing[m.Need] += m.Amount
	}
	var out []Lacking
	for _, n := range p.Brief.Needs {
		if use := UseOf(p.Brief, n); missing[n.ID] > worthSaying*use {
			note, _ := p.Notes.Need(n.ID)
			out = append(out, Lacking{n.ID, note.Name, note.Class, n.Unit, missing[n.ID], use})
		}
	}
	return out
}

// UseOf is what a need uses over the whole brief, in need-units.
func UseOf(b plan.Brief, n plan.Need) float64 {
	sum := 0.0
	for s, stop := range b.Stops {
		sum += n.UseInPort[s] * (stop.Depart - stop.Arrive)
		if s+1 < len(b.Stops) {
			sum += n.UseAtSea[s] * (b.Stops[s+1].Arrive - stop.Depart)
		}
	}
	return sum
}
