package shopping

import (
	"strconv"
	"strings"

	"hardtack/route/plan"
)

// moment reads a period's name ("stay 3", "leg 2"): its order along the route,
// counting stay 0, leg 0, stay 1, …, and the day it ends. The order is -1 for
// anything else.
func moment(b plan.Brief, period string) (order int, end float64) {
	kind, number, _ := strings.Cut(period, " ")
	n, err := strconv.Atoi(number)
	switch {
	case err != nil || n < 0 || n >= len(b.Stops):
	case kind == "stay":
		return 2 * n, b.Stops[n].Depart
	case kind == "leg" && n+1 < len(b.Stops):
		return 2*n + 1, b.Stops[n+1].Arrive
	}
	return -1, 0
}

// lastEaten is the end of the last period in which anything of a purchase is
// eaten, by purchase.
func lastEaten(b plan.Brief, p plan.Plan) map[string]float64 {
	out := map[string]float64{}
	for _, buy := range p.Purchases {
		if buy.EatenInPort > 0 {
			out[buy.ID] = b.Stops[buy.Stop].Depart
		}
	}
	for _, d := range p.Draws {
		if order, end := moment(b, d.Period); order >= 0 && d.Amount > 0 {
			out[d.Lot] = max(out[d.Lot], end)
		}
	}
	return out
}

// aboard follows one item of the brief: what is left of it right after the
// departure of stop s, and of that what is left on arrival at s+1 by the plan.
// Lots past their time at departure, or taken by an earlier country, do not
// count.
func aboard(b plan.Brief, p plan.Plan, it plan.Item, s int) (sailing, arriving float64) {
	fresh := map[lot]bool{}
	for k, l := range it.Aboard {
		key := lot{"aboard " + strconv.Itoa(k), l.Space}
		if l.Expires > b.Stops[s].Depart && !taken(it, -1, s) {
			fresh[key], sailing = true, sailing+l.Amount
		}
	}
	for _, buy := range p.Purchases {
		if buy.Item != it.ID || buy.Stop > s || taken(it, buy.Stop, s) {
			continue
		}
		for _, st := range buy.Stowed {
			if b.Stops[buy.Stop].Depart+keepsIn(it, st.Space, buy.Stop) > b.Stops[s].Depart {
				fresh[lot{buy.ID, st.Space}], sailing = true, sailing+st.Amount
			}
		}
	}
	onLeg := 0.0
	for _, d := range p.Draws {
		if order, _ := moment(b, d.Period); d.Item == it.ID && order >= 0 && fresh[lot{d.Lot, d.Space}] {
			switch {
			case order < 2*s+1:
				sailing -= d.Amount
			case order == 2*s+1:
				onLeg += d.Amount
			}
		}
	}
	for _, d := range p.Discards {
		if d.Item == it.ID && d.Stop <= s && fresh[lot{d.Lot, d.Space}] {
			sailing -= d.Amount
		}
	}
	return max(0, sailing), max(0, sailing-onLeg)
}

type lot struct{ id, space string }

// taken says whether what was bought at one stop was taken away up to another.
func taken(it plan.Item, bought, stop int) bool {
	for _, at := range it.SurrenderedAt {
		if at > bought && at <= stop {
			return true
		}
	}
	return false
}
