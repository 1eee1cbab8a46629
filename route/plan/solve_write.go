package plan

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"hardtack/route/plan/internal/search"
)

// writer turns schedules into a plan.
type writer struct {
	*compiled
	plan  Plan
	eaten [][]float64 // per need and period
	kg    []float64   // carried away per stop
	away  []bool
	drawn map[Draw]int // draws written, without their amounts
}

// write states a result in the words of the contract and counts its cost
// from what is written.
func (c *compiled) write(r search.Result) Plan {
	w := &writer{compiled: c, plan: Plan{Version: 1, Currency: c.brief.Currency},
		kg: make([]float64, len(c.brief.Stops)), away: make([]bool, len(c.brief.Stops)), drawn: map[Draw]int{}}
	for i, s := range r.Schedules {
		w.eaten = append(w.eaten, make([]float64, 2*len(c.brief.Stops)-1))
		for source := range c.model.Needs[i].Sources {
			w.source(i, source, s)
		}
		w.missing(i)
		w.plan.Cost.ReserveMissing += w.reserve(i, s)
	}
	w.trips()
	w.order()
	w.say()
	cost := &w.plan.Cost
	cost.Total = cost.Goods + cost.Trips + cost.Lines + cost.Taste + cost.Missing + cost.ReserveMissing
	w.plan.Bound = min(r.Bound, cost.Total)
	if cost.Total > 0 {
		w.plan.Gap = (cost.Total - w.plan.Bound) / cost.Total
	}
	return w.plan
}

// source writes purchases, draws and discards of one source.
func (w *writer) source(need, source int, s *search.Schedule) {
	src := &w.model.Needs[need].Sources[source]
	it := &w.brief.Needs[need].Items[src.Item]
	var flows []search.Flow
	for _, f := range s.Flows {
		if f.Source == source {
			f.Amount /= it.Yield
			flows = append(flows, f)
		}
	}
	if src.Aboard >= 0 {
		lot := lotRef{need, src, it, fmt.Sprint(aboardPrefix, src.Aboard)}
		for _, f := range flows {
			w.flow(lot, f)
		}
		w.giveUp(lot, it.Aboard[src.Aboard].Amount, flows)
		return
	}
	for _, o := range src.Offers {
		if s.Packs[o] > 0 {
			flows = w.purchase(need, src, it, w.model.Needs[need].Offers[o], s.Packs[o], flows)
		}
	}
	for _, f := range s.Flows {
		if f.Source == source && f.Way >= 0 {
			w.plan.Cost.Lines += it.LineCost
			break
		}
	}
}

// lotRef names a lot while its flows are written.
type lotRef struct {
	need int
	src  *search.Source
	it   *Item
	id   string
}

// purchase writes one purchase and returns the flows it could not feed.
func (w *writer) purchase(need int, src *search.Source, it *Item, o search.Offer, packs int, flows []search.Flow) []search.Flow {
	p := Purchase{ID: fmt.Sprintf("p%d", len(w.plan.Purchases)+1), Stop: src.Stop, Need: w.brief.Needs[need].ID,
		Item: it.ID, Packs: packs, Price: o.Price}
	for _, offer := range it.Offers {
		if offer.Stop == src.Stop && offer.Pack*it.Yield == o.Size {
			p.Pack = offer.Pack
		}
	}
	lot := lotRef{need, src, it, p.ID}
	left := float64(packs) * p.Pack
	for len(flows) > 0 && left > 0 {
		part := flows[0]
		part.Amount = min(part.Amount, left)
		left -= part.Amount
		flows[0].Amount -= part.Amount
		if flows[0].Amount <= 0 {
			flows = flows[1:]
		}
		w.stow(&p, it, part)
		w.flow(lot, part)
	}
	w.plan.Cost.Goods += float64(packs) * o.Price
	w.plan.Purchases = append(w.plan.Purchases, p)
	return flows
}

func (w *writer) stow(p *Purchase, it *Item, f search.Flow) {
	if f.Way < 0 {
		p.EatenInPort += f.Amount
		return
	}
	w.kg[p.Stop] += f.Amount * it.Kg
	w.away[p.Stop] = true
	space := it.Keeps[f.Way].Space
	for i := range p.Stowed {
		if p.Stowed[i].Space == space {
			p.Stowed[i].Amount += f.Amount
			return
		}
	}
	p.Stowed = append(p.Stowed, Stowed{space, f.Amount})
}

// flow writes what becomes of one amount of a lot.
func (w *writer) flow(l lotRef, f search.Flow) {
	need := w.model.Needs[l.need]
	if f.Segment < 0 {
		w.discard(l, f.Way, f.To+1, f.Amount)
		return
	}
	period := need.Segments[f.Segment].Period
	w.eaten[l.need][period] += f.Amount * l.it.Yield
	w.plan.Cost.Taste += f.Amount * l.it.TasteCost
	if f.Way < 0 {
		return
	}
	d := Draw{Need: w.brief.Needs[l.need].ID, Item: l.it.ID, Lot: l.id, Space: l.space(f.Way), Period: periodName(period), Amount: f.Amount}
	key := d
	key.Amount = 0
	at, ok := w.drawn[key]
	if !ok {
		at = len(w.plan.Draws)
		w.drawn[key] = at
		w.plan.Draws = append(w.plan.Draws, key)
	}
	w.plan.Draws[at].Amount += d.Amount
}

func (l lotRef) space(way int) string {
	if l.src.Aboard >= 0 {
		return l.it.Aboard[l.src.Aboard].Space
	}
	return l.it.Keeps[way].Space
}

// discard throws away what is held no longer; at the last stop, where it is
// surrendered or when it has expired, there is no need to.
func (w *writer) discard(l lotRef, way, stop int, amount float64) {
	if amount <= 0 || stop >= len(w.brief.Stops)-1 || l.src.Last < 2*stop || l.src.Ways[way].Expires <= w.brief.Stops[stop].Depart {
		return
	}
	w.plan.Discards = append(w.plan.Discards, Discard{Item: l.it.ID, Lot: l.id, Space: l.space(way), Stop: stop, Amount: amount})
}

// giveUp throws away at the first stop what is aboard and has no use.
func (w *writer) giveUp(l lotRef, amount float64, flows []search.Flow) {
	for _, f := range flows {
		amount -= f.Amount
	}
	w.discard(l, 0, 0, amount)
}

func (w *writer) missing(need int) {
	n := &w.brief.Needs[need]
	for p, eaten := range w.eaten[need] {
		start, end, use := w.period(n, p)
		if lacks := use*(end-start) - eaten; lacks > 0 {
			w.plan.Cost.Missing += lacks * n.MissingCost
			if lacks > search.Slack/10 {
				w.plan.Missing = append(w.plan.Missing, Missing{n.ID, periodName(p), lacks})
			}
		}
	}
}

// reserve writes what the reserves of a need lack, and returns its cost.
func (w *writer) reserve(need int, s *search.Schedule) float64 {
	n, cost := w.model.Needs[need], 0.0
	for leg, due := range n.Due {
		held := 0.0
		for _, f := range s.Flows {
			if f.Covers(n, leg) {
				held += f.Amount
			}
		}
		if lacks := due - held; lacks > 0 {
			cost += lacks * n.ReserveMiss
			if lacks > search.Slack/10 {
				w.plan.ReserveMissing = append(w.plan.ReserveMissing, ReserveMissing{w.brief.Needs[need].ID, leg, lacks})
			}
		}
	}
	return cost
}

func (w *writer) trips() {
	for s, stop := range w.brief.Stops {
		if !w.away[s] {
			continue
		}
		count := 1.0
		if stop.TripCarryKg != nil {
			count = max(1, math.Ceil((w.kg[s]-amountSlack) / *stop.TripCarryKg))
		}
		w.plan.Cost.Trips += count * stop.TripCost
		w.plan.Trips = append(w.plan.Trips, Trip{s, int(count)})
	}
}

// order puts the plan in the order of the route.
func (w *writer) order() {
	sort.SliceStable(w.plan.Purchases, func(i, j int) bool { return w.plan.Purchases[i].Stop < w.plan.Purchases[j].Stop })
	sort.SliceStable(w.plan.Discards, func(i, j int) bool { return w.plan.Discards[i].Stop < w.plan.Discards[j].Stop })
	names := map[string]string{}
	for i := range w.plan.Purchases {
		p := &w.plan.Purchases[i]
		names[p.ID] = fmt.Sprintf("p%d", i+1)
		p.ID = names[p.ID]
	}
	for i, d := range w.plan.Draws {
		if name, ok := names[d.Lot]; ok {
			w.plan.Draws[i].Lot = name
		}
	}
	for i, d := range w.plan.Discards {
		if name, ok := names[d.Lot]; ok {
			w.plan.Discards[i].Lot = name
		}
	}
	w.plan.Draws = w.alongTheRoute(w.plan.Draws)
}

// alongTheRoute puts draws in the order of periods, else as they come.
func (w *writer) alongTheRoute(draws []Draw) []Draw {
	periods := make([][]Draw, 2*len(w.brief.Stops)-1)
	for _, d := range draws {
		p := periodRank(d.Period)
		periods[p] = append(periods[p], d)
	}
	return slices.Concat(periods...)
}

// periodRank orders periods along the route.
func periodRank(text string) int {
	p, _ := periodIndex(text)
	return p
}
