package underway

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"hardtack/route/plan"
)

// Change is an amount bought that differs between two plans.
type Change struct {
	Stop   int     `json:"stop"` // of the new brief
	Port   string  `json:"port"`
	Need   string  `json:"need"`
	Item   string  `json:"item"`
	Before float64 `json:"before"` // item-units
	After  float64 `json:"after"`
	Money  float64 `json:"money"` // what it adds to the bill there
}

// Difference is how a plan differs from the accepted one.
type Difference struct {
	Changes []Change   `json:"changes"`        // by stop, the most money first
	Gone    []Change   `json:"gone,omitempty"` // bought at stops that are no more; Stop is -1
	Moved   float64    `json:"moved"`          // money in purchases that differ
	Share   float64    `json:"share"`          // of what the new plan spends on goods
	Cost    plan.Cost  `json:"cost"`
	Best    float64    `json:"best"`           // cheapest plan found; Cost is within 0.5 % of it
	Kept    *plan.Cost `json:"kept,omitempty"` // what the accepted purchases would cost now
	Words   []string   `json:"words"`
}

// Names give what people call a stop and an item, and write an amount of it.
type Names struct {
	Stop   func(stop int) string
	Item   func(id string) string
	Amount func(id string, amount float64) string
}

// Plainly names things by the ids of a brief.
func Plainly(b plan.Brief) Names {
	return Names{
		Stop:   func(s int) string { return b.Stops[s].Port },
		Item:   func(id string) string { return id },
		Amount: func(_ string, amount float64) string { return fmt.Sprintf("%.4g", amount) },
	}
}

// Differ sets a new plan beside the accepted one, whose purchases are those of
// older at the stops match tells of. Purchases at stops that lie behind are
// none of its business: behind is how many of the older brief's stops those are.
func Differ(b plan.Brief, s Steady, match []int, older plan.Plan, behind int, names Names) Difference {
	d := Difference{Moved: s.Moved, Cost: s.Plan.Cost, Best: s.Best, Kept: s.Kept}
	if s.Plan.Cost.Goods > 0 {
		d.Share = s.Moved / s.Plan.Cost.Goods
	}
	for stop, from := range match {
		for _, n := range b.Needs {
			for _, it := range n.Items {
				c := Change{Stop: stop, Port: b.Stops[stop].Port, Need: n.ID, Item: it.ID,
					Before: amountAt(older, it.ID, from), After: amountAt(s.Plan, it.ID, stop)}
				c.Money = paidAt(s.Plan, it.ID, stop) - paidAt(older, it.ID, from)
				if math.Abs(c.After-c.Before) > speck {
					d.Changes = append(d.Changes, c)
				}
			}
		}
	}
	slices.SortStableFunc(d.Changes, func(x, y Change) int {
		return cmp.Or(cmp.Compare(x.Stop, y.Stop), cmp.Compare(math.Abs(y.Money), math.Abs(x.Money)))
	})
	d.gone(match, older, behind)
	d.say(s, b.Currency, names)
	return d
}

// gone lists what was to be bought at stops that are no more.
func (d *Difference) gone(match []int, older plan.Plan, behind int) {
	for _, x := range older.Purchases {
		if x.Packs == 0 || x.Stop < behind || slices.Contains(match, x.Stop) {
			continue
		}
		d.Gone = append(d.Gone, Change{Stop: -1, Need: x.Need, Item: x.Item, Before: float64(x.Packs) * x.Pack,
			Money: -float64(x.Packs) * x.Price})
	}
}

func (d *Difference) say(s Steady, currency string, names Names) {
	if len(d.Changes) == 0 && len(d.Gone) == 0 {
		d.Words = append(d.Words, "Nothing changes: the shopping lists stay as they are.")
	}
	for i := 0; i < len(d.Changes); {
		j := i
		var parts []string
		for ; j < len(d.Changes) && d.Changes[j].Stop == d.Changes[i].Stop; j++ {
			parts = append(parts, phrase(d.Changes[j], names))
		}
		d.Words = append(d.Words, fmt.Sprintf("%s: %s.", names.Stop(d.Changes[i].Stop), strings.Join(parts, "; ")))
		i = j
	}
	if len(d.Gone) > 0 {
		d.Words = append(d.Words, fmt.Sprintf("%d things that were to be bought at stops left out are bought elsewhere or not at all.", len(d.Gone)))
	}
	if s.Kept != nil && len(d.Changes) > 0 {
		d.Words = append(d.Words, fmt.Sprintf("Keeping to the old lists would count %.2f %s, %.2f of it for going without; this plan counts %.2f.",
			s.Kept.Total, currency, s.Kept.Missing, s.Plan.Cost.Total))
	}
	if over := s.Plan.Cost.Total - s.Best; over > 0.005 {
		d.Words = append(d.Words, fmt.Sprintf("A plan for %.2f less was found, but it changes more.", over))
	}
}

func phrase(c Change, names Names) string {
	item := names.Item(c.Item)
	switch {
	case c.Before <= speck:
		return fmt.Sprintf("also %s, %s", item, names.Amount(c.Item, c.After))
	case c.After <= speck:
		return fmt.Sprintf("no %s (was %s)", item, names.Amount(c.Item, c.Before))
	case c.After > c.Before:
		return fmt.Sprintf("more %s, %s (was %s)", item, names.Amount(c.Item, c.After), names.Amount(c.Item, c.Before))
	}
	return fmt.Sprintf("less %s, %s (was %s)", item, names.Amount(c.Item, c.After), names.Amount(c.Item, c.Before))
}

func amountAt(p plan.Plan, item string, stop int) float64 {
	sum := 0.0
	for _, x := range p.Purchases {
		if x.Item == item && x.Stop == stop && stop >= 0 {
			sum += float64(x.Packs) * x.Pack
		}
	}
	return sum
}

func paidAt(p plan.Plan, item string, stop int) float64 {
	sum := 0.0
	for _, x := range p.Purchases {
		if x.Item == item && x.Stop == stop && stop >= 0 {
			sum += float64(x.Packs) * x.Price
		}
	}
	return sum
}
