package season

import (
	"cmp"
	"math"
	"slices"

	"hardtack/route/plan"
)

// longKeeping is the days from which goods count as keeping: such are bought
// for later than the next shop.
const longKeeping = 90

// filling says whether goods that keep are bought at a stop for a period past
// the next shop.
type filling func(stop, need int, g goods, period int) bool

// goods is an item on the shelf.
type goods struct {
	item   int     // of the need
	cost   float64 // per need-unit, dislike counted
	days   float64 // in the space where it keeps longest; 0 where it cannot be stowed
	lost   int     // next stop where it is surrendered
	amount float64 // item-units to be had
}

// market is what is sold where: by stop and need, the cheapest first.
type market struct {
	brief   plan.Brief
	shelves [][][]goods
}

func newMarket(b plan.Brief) *market {
	m := &market{brief: b, shelves: make([][][]goods, len(b.Stops))}
	for s := range b.Stops {
		for n := range b.Needs {
			m.shelves[s] = append(m.shelves[s], onShelf(b, s, n))
		}
	}
	return m
}

func onShelf(b plan.Brief, stop, need int) (found []goods) {
	for i, it := range b.Needs[need].Items {
		price, amount := unitPrice(it, stop)
		if amount == 0 {
			continue
		}
		g := goods{item: i, cost: (price + it.TasteCost) / it.Yield, lost: lostAt(b, it, stop), amount: amount}
		for _, k := range it.Keeps {
			g.days = max(g.days, k.Days[stop])
		}
		found = append(found, g)
	}
	slices.SortStableFunc(found, func(x, y goods) int { return cmp.Compare(x.cost, y.cost) })
	return found
}

// unitPrice is the least price of an item-unit at a stop, and how many
// item-units there are in all; 0 of them where none is sold.
func unitPrice(it plan.Item, stop int) (price, amount float64) {
	price = math.Inf(1)
	for _, o := range it.Offers {
		if o.Stop != stop || (o.Limit != nil && *o.Limit == 0) {
			continue
		}
		price = min(price, o.Price/o.Pack)
		if o.Limit == nil {
			amount = math.Inf(1)
		} else {
			amount += float64(*o.Limit) * o.Pack
		}
	}
	return price, amount
}

// lostAt is the first stop after a purchase where the item is taken away; the
// number of stops when none does.
func lostAt(b plan.Brief, it plan.Item, stop int) int {
	lost := len(b.Stops)
	for _, s := range it.SurrenderedAt {
		if s > stop {
			lost = min(lost, s)
		}
	}
	return lost
}

// fillingStop is where the habit first port fills up: the first stop that
// sells 70 % of the items at prices that average at most 0.9 of each item's
// mean; if none does, the one with the lowest average. The last stop is left
// out: nothing can be carried away from it.
func fillingStop(b plan.Brief) int {
	best, lowest := 0, math.Inf(1)
	for s := range len(b.Stops) - 1 {
		share, average := priceLevel(b, s)
		if share >= 0.7 && average <= 0.9 {
			return s
		}
		if average < lowest {
			best, lowest = s, average
		}
	}
	return best
}

// priceLevel is the share of the items a stop sells, and the average of their
// prices over each one's mean; +Inf where it sells none.
func priceLevel(b plan.Brief, stop int) (share, average float64) {
	items, sold, sum := 0, 0, 0.0
	for _, n := range b.Needs {
		for _, it := range n.Items {
			items++
			if price, amount := unitPrice(it, stop); amount > 0 {
				sold++
				sum += ratio(price, meanPrice(b, it))
			}
		}
	}
	if sold == 0 {
		return 0, math.Inf(1)
	}
	return float64(sold) / float64(items), sum / float64(sold)
}

func ratio(price, mean float64) float64 {
	if mean == 0 {
		return 1 // free everywhere
	}
	return price / mean
}

func meanPrice(b plan.Brief, it plan.Item) float64 {
	sum, stops := 0.0, 0.0
	for s := range b.Stops {
		if price, amount := unitPrice(it, s); amount > 0 {
			sum += price
			stops++
		}
	}
	return sum / stops
}

// cheapestKind is the item of a need that costs least at a stop; -1 for none.
func (m *market) cheapestKind(stop, need int) int {
	if shelf := m.shelves[stop][need]; len(shelf) > 0 {
		return shelf[0].item
	}
	return -1
}

// costAhead is the least cost of a need-unit at a later stop from where it
// can serve the whole period; +Inf when there is none.
func (m *market) costAhead(stop, need, period int) float64 {
	least := math.Inf(1)
	_, end := span(m.brief, period)
	for later := stop + 1; 2*later <= period; later++ {
		for _, g := range m.shelves[later][need] {
			if 2*later == period || (period < 2*g.lost && m.brief.Stops[later].Depart+g.days >= end) {
				least = min(least, g.cost)
			}
		}
	}
	return least
}

// span is when a period begins and ends: stay s is period 2s, leg l 2l+1.
func span(b plan.Brief, period int) (start, end float64) {
	if period%2 == 0 {
		return b.Stops[period/2].Arrive, b.Stops[period/2].Depart
	}
	return b.Stops[period/2].Depart, b.Stops[period/2+1].Arrive
}

func perDay(n plan.Need, period int) float64 {
	if period%2 == 0 {
		return n.UseInPort[period/2]
	}
	return n.UseAtSea[period/2]
}
