package inventory

import (
	"cmp"
	"math"
	"slices"

	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
	"hardtack/route/vessel"
)

// stower puts goods into lockers one after the other.
type stower struct {
	boat     Boat
	cells    []*cell
	placed   []Placement
	homeless []Placement
	said     []wording.Remark
}

func (s *stower) stow(g Goods) {
	i, ok := s.boat.Catalogue.Items[g.Item]
	if !ok || g.Amount <= 0 {
		return
	}
	left, why := g.Amount, wording.Say("stowage.no_locker", wording.Place(string(g.Kind)))
	least := g.Pack
	if least == 0 {
		least = crumb * g.Amount
	}
	for left > 1e-9 {
		c, reason := s.best(g, i, min(least, left))
		if c == nil {
			if !reason.IsZero() {
				why = reason
			}
			s.homeless = append(s.homeless, placement(g, i, left, "", why))
			return
		}
		q := min(left, c.fits(i, g.Pack))
		c.take(i, q)
		s.placed = append(s.placed, placement(g, i, q, c.locker.ID, c.sayPlace(i, g)))
		left -= q
	}
}

func placement(g Goods, i item.Item, q float64, locker string, why wording.Remark) Placement {
	return Placement{
		Item: i.ID, Name: i.Name, Locker: locker, Amount: q, Litres: q * i.Litres, Kg: q * i.Kg, First: g.First, Why: why,
	}
}

// crumb is the least share of goods worth a locker of its own.
const crumb = 0.05

// best is the locker that suits the goods best of those with room for the
// least; without one, why the last of them was refused.
func (s *stower) best(g Goods, i item.Item, least float64) (*cell, wording.Remark) {
	var best *cell
	why, score := wording.Remark{}, 0.0
	for _, c := range s.cells {
		if c.kind != g.Kind {
			continue
		}
		if no := s.boat.refuses(c.locker, i); !no.IsZero() {
			why = no
			continue
		}
		if no := c.apart(i); !no.IsZero() {
			why = no
			continue
		}
		if c.fits(i, g.Pack) < least {
			if why.IsZero() {
				why = wording.Say("stowage.full")
			}
			continue
		}
		if x := s.score(c, g, i); best == nil || x > score {
			best, score = c, x
		}
	}
	return best, why
}

// score weighs what makes a locker good for goods; the weights only order.
func (s *stower) score(c *cell, g Goods, i item.Item) float64 {
	x := 0.0
	if soon := g.First <= watchWeek; soon == c.locker.AtSea {
		x += 8
	}
	if heavy(i) == c.locker.Low {
		x += 4
	}
	if c.locker.Wet { // leave dry lockers to what needs them
		x += 2
	}
	if c.locker.Hot {
		x++
	}
	if slices.ContainsFunc(c.holds, func(o item.Item) bool { return o.ID == i.ID }) {
		x += 3 // one thing in one place is found again
	}
	port, starboard := s.sides()
	if c.locker.Side == vessel.Port && port > starboard || c.locker.Side == vessel.Starboard && starboard > port {
		x -= 2
	}
	if c.fits(i, g.Pack) >= g.Amount {
		x += 2.5
	}
	return x
}

// sides is what was placed to port and to starboard, kg.
func (s *stower) sides() (port, starboard float64) {
	for _, p := range s.placed {
		for _, c := range s.cells {
			switch {
			case c.locker.ID != p.Locker:
			case c.locker.Side == vessel.Port:
				port += p.Kg
			case c.locker.Side == vessel.Starboard:
				starboard += p.Kg
			}
		}
	}
	return port, starboard
}

// listing from this many kg of difference is worth a word.
const listing = 60

func (s *stower) proposal() Proposal {
	order := func(id string) int {
		return slices.IndexFunc(s.boat.Lockers, func(l vessel.Locker) bool { return l.ID == id })
	}
	slices.SortStableFunc(s.placed, func(x, y Placement) int {
		return cmp.Or(cmp.Compare(order(x.Locker), order(y.Locker)), cmp.Compare(y.First, x.First), cmp.Compare(y.Kg, x.Kg))
	})
	p := Proposal{Placed: s.placed, Homeless: s.homeless, Said: s.said}
	if len(p.Placed)+len(p.Homeless) == 0 {
		p.Said = append(p.Said, wording.Say("stowage.nothing"))
		return p
	}
	p.PortKg, p.StarboardKg = s.sides()
	if d := p.PortKg - p.StarboardKg; d > listing || d < -listing {
		side := "stowage.port"
		if d < 0 {
			side, d = "stowage.starboard", -d
		}
		p.Said = append(p.Said, wording.Say(side, wording.Amount(math.Round(d), measure.Kilogram)))
	}
	if len(p.Homeless) > 0 {
		p.Said = append(p.Said, wording.Say("stowage.homeless", wording.Count(len(p.Homeless))))
	}
	p.Said = append(p.Said, wording.Say("stowage.clear"))
	return p
}
