// Package season walks a whole season with a plain shopping habit, so that a
// plan can be held against what a sensible skipper does without one.
//
// The skipper knows every price and rule of the brief ahead, but does not
// optimise: at each stop the cheapest goods that keep long enough are taken,
// whole packs of them, as far as they fit. Units are those of plan.Brief.
package season

import (
	"fmt"

	"hardtack/route/plan"
)

// Habit is a season walked by a habit.
type Habit struct {
	Name string
	// Plan is all that was bought, stowed and eaten. It keeps every rule of
	// the brief; its bound is 0, for a habit proves nothing.
	Plan plan.Plan
	// Spent is money: goods and trips, in the brief's currency.
	Spent float64
	// Shortage is what the brief charges for going without, at sea and in
	// reserve. It is not money, so it is never part of Spent.
	Shortage float64
	Short    []Amount // unmet use by need
	Wasted   []Amount // bought or held on day 0, and never eaten
}

// Amount is need-units of one need, summed over the season; above 0.
type Amount struct {
	Need, Unit string
	Amount     float64
}

// Names of the habits.
const (
	FirstPort = "first port" // fill up once where prices are good, else each leg
	EachLeg   = "each leg"   // for the stay and the way to the next shop
	Ahead     = "ahead"      // each leg, and what keeps from the cheapest port ahead
)

// Habits walks the season by each habit, in the order first port, each leg,
// ahead. The error is that of b.Check.
func Habits(b plan.Brief) ([]Habit, error) {
	if err := b.Check(); err != nil {
		return nil, fmt.Errorf("walk habits: %w", err)
	}
	fill, m := fillingStop(b), newMarket(b)
	return []Habit{
		walk(m, FirstPort, func(s, need int, g goods, _ int) bool {
			return s == fill && g.item == m.cheapestKind(s, need)
		}),
		walk(m, EachLeg, func(int, int, goods, int) bool { return false }),
		walk(m, Ahead, func(s, need int, g goods, period int) bool {
			return g.cost < m.costAhead(s, need, period)
		}),
	}, nil
}
