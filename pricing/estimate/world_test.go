package estimate

import (
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/world"
)

// invented is a world with what a model is given of it.
type invented struct {
	Input
	world *world.World
	known []Known
}

// invent draws a world; no field of the spec but what is in question differs
// from world.Usual.
func invent(s world.Spec) *invented {
	of := world.Invent(s)
	w := &invented{world: of, Input: Input{Rates: of.Rates, Reports: of.Reports, Day: of.Day}}
	for _, i := range of.Items {
		w.Input.Items = append(w.Input.Items, Item{ID: i.ID, Category: i.Category, Unit: i.Unit, ListPack: i.ListPack})
	}
	for _, p := range of.Ports {
		w.Input.Ports = append(w.Input.Ports, Port{ID: p.ID, Country: p.Country, South: p.Latitude < 0})
	}
	for _, p := range of.Pairs {
		w.known = append(w.known, Known{
			Port: of.Ports[p.Port].ID, Item: of.Items[p.Item].ID, Day: of.Day, Log: p.Log, Receipt: p.Receipt,
		})
	}
	return w
}

// spec is a world of a size that tests can afford.
func spec(seed uint64, items, ports, countries, reports int) world.Spec {
	s := world.Usual(seed, world.Kinds()["plain"])
	s.Items, s.Categories, s.Ports, s.Countries, s.Reports, s.Reporters = items, 1+items/12, ports, countries, reports, 1+reports/60
	s.QuietPorts, s.QuietCountries = 0, 0
	return s
}

// apart is the distance of two ports in nautical miles, on a sphere.
func (w *invented) apart(a, b pricing.PortID) (float64, bool) {
	p, q := w.world.Ports[slices.IndexFunc(w.world.Ports, is(a))], w.world.Ports[slices.IndexFunc(w.world.Ports, is(b))]
	const degree = math.Pi / 180
	cosine := math.Sin(p.Latitude*degree)*math.Sin(q.Latitude*degree) +
		math.Cos(p.Latitude*degree)*math.Cos(q.Latitude*degree)*math.Cos((p.Longitude-q.Longitude)*degree)
	return 60 / degree * math.Acos(min(1, cosine)), true
}

func is(id pricing.PortID) func(world.Port) bool {
	return func(p world.Port) bool { return p.ID == id }
}
