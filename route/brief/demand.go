package brief

import (
	"cmp"
	"slices"
	"strings"

	"hardtack/pricing/item"
	"hardtack/route/vessel"
)

// demand is a need of the brief before items and offers are put to it: what
// is used of it, and which alternates those who use it eat.
type demand struct {
	id, name   string
	need       item.Need // the catalogue's, or one of ours
	persons    []string  // whom it is for; empty = everybody
	alternates []item.Alternate
	inPort     []float64 // need-units a day, by stop
	atSea      []float64 // need-units a day, by leg
	reserve    []float64 // need-units due on arrival; nil = the rule
}

func (d demand) idle() bool {
	used := func(x float64) bool { return x > 0 }
	return !slices.ContainsFunc(d.inPort, used) && !slices.ContainsFunc(d.atSea, used) &&
		!slices.ContainsFunc(d.reserve, used)
}

// timetable is the stops and legs of the brief under work.
type timetable struct {
	stops []Stop
	legs  []Leg
}

// demands turns every need of the catalogue into one demand, or into several
// where persons eat different alternates of it.
func (b *builder) demands(cat *item.Catalogue, r rates, masks eaters) []demand {
	var out []demand
	for n, need := range cat.Needs {
		if need.Appetite == item.Vessel {
			out = append(out, b.vesselDemand(need))
			continue
		}
		groups := tables(r, masks, n)
		for k, t := range groups {
			d := b.tableDemand(need, k, t)
			d.inPort, d.atSea = b.use(need, r, n, t.persons)
			out = append(out, d)
		}
	}
	return out
}

// tableDemand is the demand of the k-th table of a need; the first, the
// largest, has the need's own name.
func (b *builder) tableDemand(need item.Need, k int, t table) demand {
	d := demand{id: need.ID, name: need.Name, need: need, alternates: pick(need.Alternates, t.mask)}
	if k > 0 {
		d.persons = b.names(t.persons)
		d.id += "/" + strings.Join(b.ids(t.persons), "+")
		d.name += " for " + strings.Join(d.persons, ", ")
	}
	return d
}

// use is what some persons use of a need per day of every stop and leg.
func (b *builder) use(need item.Need, r rates, n int, persons []int) (inPort, atSea []float64) {
	for _, s := range b.stops {
		x := b.mean(s.Arrive, s.Depart, persons, func(p int) float64 { return r[p][n] })
		if ashore(need.Appetite) {
			x *= 1 - b.in.Itinerary.Calls[s.Call].Ashore
		}
		inPort = append(inPort, x)
	}
	for _, l := range b.legs {
		x := b.mean(l.Depart, l.Arrive, persons, func(p int) float64 {
			return r[p][n] * b.seaFactor(need, l, b.in.Crew.Persons[p])
		})
		atSea = append(atSea, x)
	}
	return inPort, atSea
}

// ashore says whether a need shrinks with the share of meals eaten ashore.
func ashore(a item.Appetite) bool {
	return a == item.Food || a == item.Coffee || a == item.Alcohol
}

// mean is the sum over persons of rate × share of the period aboard; an empty
// period counts who is aboard at that moment.
func (b *builder) mean(from, to float64, persons []int, rate func(int) float64) float64 {
	sum := 0.0
	span := to - from
	if span <= 0 {
		to, span = from+1e-6, 1e-6
	}
	for _, p := range persons {
		sum += rate(p) * b.in.Crew.Persons[p].DaysAboard(b.in.Itinerary.Start, from, to) / span
	}
	return sum
}

// vesselDemand is used per boat and day, whoever is aboard.
func (b *builder) vesselDemand(need item.Need) demand {
	d := demand{id: need.ID, name: need.Name, need: need, alternates: need.Alternates}
	for range b.stops {
		d.inPort = append(d.inPort, need.PerPersonDay)
	}
	for range b.legs {
		d.atSea = append(d.atSea, need.PerPersonDay)
	}
	return d
}

func (b *builder) names(persons []int) []string {
	var out []string
	for _, p := range persons {
		out = append(out, nameOf(b.in.Crew.Persons[p]))
	}
	return out
}

func nameOf(p vessel.Person) string { return cmp.Or(p.Name, p.ID) }

func (b *builder) ids(persons []int) []string {
	var out []string
	for _, p := range persons {
		out = append(out, b.in.Crew.Persons[p].ID)
	}
	return out
}
