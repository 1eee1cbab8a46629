package search

import "math"

// fit is a good schedule for the room that all others leave: no walk goes
// farther than what fits at a departure, and trips are paid by the first who
// needs them.
func (k *seeker) fit(need int) (*Schedule, float64) {
	var top []int
	if c := k.chains[need]; c != nil && !c.mixed {
		top = c.fitting(k.load)
	}
	best, value, _ := k.found(need, k.marginalTrips(need), top)
	return best, value
}

// fitting is, per departure, the farthest position for which there is room.
func (c *chain) fitting(l *Load) []int {
	top := c.fits[:0]
	payload := l.m.Payload()
	litres := make([]float64, payload)
	for q, most := range c.top {
		kg := math.Inf(1)
		for r := range litres {
			litres[r] = math.Inf(1)
		}
		for _, w := range c.lasts[q] {
			litres[w.room], kg = min(litres[w.room], w.litres), min(kg, w.kg)
		}
		all := 0.0
		for r, x := range litres {
			switch {
			case math.IsInf(x, 1):
			case x <= 0:
				all = math.Inf(1)
			default:
				all += max(0, l.free[r][q]) / x
			}
		}
		if kg > 0 && !math.IsInf(kg, 1) {
			all = min(all, max(0, l.free[payload][q])/kg)
		}
		if !math.IsInf(all, 1) {
			most = min(most, c.at(c.depart[q]+all))
		}
		top = append(top, most)
	}
	c.fits = top
	return top
}

// marginalTrips are the prices with trips at what they would add now.
func (k *seeker) marginalTrips(need int) *Prices {
	if k.fares == nil {
		k.fares = newPrices(k.m)
	}
	p := k.fares
	p.Cell, p.sum = k.prices.Cell, k.prices.sum
	for stop, cost := range k.m.TripCost {
		p.Open[need][stop], p.Kg[stop] = 0, 0
		p.closed[stop] = k.prices.closed[stop] || k.load.lift[stop]-k.load.kg[stop] <= Slack
		carry := k.m.Carry[stop]
		switch {
		case k.load.away[stop] == 0:
			p.Open[need][stop] = cost
		case math.IsInf(carry, 1):
		case k.m.trips(stop, k.load.kg[stop], true)*carry-k.load.kg[stop] < carry/8:
			p.Kg[stop] = cost / carry
		}
	}
	return p
}
