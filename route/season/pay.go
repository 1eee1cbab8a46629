package season

import (
	"fmt"
	"math"

	"hardtack/route/plan"
)

// pay turns the baskets into whole packs, finds room for what a pack holds
// too much, and goes to fetch it.
func (c *counter) pay() {
	kg, lines := 0.0, 0
	for _, b := range c.baskets {
		it := c.brief.Needs[b.need].Items[b.item]
		offers, packs := packsOf(it, c.stop, b.here+b.carried())
		bought := 0.0
		for i, o := range offers {
			bought += float64(packs[i]) * o.Pack
		}
		c.got[b.need] += bought * it.Yield
		c.keepSurplus(b, it, bought)
		if carried := b.carried(); carried > 0 {
			lines++
			kg += carried * it.Kg
			c.plan.Cost.Lines += it.LineCost
		}
		c.record(b, it, offers, packs)
	}
	c.trips(kg, lines)
}

// keepSurplus stows what the packs hold beyond what was wanted, if it fits:
// of goods carried anyhow, and of wishes, never of what was for the stay.
func (c *counter) keepSurplus(b *basket, it plan.Item, bought float64) {
	surplus := bought - b.here - b.carried()
	wished := false
	for _, o := range it.Offers {
		wished = wished || o.Stop == c.stop && o.Min > 0
	}
	if surplus > speck && c.stop < len(c.brief.Stops)-1 && (b.carried() > 0 || wished) {
		c.stow(b, surplus, c.brief.Stops[c.stop].Depart, math.Inf(1))
	}
}

// record writes the purchases, and the lots they become. What is eaten here
// comes out of the first packs, the stowed amounts in turn out of the rest.
func (c *counter) record(b *basket, it plan.Item, offers []plan.Offer, packs []int) {
	here, stowed := b.here, append([]plan.Stowed(nil), b.stowed...)
	for i, o := range offers {
		if packs[i] == 0 {
			continue
		}
		c.plan.Cost.Goods += float64(packs[i]) * o.Price
		p := plan.Purchase{ID: fmt.Sprintf("p%d", len(c.plan.Purchases)+1), Stop: c.stop,
			Need: c.brief.Needs[b.need].ID, Item: it.ID, Pack: o.Pack, Packs: packs[i], Price: o.Price}
		left := float64(packs[i]) * o.Pack
		p.EatenInPort = min(here, left)
		here, left = here-p.EatenInPort, left-p.EatenInPort
		for j := range stowed {
			amount := min(stowed[j].Amount, left)
			if amount <= 0 {
				continue
			}
			stowed[j].Amount, left = stowed[j].Amount-amount, left-amount
			p.Stowed = append(p.Stowed, plan.Stowed{Space: stowed[j].Space, Amount: amount})
			c.aboard(b.key, it, p.ID, stowed[j].Space, amount)
		}
		c.plan.Purchases = append(c.plan.Purchases, p)
	}
}

func (c *counter) aboard(k key, it plan.Item, id, space string, amount float64) {
	for _, keep := range it.Keeps {
		if keep.Space == space {
			c.lots = append(c.lots, &lot{need: k.need, item: k.item, id: id, space: space, left: amount,
				expires: c.brief.Stops[c.stop].Depart + keep.Days[c.stop], lost: lostAt(c.brief, it, c.stop)})
		}
	}
}

// trips counts the least trips that carry; the contract compares kilograms
// within 1e-6.
func (c *counter) trips(kg float64, lines int) {
	if lines == 0 {
		return
	}
	stop, count := c.brief.Stops[c.stop], 1
	if stop.TripCarryKg != nil {
		count = max(count, int(math.Ceil((kg-1e-6) / *stop.TripCarryKg)))
	}
	c.plan.Cost.Trips += float64(count) * stop.TripCost
	c.plan.Trips = append(c.plan.Trips, plan.Trip{Stop: c.stop, Count: count})
}

// reckon adds the cost up.
func (w *walker) reckon() {
	c := &w.plan.Cost
	c.Total = c.Goods + c.Trips + c.Lines + c.Taste + c.Missing + c.ReserveMissing
	if c.Total > 0 {
		w.plan.Gap = 1 // nothing is proven
	}
}

func (w *walker) report(name string) Habit {
	c := w.plan.Cost
	h := Habit{Name: name, Plan: w.plan, Spent: c.Goods + c.Trips, Shortage: c.Missing + c.ReserveMissing}
	short := map[string]float64{}
	for _, m := range w.plan.Missing {
		short[m.Need] += m.Amount
	}
	for n, need := range w.brief.Needs {
		if amount := short[need.ID]; amount > 0 {
			h.Short = append(h.Short, Amount{need.ID, need.Unit, amount})
		}
		if amount := w.got[n] - w.eaten[n]; amount > speck {
			h.Wasted = append(h.Wasted, Amount{need.ID, need.Unit, amount})
		}
	}
	return h
}
