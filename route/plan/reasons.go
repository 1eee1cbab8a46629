package plan

import (
	"fmt"
	"math"

	"hardtack/route/plan/internal/search"
)

// Reason says why a purchase is on the list, in figures read off the plan and
// the brief.
type Reason struct {
	Purchase string // id
	// Price of a need-unit, taste counted, here and at the other stops where
	// the same use could have been bought for, of any item of the need: how
	// many those are, how many of them are cheaper, and the cheapest of them.
	Unit, Next      float64
	Others, Cheaper int
	NextStop        int    // of Next, -1 when there is no other
	Until           string // last period it is eaten in, "" when none
	Full            []Full // where it had no room to grow
	Reserve         bool   // more is stowed than is eaten: it is held for reserves
	Forced          bool   // packs that must be bought
}

// Full is a space with no room left right after a departure; "payload" when
// it is the weight.
type Full struct {
	Space string
	Stop  int
}

// Reasons are those of every purchase of a plan that keeps the rules of its
// brief, in the order of the plan.
func Reasons(b Brief, p Plan) ([]Reason, error) {
	c, held, err := opened(b, p)
	if err != nil {
		return nil, fmt.Errorf("reasons: %w", err)
	}
	full := c.full(held.Free())
	var list []Reason
	for _, x := range p.Purchases {
		list = append(list, c.reason(p, x, full))
	}
	return list, nil
}

func (c *compiled) reason(p Plan, x Purchase, full [][]bool) Reason {
	r := Reason{Purchase: x.ID, NextStop: -1, Next: math.Inf(1)}
	last, eaten := c.lastUse(p, x)
	if last >= 0 {
		r.Until = periodName(last)
	}
	stowed := 0.0
	for _, s := range x.Stowed {
		stowed += s.Amount
		for q := x.Stop; q <= max(x.Stop, (last-1)/2) && q < len(c.brief.Stops)-1; q++ {
			if full[c.rooms[s.Space]][q] {
				r.Full = append(r.Full, Full{s.Space, q})
			}
		}
	}
	if weight := len(full) - 1; stowed > 0 && x.Stop < len(full[weight]) && full[weight][x.Stop] {
		r.Full = append(r.Full, Full{"payload", x.Stop})
	}
	r.Reserve = stowed > eaten+amountSlack
	c.compare(&r, x, last)
	return r
}

// lastUse is the last period in which a purchase is eaten, -1 when none, and
// how much of what was stowed is.
func (c *compiled) lastUse(p Plan, x Purchase) (last int, eaten float64) {
	last = -1
	if x.EatenInPort > 0 {
		last = 2 * x.Stop
	}
	for _, d := range p.Draws {
		if d.Lot == x.ID {
			eaten += d.Amount
			last = max(last, periodRank(d.Period))
		}
	}
	return last, eaten
}

// compare looks at what else could have been bought for the last period the
// purchase is eaten in.
func (c *compiled) compare(r *Reason, x Purchase, last int) {
	for i := range c.brief.Needs {
		if c.brief.Needs[i].ID != x.Need {
			continue
		}
		n, m := &c.brief.Needs[i], c.model.Needs[i]
		seen := map[int]float64{} // per stop: cheapest unit
		for k := range m.Sources {
			s := &m.Sources[k]
			for _, o := range s.Offers {
				offer := &m.Offers[o]
				unit := offer.Price/offer.Size + s.Taste
				if s.Stop == x.Stop {
					if it := &n.Items[s.Item]; it.ID == x.Item && offer.Size == x.Pack*it.Yield {
						r.Unit = unit
						r.Forced = offer.Min > 0
					}
					continue
				}
				if offer.Limit == 0 || !serves(m, s, last) {
					continue
				}
				if old, ok := seen[s.Stop]; !ok || unit < old {
					seen[s.Stop] = unit
				}
			}
		}
		for stop := range c.brief.Stops {
			unit, ok := seen[stop]
			if !ok {
				continue
			}
			r.Others++
			if unit < r.Unit {
				r.Cheaper++
			}
			if unit < r.Next {
				r.Next, r.NextStop = unit, stop
			}
		}
	}
}

// serves says whether a source can serve all of a period, or be held at all
// when there is no period.
func serves(m *search.Need, s *search.Source, period int) bool {
	if period < 0 {
		return len(s.Ways) > 0
	}
	for _, g := range m.Segments {
		if g.Period == period && !s.Serves(g) {
			return false
		}
	}
	return true
}

// full says, per room and departure, where there is hardly any room left.
func (c *compiled) full(free [][]float64) [][]bool {
	full := make([][]bool, len(free))
	for r, row := range free {
		for _, left := range row {
			full[r] = append(full[r], left < 1e-3*c.model.Room[r])
		}
	}
	return full
}

// String is the reason in words.
func (r Reason) String() string {
	text := "the only stop it can come from"
	switch {
	case r.Forced:
		text = "must be bought"
	case r.Others > 0 && r.Cheaper == 0:
		text = fmt.Sprintf("the cheapest of %d stops it could come from", r.Others+1)
	case r.Others > 0:
		text = fmt.Sprintf("%d of %d other stops are cheaper by the unit, but not once trips, packs and room count", r.Cheaper, r.Others)
	}
	if r.Until != "" {
		text += ", eaten until " + r.Until
	}
	if r.Reserve {
		text += ", partly held as a reserve"
	}
	if len(r.Full) > 0 {
		text += fmt.Sprintf("; no room for more in %s after stop %d", r.Full[0].Space, r.Full[0].Stop)
	}
	return text
}
