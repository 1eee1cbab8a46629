package instance

import (
	"fmt"
	"math"

	"hardtack/route/plan"
)

func (m *maker) need(k kind, number int) plan.Need {
	n := plan.Need{ID: fmt.Sprintf("%s-%03d", k.name, number), Unit: "kg"}
	daily := round(k.daily*m.between(0.7, 1.4), 3)
	m.use(&n, daily)
	price, taste := 0.0, 0.0 // per need-unit: the dearest item's, the largest
	for _, s := range k.items {
		it := m.item(s, n.ID, daily)
		taste = max(taste, it.TasteCost/it.Yield)
		price = max(price, s.price/s.yield)
		n.Items = append(n.Items, it)
	}
	if m.chance(0.6) {
		n.ReserveMissingCost = round(price*m.between(0.3, 1), 4)
	}
	least := float64(m.Stops-1)*n.ReserveMissingCost + taste
	n.MissingCost = math.Ceil(max(price*m.between(8, 20), least)*100) / 100
	if m.chance(0.1) {
		for range m.Stops - 1 {
			n.Reserve = append(n.Reserve, round(daily*m.between(0, 1)*m.leg, 2))
		}
	}
	return n
}

// use draws the daily use by period: less in port, nothing where the crew
// eats ashore; one need in six is wanted on a stretch of the route only.
func (m *maker) use(n *plan.Need, daily float64) {
	from, to := 0, m.Stops-1
	if m.chance(1.0 / 6) {
		from = m.IntN(m.Stops)
		to = from + m.IntN(m.Stops-from)
	}
	inPort := round(daily*m.between(0.5, 0.9), 3)
	for s := range m.Stops {
		within := s >= from && s <= to
		n.UseInPort = append(n.UseInPort, when(within && !m.chance(0.15), inPort))
		if s < m.Stops-1 {
			n.UseAtSea = append(n.UseAtSea, when(within, daily))
		}
	}
}

func when(is bool, x float64) float64 {
	if is {
		return x
	}
	return 0
}

func (m *maker) item(s sort, need string, daily float64) plan.Item {
	it := plan.Item{ID: need + "-" + s.name, Yield: s.yield,
		TasteCost: round(s.taste*s.price*m.between(0.5, 1), 3),
		Litres:    round(s.litres*m.between(0.9, 1.1), 3),
		Kg:        s.kg,
		LineCost:  round(m.between(0.3, 0.8), 2)}
	for _, l := range s.keeps {
		keep := plan.Keep{Space: l.space}
		for p := range m.Stops {
			keep.Days = append(keep.Days, round(l.days*m.warmth[p]*m.between(0.95, 1.05), 1))
		}
		it.Keeps = append(it.Keeps, keep)
	}
	if s.fresh {
		it.SurrenderedAt = m.surrender()
	}
	legUse := daily * m.leg / s.yield // item-units
	if m.chance(0.18) {
		l := s.keeps[m.IntN(len(s.keeps))]
		it.Aboard = []plan.Lot{{Space: l.space, Amount: round(legUse*m.between(0.3, 1.5), 2),
			Expires: round(l.days*m.between(0.1, 0.9), 1)}}
	}
	it.Offers = m.offers(s.price*m.between(0.7, 1.4), legUse)
	return it
}

func (m *maker) surrender() (at []int) {
	for stop, strict := range m.strict {
		if strict && m.chance(0.7) {
			at = append(at, stop)
		}
	}
	return at
}

// offers draws packs from an eighth of a leg's use to several legs', and
// where they are sold; some stops have a larger pack too.
func (m *maker) offers(price, legUse float64) (offers []plan.Offer) {
	pack := max(round(legUse*math.Exp2(m.between(-3, 1.5)), 2), 0.05)
	larger := 0.0
	if m.chance(0.3) {
		larger = round(pack*m.between(2.5, 4), 2)
	}
	for stop := range m.Stops {
		if !m.chance(m.sells[stop]) {
			continue
		}
		unit := price * m.level[stop] * math.Exp(m.normal(0, 0.25))
		offers = append(offers, m.offer(stop, pack, unit))
		if larger > 0 && m.chance(0.5) {
			offers = append(offers, m.offer(stop, larger, unit*0.9))
		}
	}
	return offers
}

func (m *maker) offer(stop int, pack, unit float64) plan.Offer {
	o := plan.Offer{Stop: stop, Pack: pack, Price: max(round(pack*unit, 2), 0.01)}
	if m.chance(0.1) {
		limit := 1 + m.IntN(8)
		o.Limit = &limit
	}
	return o
}
