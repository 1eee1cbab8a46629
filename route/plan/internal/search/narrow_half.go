package search

import "math"

// halves are the two of a part in which fewer and more packs are bought of
// one offer than the mix does, the likelier first; false when the mix buys
// everything in whole packs.
func (d *narrower) halves(f *narrowed) (likely, other *narrowed, ok bool) {
	o, packs := d.half()
	if o < 0 {
		return nil, nil, false
	}
	now := d.seeker.m.Needs[d.needs[d.k]].Offers[o]
	most, upper := int(math.Floor(packs+1e-6)), packs-math.Floor(packs+1e-6) > 0.5
	if math.Abs(packs-float64(most)) < 1e-6 { // whole only on average: on with what has more of the mix
		if upper = most > now.Min && d.fewer(o, most) <= 0.5; upper {
			most--
		}
	}
	down := &narrowed{from: f, offer: o, limits: between{now.Min, most}, cost: d.lp.Cost()}
	up := &narrowed{from: f, offer: o, limits: between{most + 1, now.Limit}, cost: d.lp.Cost()}
	if upper {
		return up, down, true
	}
	return down, up, true
}

// half is the offer of which the mix buys packs nearest to a whole number
// without always buying as many, and that number; -1 when there is none.
func (d *narrower) half() (offer int, packs float64) {
	count := len(d.whole.Offers)
	mean, least, most := make([]float64, count), make([]int, count), make([]int, count)
	shares := 0.0
	for _, c := range d.pool[d.k] {
		share := d.lp.Value(c.column)
		if share <= 1e-6 {
			continue
		}
		for o, packs := range c.schedule.Packs {
			if shares == 0 {
				least[o] = packs
			}
			mean[o] += share * float64(packs)
			least[o], most[o] = min(least[o], packs), max(most[o], packs)
		}
		shares += share
	}
	offer, nearest := -1, math.Inf(1)
	for o := range count {
		if least[o] == most[o] {
			continue
		}
		mean[o] /= shares
		if off := math.Abs(mean[o] - math.Round(mean[o])); off < nearest {
			offer, packs, nearest = o, mean[o], off
		}
	}
	return offer, packs
}

// fewer is the share of the mix that buys fewer packs of an offer.
func (d *narrower) fewer(offer, packs int) float64 {
	share := 0.0
	for _, c := range d.pool[d.k] {
		if c.schedule.Packs[offer] < packs {
			share += d.lp.Value(c.column)
		}
	}
	return share
}
