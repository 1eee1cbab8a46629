package search

import "math"

// provide plans for the reserves that lack once every segment is served: from
// source after source, the one that saves most per unit first, until none
// saves more than it costs.
func (f *filler) provide(n *Need, open []bool) {
	if n.ReserveMiss == 0 {
		return
	}
	lack := n.lacking(f.flows)
	for range 4 * len(lack) {
		flow, saved := f.saving(n, lack, open)
		if saved <= 0 {
			return
		}
		if flow.Amount = f.a.grab(&n.Sources[flow.Source], flow); flow.Amount <= 0 {
			f.full[flow.Source] = true
			continue
		}
		f.flows = append(f.flows, flow)
		f.want[flow.Source] += flow.Amount
		lack = n.lacking(f.flows)
	}
}

// lacking is what the reserve of each leg lacks with some flows.
func (n *Need) lacking(flows []Flow) []float64 {
	lack := append([]float64(nil), n.Due...)
	for _, flow := range flows {
		for leg := range lack {
			if flow.Covers(n, leg) {
				lack[leg] -= flow.Amount
			}
		}
	}
	return lack
}

// saving is the purchase to be held for reserves that saves most per unit.
func (f *filler) saving(n *Need, lack []float64, open []bool) (best Flow, saved float64) {
	for i := range n.Sources {
		s := &n.Sources[i]
		if f.full[i] || !open[i] || f.a.left[i] <= Slack {
			continue
		}
		price, fixed := 0.0, 0.0
		if s.Aboard < 0 {
			price, fixed = n.UnitPrice(i), f.fixed(s, i)
		}
		for w := range s.Ways {
			amount, most, count := math.Inf(1), 0.0, 0
			for leg := s.Stop; leg < len(lack) && 2*leg+1 <= s.Last; leg++ {
				if lack[leg] <= Slack || s.Ways[w].Expires < n.Until[leg]-1e-9 {
					continue
				}
				amount, most, count = min(amount, lack[leg]), max(most, lack[leg]), count+1
				gain := float64(count)*n.ReserveMiss - price - f.a.prices.hold(s, s.Ways[w], leg) - fixed/most
				if gain > saved {
					best, saved = Flow{Source: i, Way: w, Segment: -1, To: leg, Amount: amount}, gain
				}
			}
		}
	}
	return best, saved
}

// fixed is what carrying the first unit of a source away costs.
func (f *filler) fixed(s *Source, i int) float64 {
	if f.want[i] > 0 {
		return 0
	}
	if l := f.a.load; l != nil && l.away[s.Stop] == 0 && f.a.prices.Open[f.need][s.Stop] == 0 {
		return s.Line + l.m.TripCost[s.Stop]
	}
	return s.Line + f.a.prices.Open[f.need][s.Stop]
}

// reserveRegret is how much more a unit of a source costs than it saves at
// most when held for reserves.
func (a *allocator) reserveRegret(n *Need, i int) float64 {
	least := math.Inf(1)
	if n.ReserveMiss == 0 {
		return least
	}
	s := &n.Sources[i]
	for _, w := range s.Ways {
		saved := 0.0
		for leg := s.Stop; leg < len(n.Due) && 2*leg+1 <= s.Last; leg++ {
			if n.Due[leg] > Slack && w.Expires >= n.Until[leg]-1e-9 {
				saved += n.ReserveMiss
				least = min(least, a.prices.hold(s, w, leg)-saved)
			}
		}
	}
	if s.Aboard < 0 {
		least += n.UnitPrice(i)
	}
	return max(0, least)
}
