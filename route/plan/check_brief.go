package plan

import (
	"fmt"
	"time"
)

// momentSlack is how close two moments are the same, in days.
const momentSlack = 1e-9

// Check says whether the brief keeps the contract: a *MalformedError
// (errors.Is ErrMalformed) naming up to 20 values with their paths, or nil.
func (b Brief) Check() error {
	ps := &problems{}
	b.check(ps)
	return ps.malformed("brief")
}

func (b Brief) check(ps *problems) {
	if b.Version != 1 {
		ps.add("brief", fmt.Sprintf("is %d", b.Version), "1, the version of the contract")
	}
	ps.currency(b.Currency, "currency")
	if _, err := time.Parse(time.DateOnly, b.Start); err != nil {
		ps.add("start", fmt.Sprintf("is %q", b.Start), "a date as in 2027-05-29")
	}
	b.checkStops(ps)
	c := briefCheck{problems: ps, stops: len(b.Stops), spaces: b.checkSpaces(ps),
		needs: map[string]bool{}, items: map[string]bool{}}
	if c.stops < 2 {
		return // every list length below hangs on the number of stops
	}
	for i, n := range b.Needs {
		c.need(n, join("needs", i))
	}
}

func (b Brief) checkStops(ps *problems) {
	if len(b.Stops) < 2 {
		ps.add("stops", fmt.Sprintf("has %d stops", len(b.Stops)), "at least 2")
	}
	before := 0.0
	for i, s := range b.Stops {
		at := join("stops", i)
		ps.atLeast0(s.Arrive, at, "arrive")
		ps.atLeast0(s.Depart, at, "depart")
		ps.atLeast0(s.TripCost, at, "trip_cost")
		ps.atLeast0(s.ReserveDays, at, "reserve_days")
		if s.TripCarryKg != nil {
			ps.above0(*s.TripCarryKg, at, "trip_carry_kg")
		}
		if i == 0 && s.Arrive > momentSlack {
			ps.add(join(at, "arrive"), isNumber(s.Arrive), "0: the brief starts with the first arrival")
		}
		if s.Arrive < before-momentSlack {
			ps.add(join(at, "arrive"), isNumber(s.Arrive), fmt.Sprintf("at least the departure before, %v", before))
		}
		if s.Depart < s.Arrive-momentSlack {
			ps.add(join(at, "depart"), isNumber(s.Depart), fmt.Sprintf("at least the arrival, %v", s.Arrive))
		}
		before = s.Depart
	}
}

func (b Brief) checkSpaces(ps *problems) map[string]bool {
	ids := map[string]bool{}
	if b.Stowage.PayloadKg != nil {
		ps.atLeast0(*b.Stowage.PayloadKg, "stowage.payload_kg")
	}
	for i, s := range b.Stowage.Spaces {
		at := join("stowage.spaces", i)
		ps.id(s.ID, at, ids)
		ps.atLeast0(s.Litres, at, "litres")
	}
	return ids
}

// briefCheck checks needs against the stops and spaces of their brief.
type briefCheck struct {
	*problems
	stops                int
	spaces, needs, items map[string]bool
}

func (c briefCheck) need(n Need, at string) {
	c.id(n.ID, at, c.needs)
	c.perStop(n.UseInPort, c.stops, at, "use_in_port")
	c.perStop(n.UseAtSea, c.stops-1, at, "use_at_sea")
	if n.Reserve != nil {
		c.perStop(n.Reserve, c.stops-1, at, "reserve")
	}
	c.atLeast0(n.MissingCost, at, "missing_cost")
	c.atLeast0(n.ReserveMissingCost, at, "reserve_missing_cost")
	taste := 0.0
	for i, it := range n.Items {
		c.item(it, join(at, "items", i))
		if it.Yield > 0 {
			taste = max(taste, it.TasteCost/it.Yield)
		}
	}
	// Nobody goes hungry to keep a reserve; 1e-9 of it is rounding.
	least := float64(c.stops-1)*n.ReserveMissingCost + taste
	if n.MissingCost < least*(1-1e-9) {
		c.add(join(at, "missing_cost"), isNumber(n.MissingCost), fmt.Sprintf(
			"at least (stops - 1) * reserve_missing_cost + max(taste_cost / yield) = %v", least))
	}
}

func (c briefCheck) item(it Item, at string) {
	c.id(it.ID, at, c.items)
	c.above0(it.Yield, at, "yield")
	c.atLeast0(it.TasteCost, at, "taste_cost")
	c.atLeast0(it.Litres, at, "litres")
	c.atLeast0(it.Kg, at, "kg")
	c.atLeast0(it.LineCost, at, "line_cost")
	c.keeps(it.Keeps, at)
	for i, s := range it.SurrenderedAt {
		c.stop(s, 1, at, "surrendered_at", i)
	}
	for i, l := range it.Aboard {
		c.space(l.Space, at, "aboard", i, "space")
		c.atLeast0(l.Amount, at, "aboard", i, "amount")
		c.atLeast0(l.Expires, at, "aboard", i, "expires")
	}
	c.offers(it.Offers, at)
}

func (c briefCheck) keeps(keeps []Keep, at string) {
	seen := map[string]bool{}
	for i, k := range keeps {
		c.space(k.Space, at, "keeps", i, "space")
		if seen[k.Space] {
			c.add(join(at, "keeps", i, "space"), fmt.Sprintf("is %q again", k.Space), "a space once")
		}
		seen[k.Space] = true
		c.perStop(k.Days, c.stops, join(at, "keeps", i), "days")
	}
}

func (c briefCheck) offers(offers []Offer, at string) {
	type key struct {
		stop int
		pack float64
	}
	seen := map[key]bool{}
	for i, o := range offers {
		c.stop(o.Stop, 0, at, "offers", i, "stop")
		c.above0(o.Pack, at, "offers", i, "pack")
		c.atLeast0(o.Price, at, "offers", i, "price")
		if seen[key{o.Stop, o.Pack}] {
			c.add(join(at, "offers", i), fmt.Sprintf("offers pack %v at stop %d again", o.Pack, o.Stop),
				"one offer per item, stop and pack")
		}
		seen[key{o.Stop, o.Pack}] = true
		c.packs(o, at, i)
	}
}

func (c briefCheck) packs(o Offer, at string, i int) {
	if o.Min < 0 {
		c.add(join(at, "offers", i, "min"), fmt.Sprintf("is %d", o.Min), "a whole number of at least 0")
	}
	if o.Limit == nil {
		return
	}
	if *o.Limit < 0 {
		c.add(join(at, "offers", i, "limit"), fmt.Sprintf("is %d", *o.Limit), "a whole number of at least 0")
	}
	if o.Min > *o.Limit {
		c.add(join(at, "offers", i, "min"), fmt.Sprintf("is %d", o.Min), fmt.Sprintf("at most the limit, %d", *o.Limit))
	}
}

func (c briefCheck) perStop(xs []float64, n int, at, field string) {
	if len(xs) != n {
		c.add(join(at, field), fmt.Sprintf("has %d numbers", len(xs)), fmt.Sprint(n))
		return
	}
	for i, x := range xs {
		c.atLeast0(x, at, field, i)
	}
}

func (c briefCheck) space(id, at string, parts ...any) {
	if !c.spaces[id] {
		c.add(join(at, parts...), fmt.Sprintf("is %q", id), "the id of a space in stowage.spaces")
	}
}

func (c briefCheck) stop(s, first int, at string, parts ...any) {
	if s < first || s >= c.stops {
		c.add(join(at, parts...), fmt.Sprintf("is %d", s), fmt.Sprintf("a stop from %d to %d", first, c.stops-1))
	}
}
