package season

import (
	"cmp"
	"fmt"
	"slices"

	"hardtack/route/plan"
)

// speck is an amount not worth handling, in item-units or litres; the
// contract compares amounts within a tenth of it.
const speck = 1e-5

// lot is what is left of a purchase, or of what was held on day 0, in a space.
type lot struct {
	need, item int
	id, space  string
	left       float64 // item-units
	expires    float64 // days
	lost       int     // stop where it is taken away
}

// walker is a season half walked.
type walker struct {
	*market
	fills filling
	lots  []*lot
	plan  plan.Plan
	eaten []float64 // by need, need-units
	got   []float64 // by need, need-units held on day 0 or bought
}

func walk(m *market, name string, fills filling) Habit {
	b := m.brief
	w := &walker{market: m, fills: fills, plan: plan.Plan{Version: 1, Currency: b.Currency},
		eaten: make([]float64, len(b.Needs)), got: make([]float64, len(b.Needs))}
	w.startAboard()
	for s := range b.Stops {
		w.lots = slices.DeleteFunc(w.lots, func(l *lot) bool { return l.lost == s })
		c := w.stay(s)
		if s == len(b.Stops)-1 {
			c.pay()
			break
		}
		w.clear(s)
		c.stock()
		c.pay()
		w.leg(s)
	}
	w.reckon()
	return w.report(name)
}

func (w *walker) startAboard() {
	for n, need := range w.brief.Needs {
		for i, it := range need.Items {
			for a, l := range it.Aboard {
				w.got[n] += l.Amount * it.Yield
				w.lots = append(w.lots, &lot{need: n, item: i, id: fmt.Sprintf("aboard %d", a), space: l.Space,
					left: l.Amount, expires: l.Expires, lost: lostAt(w.brief, it, -1)})
			}
		}
	}
}

func (w *walker) item(l *lot) plan.Item { return w.brief.Needs[l.need].Items[l.item] }

// eat draws a need's use in a period from what is aboard and returns the
// moment up to which it lasted.
func (w *walker) eat(need, period int) float64 {
	n := w.brief.Needs[need]
	start, end := span(w.brief, period)
	return eatDown(w.of(need), n, start, end, period, func(l *lot, amount float64) {
		w.eaten[need] += amount * w.item(l).Yield
		w.plan.Draws = append(w.plan.Draws, plan.Draw{Need: n.ID, Item: w.item(l).ID, Lot: l.id, Space: l.space,
			Period: periodName(period), Amount: amount})
		w.plan.Cost.Taste += amount * w.item(l).TasteCost
	})
}

// of lists a need's lots, what expires first in front.
func (w *walker) of(need int) []*lot {
	var lots []*lot
	for _, l := range w.lots {
		if l.need == need {
			lots = append(lots, l)
		}
	}
	return lots
}

// eatDown eats what expires first, each lot up to its expiry at the latest,
// and returns the moment up to which the use from start was met.
func eatDown(lots []*lot, n plan.Need, start, end float64, period int, each func(*lot, float64)) float64 {
	rate := perDay(n, period)
	if rate == 0 {
		return end
	}
	lots = slices.Clone(lots)
	slices.SortStableFunc(lots, func(x, y *lot) int { return cmp.Compare(x.expires, y.expires) })
	at := start
	for _, l := range lots {
		until := min(l.expires, end)
		if until <= at || period >= 2*l.lost || l.left <= 0 {
			continue
		}
		yield := n.Items[l.item].Yield
		amount := min(l.left, rate*(until-at)/yield)
		l.left -= amount
		each(l, amount)
		at = min(at+amount*yield/rate, until)
		if end-at < 1e-12*end {
			return end // rounding, not hunger
		}
	}
	return at
}

// stay eats what is aboard and opens the counter where the rest is bought.
func (w *walker) stay(s int) *counter {
	c := newCounter(w, s)
	for n, need := range w.brief.Needs {
		at := w.eat(n, 2*s)
		lacking := need.UseInPort[s] * max(w.brief.Stops[s].Depart-at, 0)
		w.miss(n, 2*s, c.eatHere(n, lacking))
	}
	return c
}

// leg eats at sea and counts the reserve on arrival.
func (w *walker) leg(l int) {
	_, arrive := span(w.brief, 2*l+1)
	for n, need := range w.brief.Needs {
		at := w.eat(n, 2*l+1)
		w.miss(n, 2*l+1, need.UseAtSea[l]*max(arrive-at, 0))
		lacking := due(w.brief, n, l) - inReserve(w.brief, w.of(n), l)
		if lacking > 0 {
			w.plan.ReserveMissing = append(w.plan.ReserveMissing,
				plan.ReserveMissing{Need: need.ID, Leg: l, Amount: lacking})
			w.plan.Cost.ReserveMissing += lacking * need.ReserveMissingCost
		}
	}
}

func (w *walker) miss(need, period int, amount float64) {
	if amount <= 1e-9 { // rounding, not hunger
		return
	}
	n := w.brief.Needs[need]
	w.plan.Missing = append(w.plan.Missing, plan.Missing{Need: n.ID, Period: periodName(period), Amount: amount})
	w.plan.Cost.Missing += amount * n.MissingCost
}

// due is the reserve asked for on arrival after a leg, need-units.
func due(b plan.Brief, need, leg int) float64 {
	if n := b.Needs[need]; n.Reserve != nil {
		return n.Reserve[leg]
	}
	return b.Stops[leg].ReserveDays * b.Needs[need].UseAtSea[leg]
}

// inReserve is what of the lots counts as reserve on that arrival.
func inReserve(b plan.Brief, lots []*lot, leg int) float64 {
	until, units := b.Stops[leg+1].Arrive+b.Stops[leg].ReserveDays, 0.0
	for _, l := range lots {
		if l.expires >= until && l.lost > leg {
			units += l.left * b.Needs[l.need].Items[l.item].Yield
		}
	}
	return units
}

// clear leaves behind what never fitted: only lots held on day 0 can be too
// many. What expires first goes first.
func (w *walker) clear(s int) {
	lots := slices.Clone(w.lots)
	slices.SortStableFunc(lots, func(x, y *lot) int { return cmp.Compare(x.expires, y.expires) })
	for _, l := range lots {
		r := newRoom(w, s)
		it := w.item(l)
		if l.expires <= w.brief.Stops[s].Depart {
			continue
		}
		surplus := max(over(-r.litres[l.space], it.Litres), over(-r.kg, it.Kg))
		if amount := min(surplus, l.left); amount > 0 {
			l.left -= amount
			w.plan.Discards = append(w.plan.Discards,
				plan.Discard{Item: it.ID, Lot: l.id, Space: l.space, Stop: s, Amount: amount})
		}
	}
}

// over is how many item-units take up an excess; 0 when they take up nothing.
func over(excess, each float64) float64 {
	if excess <= 0 || each == 0 {
		return 0
	}
	return excess / each
}

func periodName(period int) string {
	if period%2 == 0 {
		return fmt.Sprintf("stay %d", period/2)
	}
	return fmt.Sprintf("leg %d", period/2)
}
