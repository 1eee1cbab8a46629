package search

// keepAboard holds on to what is aboard on day 0 and has no use, as long as
// there is room: nobody throws good stores away for nothing.
func (m *Model) keepAboard(plan []*Schedule) []*Schedule {
	load := newLoad(m)
	for i, s := range plan {
		load.add(m.Needs[i], s, 1)
	}
	kept := make([]*Schedule, len(plan))
	for i, s := range plan {
		kept[i] = s.clone()
		for k := range m.Needs[i].Sources {
			if m.Needs[i].Sources[k].Aboard >= 0 {
				load.keepLot(m.Needs[i], k, kept[i])
			}
		}
	}
	return kept
}

func (l *Load) keepLot(n *Need, source int, s *Schedule) {
	src := &n.Sources[source]
	left := src.Held
	for _, f := range s.Flows {
		if f.Source == source {
			left -= f.Amount
		}
	}
	for to := min(l.m.Legs()-1, src.Last/2); to >= 0 && left > Slack; to-- {
		if amount := l.most(src, src.Ways[0], to, left); amount > Slack {
			f := Flow{Source: source, Segment: -1, To: to, Amount: amount}
			s.Flows = append(s.Flows, f)
			l.take(n, f, amount)
			left -= amount
		}
	}
}
