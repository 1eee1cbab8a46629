package risk

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"hardtack/pricing/item"
	"hardtack/route/plan"
)

// field is a brief, its doubt and a plan, laid out for walking.
type field struct {
	stops   []plan.Stop
	room    []float64 // litres by space; the payload in kg comes last
	needs   []need
	trips   []int       // planned, by stop
	slack   [][]float64 // by stop: room the plan leaves right after departure, as room
	legs    []float64   // sd of the log of days
	drift   float64     // factor on them
	supply  []int       // by stop: number of the ship
	careful bool        // no more of what is not to run short is left to chance than allowed
}

type need struct {
	id          string
	class       item.Necessity
	in, sea     []float64 // use per day
	miss        float64
	reserveMiss float64
	due         []float64 // reserve on arrival, by leg
	season, day float64   // coefficients of variation
	items       []thing
	ashore      []float64   // by stop: share of the stay's use the plan buys day by day
	daily       [][]float64 // by stop and item: that share
	bought      [][]planned // by stop: what the plan carries away
	later       [][]lot     // by stop: lots the plan carries away from later ones
	wait        [][]float64 // by stop and period: expected cost of a unit left to the ports ahead
	seller      []int       // by stop: the next one that sells something; the number of stops when none does
	blind       [][]float64 // the same if every price and shelf ahead were as the brief has it
	next        []int       // by stop: the next one where the plan carries any of it away; the last stop when none
	cover       []int       // by stop: the one by which it will have been found with the chance the class asks for
	hold        []float64   // by stop: need-units to leave it with, so that no more than allowed is left to chance
	aboard      []lot       // on day 0
	given       []float64   // by period: what the plan itself leaves unmet
	meals       [][]lot     // by period: what the plan eats of which lot
	leave       [][]lot     // by stop: what the plan leaves behind
}

// thing is an item.
type thing struct {
	yield, taste, litres, kg, line, life float64
	keeps                                []keep
	longest                              []float64 // days in the best space, by stop
	lost                                 []int     // by stop bought: stop where it is taken away
	offers                               [][]plan.Offer
	doubt                                []OfferDoubt
}

type keep struct {
	space int
	days  []float64
}

// planned is what the plan carries away of one item in one space.
type planned struct {
	item, space int
	amount      float64 // item-units
}

// lot is an amount of one item in one space.
type lot struct {
	item, space int
	left        float64 // item-units
	expires     float64 // as the skipper expects
	useBy       float64 // expires, or the arrival by the brief where it is taken away
	spoils      float64 // as it will turn out
	lost        int
	from        int // stop where bought; -1 = aboard on day 0
	kind        int // in a projection
	index       int // of the planned purchase
}

func newField(b plan.Brief, d Doubt, p plan.Plan, policy Policy) (*field, error) {
	f := &field{stops: b.Stops, legs: d.Legs, drift: math.Exp(d.Drift), careful: policy == Careful, trips: make([]int, len(b.Stops))}
	spaces := map[string]int{}
	for i, s := range b.Stowage.Spaces {
		spaces[s.ID] = i
		f.room = append(f.room, s.Litres)
	}
	payload := math.Inf(1)
	if b.Stowage.PayloadKg != nil {
		payload = *b.Stowage.PayloadKg
	}
	f.room = append(f.room, payload)
	f.supply = ships(d.Supply)
	for _, t := range p.Trips {
		if t.Stop >= 0 && t.Stop < len(f.trips) {
			f.trips[t.Stop] = t.Count
		}
	}
	for i := range b.Needs {
		n := newNeed(b, i, d.Needs[i], spaces)
		n.outlook(f, d.Needs[i], policy)
		f.needs = append(f.needs, n)
	}
	if err := f.follow(b, p, spaces); err != nil {
		return nil, err
	}
	return f, nil
}

// ships numbers the groups of stops that share a supply.
func ships(names []string) []int {
	out, seen := make([]int, len(names)), map[string]int{}
	for s, name := range names {
		out[s] = s
		if name == "" {
			continue
		}
		if first, ok := seen[name]; ok {
			out[s] = first
		} else {
			seen[name] = s
		}
	}
	return out
}

func newNeed(b plan.Brief, index int, d NeedDoubt, spaces map[string]int) need {
	src := b.Needs[index]
	n := need{id: src.ID, class: d.Class, in: src.UseInPort, sea: src.UseAtSea, miss: src.MissingCost, reserveMiss: src.ReserveMissingCost,
		season: d.Season, day: d.Day, ashore: make([]float64, len(b.Stops)), daily: make([][]float64, len(b.Stops)), bought: make([][]planned, len(b.Stops)),
		later: make([][]lot, len(b.Stops)), due: slices.Clone(src.Reserve),
		given: make([]float64, 2*len(b.Stops)-1), leave: make([][]lot, len(b.Stops)),
		meals: make([][]lot, 2*len(b.Stops)-1)}
	if n.due == nil {
		for l, use := range src.UseAtSea {
			n.due = append(n.due, use*b.Stops[l].ReserveDays)
		}
	}
	for s := range n.daily {
		n.daily[s] = make([]float64, len(src.Items))
	}
	for i, it := range src.Items {
		n.items = append(n.items, newThing(b, it, d.Items[i], spaces))
		for _, l := range it.Aboard {
			n.aboard = append(n.aboard, lot{item: i, space: spaces[l.Space], left: l.Amount, expires: l.Expires,
				spoils: l.Expires, lost: n.items[i].lostAfter(b, it, -1), from: -1}.toUse(b.Stops))
		}
	}
	slices.SortStableFunc(n.aboard, byUse)
	return n
}

// byUse puts what must be eaten first in front.
func byUse(x, y lot) int { return cmp.Compare(x.useBy, y.useBy) }

func (l lot) toUse(stops []plan.Stop) lot {
	l.useBy = l.expires
	if l.lost < len(stops) {
		l.useBy = min(l.useBy, stops[l.lost].Arrive)
	}
	return l
}

func newThing(b plan.Brief, it plan.Item, d ItemDoubt, spaces map[string]int) thing {
	t := thing{yield: it.Yield, taste: it.TasteCost, litres: it.Litres, kg: it.Kg, line: it.LineCost, life: d.Life,
		offers: make([][]plan.Offer, len(b.Stops)), doubt: d.Stops}
	for _, k := range it.Keeps {
		t.keeps = append(t.keeps, keep{spaces[k.Space], k.Days})
	}
	for s := range b.Stops {
		t.lost = append(t.lost, t.lostAfter(b, it, s))
		best := 0.0
		for _, k := range t.keeps {
			best = max(best, k.days[s])
		}
		t.longest = append(t.longest, best)
	}
	for _, o := range it.Offers {
		if o.Limit == nil || *o.Limit > 0 {
			t.offers[o.Stop] = append(t.offers[o.Stop], o)
		}
	}
	return t
}

func (t *thing) lostAfter(b plan.Brief, it plan.Item, stop int) int {
	lost := len(b.Stops)
	for _, s := range it.SurrenderedAt {
		if s > stop {
			lost = min(lost, s)
		}
	}
	return lost
}

// expected is the cost of a need-unit at a stop by the brief: the cheapest
// pack, dislike counted. +Inf where none is sold.
func (t *thing) expected(stop int) float64 {
	best := math.Inf(1)
	for _, o := range t.offers[stop] {
		best = min(best, o.Price/o.Pack)
	}
	return (best + t.taste) / t.yield
}

// days an item keeps in a space from a stop; 0 where it does not.
func (t *thing) days(space, stop int) float64 {
	for _, k := range t.keeps {
		if k.space == space {
			return k.days[stop]
		}
	}
	return 0
}

func unknown(what, id string) error { return fmt.Errorf("%s %q of the plan: %w", what, id, ErrInput) }
