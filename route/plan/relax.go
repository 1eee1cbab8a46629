package plan

import "slices"

// relaxation is a brief with one more of something.
type relaxation struct {
	Bind
	brief Brief
	plan  Plan // found for it
}

// relaxed are all there are of a brief; it stays as it is.
func relaxed(b Brief) []relaxation {
	var out []relaxation
	for k, s := range b.Stowage.Spaces {
		more := b
		more.Stowage.Spaces = slices.Clone(b.Stowage.Spaces)
		more.Stowage.Spaces[k].Litres++
		out = append(out, relaxation{Bind: Bind{What: BindLitre, Space: s.ID}, brief: more},
			relaxation{Bind: Bind{What: BindDay, Space: s.ID}, brief: keepingLonger(b, s.ID)})
	}
	if limit := b.Stowage.PayloadKg; limit != nil {
		more, kg := b, *limit+1
		more.Stowage.PayloadKg = &kg
		out = append(out, relaxation{Bind: Bind{What: BindKilogram}, brief: more})
	}
	if slices.ContainsFunc(b.Stops, func(s Stop) bool { return s.TripCarryKg != nil }) {
		out = append(out, relaxation{Bind: Bind{What: BindCarried}, brief: carryingMore(b)})
	}
	if slices.ContainsFunc(b.Stops, func(s Stop) bool { return s.ReserveDays > 0 }) {
		out = append(out, relaxation{Bind: Bind{What: BindReserve}, brief: reservingLess(b)})
	}
	return out
}

// keepingLonger is a brief in which all that is bought keeps a day longer in a
// space; what does not keep there at all still does not.
func keepingLonger(b Brief, space string) Brief {
	b.Needs = slices.Clone(b.Needs)
	for i := range b.Needs {
		items := slices.Clone(b.Needs[i].Items)
		for k := range items {
			keeps := slices.Clone(items[k].Keeps)
			for j := range keeps {
				if keeps[j].Space != space {
					continue
				}
				keeps[j].Days = slices.Clone(keeps[j].Days)
				for d := range keeps[j].Days {
					if keeps[j].Days[d] > 0 {
						keeps[j].Days[d]++
					}
				}
			}
			items[k].Keeps = keeps
		}
		b.Needs[i].Items = items
	}
	return b
}

// carryingMore is a brief in which every trip carries a kilogram more.
func carryingMore(b Brief) Brief {
	b.Stops = slices.Clone(b.Stops)
	for s := range b.Stops {
		if b.Stops[s].TripCarryKg != nil {
			kg := *b.Stops[s].TripCarryKg + 1
			b.Stops[s].TripCarryKg = &kg
		}
	}
	return b
}

// reservingLess is a brief with a day less of reserve on every leg; reserves
// given as amounts shrink in the same proportion.
func reservingLess(b Brief) Brief {
	b.Stops, b.Needs = slices.Clone(b.Stops), slices.Clone(b.Needs)
	left := make([]float64, len(b.Stops))
	for s := range b.Stops {
		if days := b.Stops[s].ReserveDays; days > 0 {
			b.Stops[s].ReserveDays = max(0, days-1)
			left[s] = b.Stops[s].ReserveDays / days
		}
	}
	for n := range b.Needs {
		if b.Needs[n].Reserve == nil {
			continue
		}
		b.Needs[n].Reserve = slices.Clone(b.Needs[n].Reserve)
		for leg := range b.Needs[n].Reserve {
			b.Needs[n].Reserve[leg] *= left[leg]
		}
	}
	return b
}
