package brief

import (
	"hardtack/route"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

// Fed is a stay or a leg with what a plan gives to eat in it. Energy and
// protein are per person and full-board day; in port what is eaten ashore is no
// full board.
type Fed struct {
	Stop       int     `json:"stop"` // where it is spent, or left
	AtSea      bool    `json:"at_sea"`
	From       float64 `json:"from"` // days since start
	To         float64 `json:"to"`
	PersonDays float64 `json:"person_days"`
	Kcal       float64 `json:"kcal"`
	KcalNeed   float64 `json:"kcal_need"`
	ProteinG   float64 `json:"protein_g"`
	ProteinMin float64 `json:"protein_min_g"`
}

// fedOf is a plan by stay and leg, in order; where nobody eats aboard there is
// none.
func fedOf(n Notes, p plan.Plan, crew vessel.Crew, it route.Itinerary) []Fed {
	eaten := make([]map[string]float64, legPeriod(len(n.Stops))+1)
	eat := func(period int, item string, amount float64) {
		if period < 0 || period >= len(eaten) {
			return
		}
		if eaten[period] == nil {
			eaten[period] = map[string]float64{}
		}
		eaten[period][item] += amount
	}
	for _, buy := range p.Purchases {
		eat(stayPeriod(buy.Stop), buy.Item, buy.EatenInPort)
	}
	for _, d := range p.Draws {
		if period, ok := periodOf(d.Period); ok {
			eat(period, d.Item, d.Amount)
		}
	}
	var out []Fed
	add := func(f Fed, period int, share float64) {
		days := crew.PersonDays(n.Start, f.From, f.To, vessel.Heads)
		f.PersonDays = share * days
		if f.PersonDays < 1e-9 {
			return
		}
		f.KcalNeed = crew.PersonDays(n.Start, f.From, f.To, usualNeed) / days
		f.ProteinMin = crew.PersonDays(n.Start, f.From, f.To, vessel.Person.ProteinNeed) / days
		kcal, protein := nourish(n, eaten[period])
		f.Kcal, f.ProteinG = kcal/f.PersonDays, protein/f.PersonDays
		out = append(out, f)
	}
	for s, x := range n.Stops {
		add(Fed{Stop: s, From: x.Arrive, To: x.Depart}, stayPeriod(s), 1-it.Calls[x.Call].Ashore)
		if s < len(n.Legs) {
			add(Fed{Stop: s, AtSea: true, From: n.Legs[s].Depart, To: n.Legs[s].Arrive}, legPeriod(s), 1)
		}
	}
	return out
}

// usualNeed is the energy a person needs on a usual day, kcal.
func usualNeed(p vessel.Person) float64 { return p.EnergyNeed(0) }
