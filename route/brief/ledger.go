package brief

import (
	"fmt"
	"strings"

	"hardtack/route/plan"
)

// holding is one lot of a plan in one space, followed from the day it comes
// aboard.
type holding struct {
	need, item string
	space      string
	from       int     // stop where bought; -1 = aboard on day 0
	amount     float64 // item-units stowed
	price      float64 // paid per item-unit; 0 for what was aboard
	expires    float64
	moves      []leaving // what leaves it
}

type leaving struct {
	before int // first period that no longer has it
	amount float64
}

// Periods are numbered stay 0, leg 0, stay 1, … from 0.
func stayPeriod(s int) int { return 2 * s }
func legPeriod(l int) int  { return 2*l + 1 }

// periodOf reads "stay 3" or "leg 2"; false for anything else.
func periodOf(name string) (int, bool) {
	var n int
	if _, err := fmt.Sscanf(strings.TrimPrefix(name, "stay "), "%d", &n); err == nil && strings.HasPrefix(name, "stay ") {
		return stayPeriod(n), true
	}
	if _, err := fmt.Sscanf(strings.TrimPrefix(name, "leg "), "%d", &n); err == nil && strings.HasPrefix(name, "leg ") {
		return legPeriod(n), true
	}
	return 0, false
}

// at is what is left of a holding when a period begins.
func (h holding) at(period int) float64 {
	if h.from >= 0 && period <= stayPeriod(h.from) {
		return 0
	}
	left := h.amount
	for _, m := range h.moves {
		if m.before <= period {
			left -= m.amount
		}
	}
	return max(0, left)
}

type lotKey struct{ item, lot, space string }

// ledger follows every lot of a plan. Draws and discards that name no lot are
// left to the referee and ignored here.
func ledger(b plan.Brief, p plan.Plan) []*holding {
	var all []*holding
	by := map[lotKey]*holding{}
	put := func(k lotKey, h holding) {
		by[k] = &h
		all = append(all, &h)
	}
	items := itemsOf(b)
	for _, n := range b.Needs {
		for _, it := range n.Items {
			for k, l := range it.Aboard {
				put(lotKey{it.ID, fmt.Sprintf("aboard %d", k), l.Space},
					holding{need: n.ID, item: it.ID, space: l.Space, from: -1, amount: l.Amount, expires: l.Expires})
			}
		}
	}
	for _, buy := range p.Purchases {
		for _, st := range buy.Stowed {
			put(lotKey{buy.Item, buy.ID, st.Space}, holding{
				need: buy.Need, item: buy.Item, space: st.Space, from: buy.Stop, amount: st.Amount, price: buy.Price / buy.Pack,
				expires: b.Stops[buy.Stop].Depart + keepsFor(items[buy.Item], st.Space, buy.Stop),
			})
		}
	}
	for _, d := range p.Draws {
		if h, period, ok := find(by, lotKey{d.Item, d.Lot, d.Space}, d.Period); ok {
			h.moves = append(h.moves, leaving{period + 1, d.Amount})
		}
	}
	for _, d := range p.Discards {
		if h := by[lotKey{d.Item, d.Lot, d.Space}]; h != nil {
			h.moves = append(h.moves, leaving{legPeriod(d.Stop), d.Amount})
		}
	}
	return all
}

func find(by map[lotKey]*holding, k lotKey, period string) (*holding, int, bool) {
	n, ok := periodOf(period)
	h := by[k]
	return h, n, ok && h != nil
}

func itemsOf(b plan.Brief) map[string]plan.Item {
	out := map[string]plan.Item{}
	for _, n := range b.Needs {
		for _, it := range n.Items {
			out[it.ID] = it
		}
	}
	return out
}

func keepsFor(it plan.Item, space string, stop int) float64 {
	for _, k := range it.Keeps {
		if k.Space == space && stop < len(k.Days) {
			return k.Days[stop]
		}
	}
	return 0
}

// litresAt is what lies in a space right after a departure.
func litresAt(b plan.Brief, lots []*holding, space string, stop int) float64 {
	items := itemsOf(b)
	sum := 0.0
	for _, h := range lots {
		if h.space == space && h.expires > b.Stops[stop].Depart && !gone(items[h.item], h.from, stop) {
			sum += h.at(legPeriod(stop)) * items[h.item].Litres
		}
	}
	return sum
}

// gone says whether a lot bought at a stop has been taken away by a later one.
func gone(it plan.Item, from, stop int) bool {
	for _, s := range it.SurrenderedAt {
		if s > from && s <= stop {
			return true
		}
	}
	return false
}
