package plan

import "fmt"

// stowage weighs and measures what is aboard right after each departure.
func (a *audit) stowage() {
	for s := range a.brief.Stops {
		litres, kg := a.held(s)
		for _, space := range a.brief.Stowage.Spaces {
			if litres[space.ID] > space.Litres+amountSlack {
				a.broken(RuleRoom, fmt.Sprintf("space %s, departure from stop %d", space.ID, s),
					"%v litres, room for %v", litres[space.ID], space.Litres)
			}
		}
		if limit := a.brief.Stowage.PayloadKg; limit != nil && kg > *limit+amountSlack {
			a.broken(RulePayload, fmt.Sprintf("departure from stop %d", s), "%v kg, at most %v", kg, *limit)
		}
	}
}

func (a *audit) held(stop int) (litres map[string]float64, kg float64) {
	litres = map[string]float64{}
	depart := a.brief.Stops[stop].Depart
	for _, l := range a.order {
		if l.stop > stop || l.lost <= stop || l.expires <= depart+momentSlack {
			continue
		}
		left := l.left(2*stop, stop)
		litres[l.space] += left * l.item.Litres
		kg += left * l.item.Kg
	}
	return litres, kg
}

// reserveLacking is what a need's reserve lacks on arrival after a leg,
// need-units. Surrender on that very arrival does not spoil it.
func (a *audit) reserveLacking(need, leg int) float64 {
	n, stop := a.brief.Needs[need], a.brief.Stops[leg]
	due := stop.ReserveDays * n.UseAtSea[leg]
	if n.Reserve != nil {
		due = n.Reserve[leg]
	}
	until := a.brief.Stops[leg+1].Arrive + stop.ReserveDays
	for _, l := range a.order {
		if l.item.need == need && l.stop <= leg && l.lost > leg && l.expires >= until-momentSlack {
			due -= l.left(2*leg+1, leg) * l.item.Yield
		}
	}
	return max(due, 0)
}

// carried is the kilograms carried away from a stop's purchases, and whether
// anything was.
func (a *audit) carried(stop int) (kg float64, any bool) {
	for key, amount := range a.lines {
		if key.stop == stop && amount > amountSlack {
			kg += amount * a.items[key.item].Kg
			any = true
		}
	}
	return kg, any
}

// reach is the moment up to which an offer can serve a need in a period,
// limits, room and money not asked; the start of the period when none can.
func (a *audit) reach(need, period int) float64 {
	until, end := a.span(period)
	for _, it := range a.brief.Needs[need].Items {
		for _, o := range it.Offers {
			switch {
			case 2*o.Stop == period:
				return end
			case 2*o.Stop < period && !it.takenBetween(o.Stop, period):
				for _, k := range it.Keeps {
					until = max(until, a.brief.Stops[o.Stop].Depart+k.Days[o.Stop])
				}
			}
		}
	}
	return min(until, end)
}

// takenBetween is whether a lot bought at a stop is surrendered before a
// period begins.
func (it Item) takenBetween(stop, period int) bool {
	for _, s := range it.SurrenderedAt {
		if s > stop && 2*s <= period {
			return true
		}
	}
	return false
}
