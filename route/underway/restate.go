package underway

import (
	"fmt"
	"math"
	"slices"

	"hardtack/route/plan"
)

// Restate says what a plan costs by a brief: prices, taste, trips, lines, what
// is missing and what reserves lack. Purchases, stowage, draws and discards
// stay as they are. bound is what no plan for the brief can cost less than; 0
// where nothing is proven. A purchase that is not offered is ErrInput.
func Restate(b plan.Brief, p plan.Plan, bound float64) (plan.Plan, error) {
	p.Cost, p.Trips, p.Missing, p.ReserveMissing = plan.Cost{}, nil, nil, nil
	p.Purchases = slices.Clone(p.Purchases)
	r := restater{brief: b, plan: &p, eaten: map[string][]float64{}, needs: map[string]plan.Need{}, items: map[string]plan.Item{}}
	for _, n := range b.Needs {
		r.needs[n.ID], r.eaten[n.ID] = n, make([]float64, 2*len(b.Stops)-1)
		for _, it := range n.Items {
			r.items[it.ID] = it
		}
	}
	if err := r.bought(); err != nil {
		return plan.Plan{}, err
	}
	r.drawn()
	r.missing()
	r.reserves()
	r.unreachable()
	c := &p.Cost
	c.Total = c.Goods + c.Trips + c.Lines + c.Taste + c.Missing + c.ReserveMissing
	p.Bound, p.Gap = min(max(bound, 0), c.Total), 0
	if c.Total > 0 {
		p.Gap = (c.Total - p.Bound) / c.Total
	}
	return p, nil
}

type restater struct {
	brief plan.Brief
	plan  *plan.Plan
	needs map[string]plan.Need
	items map[string]plan.Item
	eaten map[string][]float64 // by need and period, need-units
}

func (r *restater) eat(need, item string, period int, amount float64) {
	r.plan.Cost.Taste += amount * r.items[item].TasteCost
	if e := r.eaten[need]; period < len(e) {
		e[period] += amount * r.items[item].Yield
	}
}

func (r *restater) bought() error {
	type line struct {
		item string
		stop int
	}
	lines, kg := map[line]bool{}, make([]float64, len(r.brief.Stops))
	for k := range r.plan.Purchases {
		x := &r.plan.Purchases[k]
		it := r.items[x.Item]
		at := slices.IndexFunc(it.Offers, func(o plan.Offer) bool { return o.Stop == x.Stop && o.Pack == x.Pack })
		if at < 0 {
			return fmt.Errorf("purchase %s of %s at stop %d: %w: not offered", x.ID, x.Item, x.Stop, ErrInput)
		}
		x.Price = it.Offers[at].Price
		r.plan.Cost.Goods += float64(x.Packs) * x.Price
		r.eat(x.Need, x.Item, 2*x.Stop, x.EatenInPort)
		for _, st := range x.Stowed {
			kg[x.Stop] += st.Amount * it.Kg
			if k := (line{x.Item, x.Stop}); st.Amount > 0 && !lines[k] {
				lines[k] = true
				r.plan.Cost.Lines += it.LineCost
			}
		}
	}
	for s, stop := range r.brief.Stops {
		carries := false
		for k := range lines {
			carries = carries || k.stop == s
		}
		if !carries {
			continue
		}
		count := 1
		if stop.TripCarryKg != nil {
			count = max(count, int(math.Ceil((kg[s]-speck) / *stop.TripCarryKg)))
		}
		r.plan.Trips = append(r.plan.Trips, plan.Trip{Stop: s, Count: count})
		r.plan.Cost.Trips += float64(count) * stop.TripCost
	}
	return nil
}

func (r *restater) drawn() {
	for _, d := range r.plan.Draws {
		if q, ok := periodOf(d.Period); ok {
			r.eat(d.Need, d.Item, q, d.Amount)
		}
	}
}

func (r *restater) missing() {
	for _, n := range r.brief.Needs {
		for q := range 2*len(r.brief.Stops) - 1 {
			start, end := span(r.brief, q)
			rate := n.UseInPort[q/2]
			if q%2 == 1 {
				rate = n.UseAtSea[q/2]
			}
			if lacking := rate*(end-start) - r.eaten[n.ID][q]; lacking > speck {
				r.plan.Missing = append(r.plan.Missing, plan.Missing{Need: n.ID, Period: periodText(q), Amount: lacking})
				r.plan.Cost.Missing += lacking * n.MissingCost
			}
		}
	}
}

func (r *restater) reserves() {
	lots := lotsOf(r.brief, *r.plan)
	for _, n := range r.brief.Needs {
		for leg := range n.UseAtSea {
			lacking := due(r.brief, n, leg)
			until := r.brief.Stops[leg+1].Arrive + r.brief.Stops[leg].ReserveDays
			for _, l := range lots {
				if l.need == n.ID && l.from <= leg && l.lost > leg && l.expires >= until-1e-9 {
					lacking -= l.after(2*leg+1) * r.items[l.item].Yield
				}
			}
			if lacking > speck {
				r.plan.ReserveMissing = append(r.plan.ReserveMissing, plan.ReserveMissing{Need: n.ID, Leg: leg, Amount: lacking})
				r.plan.Cost.ReserveMissing += lacking * n.ReserveMissingCost
			}
		}
	}
}

// due is the reserve asked for on arrival after a leg.
func due(b plan.Brief, n plan.Need, leg int) float64 {
	if n.Reserve != nil {
		return n.Reserve[leg]
	}
	return b.Stops[leg].ReserveDays * n.UseAtSea[leg]
}

// after is what is left of a lot when a period has passed.
func (l *lotOf) after(period int) float64 {
	left := l.amount
	for _, m := range l.moves {
		if m.period <= period {
			left -= m.amount
		}
	}
	return max(left, 0)
}

// unreachable keeps what was named out of reach as far as it is missing.
func (r *restater) unreachable() {
	var kept []plan.Missing
	for _, u := range r.plan.Unreachable {
		for _, m := range r.plan.Missing {
			if m.Need == u.Need && m.Period == u.Period {
				u.Amount = min(u.Amount, m.Amount)
				kept = append(kept, u)
			}
		}
	}
	r.plan.Unreachable = kept
}

func periodText(q int) string {
	if q%2 == 0 {
		return fmt.Sprintf("stay %d", q/2)
	}
	return fmt.Sprintf("leg %d", q/2)
}
