package risk

import (
	"math"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/route/brief"
	"hardtack/route/chance"
	"hardtack/route/plan"
)

// Sources are what the doubt about a brief is read from beside its notes.
type Sources struct {
	Catalogue *item.Catalogue
	Island    func(pricing.PortID) string // group of islands that one ship serves; "" = none
	Passages  []Passage                   // of the boat's own log
}

// Passage is one that was made: days planned and taken.
type Passage struct{ Planned, Took float64 }

// Of is the doubt about a brief as its notes have it: spread and availability
// of each estimate, necessity classes, the spread between crews of each group
// of the catalogue, islands that share a supply ship. What they do not tell is
// Usual.
func Of(b plan.Brief, n brief.Notes, src Sources) Doubt {
	d := Usual(b)
	for s := range b.Stops {
		if s < len(n.Stops) {
			d.Supply[s] = src.Island(n.Stops[s].Port)
		}
	}
	d.learn(src.Passages)
	offers := map[soldAt]pricing.Estimate{}
	for _, o := range n.Offers {
		offers[soldAt{o.Item, o.Stop}] = o.Estimate
	}
	groups := map[string]float64{}
	for _, g := range src.Catalogue.Groups {
		groups[g.ID] = g.CV
	}
	for k := range d.Needs {
		note, ok := n.Need(b.Needs[k].ID)
		if ok {
			d.Needs[k].Class = note.Class
			if cv := groups[note.Group]; cv > 0 {
				d.Needs[k].Season = cv
			}
		}
		for i, it := range b.Needs[k].Items {
			for s := range b.Stops {
				if e, ok := offers[soldAt{it.ID, s}]; ok {
					d.Needs[k].Items[i].Stops[s] = OfferDoubt{LogSD: min(e.LogSD, mostLogSD), Available: inStay(b.Stops[s], e)}
				}
			}
		}
	}
	return d
}

// learn corrects the usual spread of passages by those that were made.
func (d *Doubt) learn(made []Passage) {
	var logs []float64
	for _, p := range made {
		if p.Planned > 0 && p.Took > 0 {
			logs = append(logs, math.Log(p.Took/p.Planned))
		}
	}
	for l, usual := range d.Legs {
		if usual > 0 {
			x := chance.UsualLengths(usual).Learn(logs...)
			d.Legs[l], d.Drift = min(x.Spread(), mostSpread), min(max(x.Mean, -1), 1)
		}
	}
}

// A crew that lies somewhere for long looks at the shelves every week; what is
// known of a shelf without any report of its own is worth so many looks:
// common practice, no source.
const (
	lookEvery = 7.0 // days
	guessed   = 3.0
)

// inStay is the chance to find a thing at all while the boat lies there.
func inStay(s plan.Stop, e pricing.Estimate) float64 {
	looks := 1 + int((s.Depart-s.Arrive)/lookEvery)
	return 1 - chance.Missed(min(max(e.Available, 0), 1), guessed+e.Evidence, looks)
}

// mostLogSD is as far as a guessed price is believed to stray.
const mostLogSD = 0.6

type soldAt struct {
	item string
	stop int
}
