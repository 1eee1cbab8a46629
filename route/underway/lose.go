package underway

import (
	"fmt"
	"slices"

	"hardtack/route/plan"
)

// Lose takes a space out of a brief, as when a fridge fails on its first day:
// nothing is stowed there any more, and what lies there goes to the space
// where the item keeps longest, with the same share of its life left there.
// What keeps nowhere else is lost at once. A space the brief does not have is
// ErrInput.
func Lose(b plan.Brief, space string) (plan.Brief, error) {
	if !slices.ContainsFunc(b.Stowage.Spaces, func(s plan.Space) bool { return s.ID == space }) {
		return b, fmt.Errorf("space %q: %w", space, ErrInput)
	}
	b.Stowage.Spaces = slices.Clone(b.Stowage.Spaces)
	for i := range b.Stowage.Spaces {
		if b.Stowage.Spaces[i].ID == space {
			b.Stowage.Spaces[i].Litres = 0
		}
	}
	b.Needs = slices.Clone(b.Needs)
	for n := range b.Needs {
		b.Needs[n].Items = slices.Clone(b.Needs[n].Items)
		for i := range b.Needs[n].Items {
			b.Needs[n].Items[i] = without(b.Needs[n].Items[i], space)
		}
	}
	return b, nil
}

func without(it plan.Item, space string) plan.Item {
	there := 0.0
	best := plan.Keep{}
	var keeps []plan.Keep
	for _, k := range it.Keeps {
		if k.Space == space {
			there = k.Days[0]
			continue
		}
		keeps = append(keeps, k)
		if best.Space == "" || k.Days[0] > best.Days[0] {
			best = k
		}
	}
	it.Keeps = keeps
	lots := it.Aboard
	it.Aboard = nil
	for _, l := range lots {
		if l.Space == space {
			if best.Space == "" {
				continue
			}
			left := 0.0 // share of its life
			if there > 0 {
				left = min(l.Expires/there, 1)
			}
			l = plan.Lot{Space: best.Space, Amount: l.Amount, Expires: min(l.Expires, left*best.Days[0])}
		}
		it.Aboard = append(it.Aboard, l)
	}
	return it
}
