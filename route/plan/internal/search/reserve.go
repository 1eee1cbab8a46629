package search

// Covers says whether a flow counts for the reserve of a leg.
func (f Flow) Covers(n *Need, leg int) bool {
	if f.Way < 0 || n.Sources[f.Source].Stop > leg || f.until(n) < leg {
		return false
	}
	return n.Sources[f.Source].Ways[f.Way].Expires >= n.Until[leg]-1e-9
}

// until is the last leg on whose arrival the flow is still uneaten.
func (f Flow) until(n *Need) int {
	if f.Segment >= 0 && n.Segments[f.Segment].Period%2 == 1 {
		return f.To - 1
	}
	return f.To
}

// keepReserve holds what is left over for the reserves that lack, counts what
// still lacks, and returns the price of the room taken.
func (a *allocator) keepReserve(n *Need, s *Schedule) float64 {
	for leg := range a.held {
		a.held[leg] = 0
	}
	if n.ReserveMiss == 0 || !n.lay.due {
		return 0
	}
	for _, f := range s.Flows {
		a.cover(n, f)
	}
	priced := 0.0
	for leg := a.m.Legs() - 1; leg >= 0; leg-- {
		if a.held[leg] < n.Due[leg]-Slack {
			priced += a.keepFor(n, leg, s)
		}
	}
	for leg, due := range n.Due {
		s.Reserve += max(due-a.held[leg], 0) * n.ReserveMiss
	}
	return priced
}

func (a *allocator) cover(n *Need, f Flow) {
	if f.Way < 0 {
		return
	}
	from, till := n.Sources[f.Source].Stop, f.until(n)+1
	held := a.held[from:till]
	for leg, part := range n.lay.spans[f.Source].counts[f.Way][from:till] {
		held[leg] += f.Amount * part
	}
}

func (a *allocator) keepFor(n *Need, leg int, s *Schedule) float64 {
	priced := 0.0
	for i := range n.Sources {
		source := &n.Sources[i]
		if a.left[i] <= Slack || source.Stop > leg || source.Last < 2*leg+1 || source.stays(s) {
			continue
		}
		for w, way := range source.Ways {
			lacking := n.Due[leg] - a.held[leg]
			if lacking <= Slack || way.Expires < n.Until[leg]-1e-9 {
				continue
			}
			price := a.prices.hold(source, way, leg)
			if price > n.ReserveMiss*a.lacks(n, source, way, leg) {
				continue
			}
			if amount := a.stow(source, Flow{i, w, -1, leg, lacking}, s); amount > 0 {
				a.cover(n, s.Flows[len(s.Flows)-1])
				priced += amount * price
			}
		}
	}
	return priced
}

// lacks counts the legs up to one whose reserve lacks and which a source kept
// on a way covers.
func (a *allocator) lacks(n *Need, s *Source, w Way, to int) float64 {
	count := 0.0
	for leg := s.Stop; leg <= to; leg++ {
		if a.held[leg] < n.Due[leg]-Slack && w.Expires >= n.Until[leg]-1e-9 {
			count++
		}
	}
	return count
}
