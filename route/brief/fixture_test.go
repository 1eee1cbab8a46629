package brief

import (
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/pricing/wording"
	"hardtack/route"
	"hardtack/route/geo"
	"hardtack/route/port"
	"hardtack/route/vessel"
)

func ptr[T any](x T) *T { return &x }

func day(s string) calendar.Day {
	d, err := calendar.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

type portList map[pricing.PortID]port.Port

func (l portList) Port(id pricing.PortID) (port.Port, bool) {
	p, ok := l[id]
	return p, ok
}

type ruleList []port.Rule

func (l ruleList) Entering(from, to port.Port, class string) (port.Rule, bool) {
	if from.Zone == to.Zone {
		return port.Rule{}, false
	}
	for _, r := range l {
		if r.Zone == to.Zone && r.Class == class {
			return r, true
		}
	}
	return port.Rule{Zone: to.Zone, Class: class, Status: port.Unknown}, true
}

func goods(id, class, importClass string, unit measure.Unit, shelf item.Shelf, packs ...measure.Quantity) item.Item {
	return item.Item{
		ID: pricing.ItemID(id), Name: id, Unit: unit, Kcal: 1000, Litres: 1.2, Kg: 1.05, ShelfClass: class,
		ImportClass: importClass, Shelf: shelf, ListPack: packs[0], Packs: packs, BasePrice: 3, BaseLogSD: 0.3,
	}
}

func shelf(at20, at4 float64) item.Shelf {
	s := item.Shelf{At20: &at20, Q10: 2}
	if at4 > 0 {
		s.At4 = &at4
	}
	return s
}

// larder is a catalogue of a few invented figures, enough for every rule.
func larder() *item.Catalogue {
	kg, each := measure.Kilogram, measure.Each
	half, one, five := measure.Of(0.5), measure.One, measure.Of(5)
	list := []item.Item{
		goods("rice_white", "dry", "RICE_GRAIN", kg, shelf(700, 0), one, half, five),
		goods("pasta_short", "dry", "FLOUR_PROCESSED", kg, shelf(700, 0), half),
		goods("apple", "prod", "FRUITVEG_FRESH", kg, shelf(30, 60), one),
		goods("tin_peach", "canacid", "CANNED_PLANT", each, shelf(450, 0), one),
		goods("chicken_breast", "chill", "MEAT_FRESH", kg, shelf(0, 2), half),
		goods("tin_stew", "can", "MEAT_CANNED", each, shelf(1200, 0), one),
		goods("lentil_red", "dry", "PLANT_SEED_RAW", kg, shelf(365, 0), half),
		goods("crackers", "dry", "FLOUR_PROCESSED", kg, shelf(240, 0), half),
		goods("granola_bars", "dry", "FLOUR_PROCESSED", each, shelf(270, 0), one),
		goods("tea_bags", "dry", "COFFEE_TEA", each, shelf(800, 0), one),
		goods("nappies", "nonfood", "NONFOOD", each, shelf(1800, 0), one),
		goods("water_tank", "inert", "DRINKS", measure.Litre, shelf(180, 0), one),
		goods("water_5l", "inert", "DRINKS", each, shelf(730, 0), one),
		goods("lpg", "inert", "NONFOOD", kg, shelf(3650, 0), one),
	}
	c := &item.Catalogue{Items: map[pricing.ItemID]item.Item{}}
	for _, i := range list {
		switch i.ID {
		case "water_tank", "water_5l":
			i.Category = "water"
		case "lpg":
			i.Category = "gas"
		}
		c.Items[i.ID] = i
		c.Order = append(c.Order, i.ID)
	}
	c.Needs = []item.Need{
		{ID: "rice", Name: "Rice", Group: "starch_dry", Share: 0.5, Unit: kg, PerPersonDay: 0.06, Class: item.Staple,
			Appetite: item.Food, Alternates: []item.Alternate{alternate("rice_white", 1, 0)}},
		{ID: "pasta", Name: "Pasta", Group: "starch_dry", Share: 0.5, Unit: kg, PerPersonDay: 0.06, Class: item.Staple,
			Appetite: item.Food, Alternates: []item.Alternate{alternate("pasta_short", 1, 0)}},
		{ID: "fruit", Name: "Fruit", Group: "fruit_fresh_gross", Share: 1, Unit: kg, PerPersonDay: 0.25, Class: item.Comfort,
			Appetite: item.Food, Alternates: []item.Alternate{alternate("apple", 1, 0), alternate("tin_peach", 0.6, 0.2)}},
		{ID: "meat", Name: "Meat", Group: "meat_fish", Share: 1, Unit: kg, PerPersonDay: 0.13, Class: item.Staple,
			Appetite: item.Food, Alternates: []item.Alternate{alternate("chicken_breast", 1, 0), alternate("tin_stew", 0.3, 0.2)}},
		{ID: "pulses", Name: "Pulses", Group: "pulses_dry_equiv", Share: 1, Unit: kg, PerPersonDay: 0.025, Class: item.Staple,
			Appetite: item.Food, Alternates: []item.Alternate{alternate("lentil_red", 1, 0)}},
		{ID: "nappies", Name: "Nappies", Group: "nappies", Share: 1, Unit: each, PerPersonDay: 6, Class: item.Staple,
			Appetite: item.Infant, Alternates: []item.Alternate{alternate("nappies", 1, 0)}},
		{ID: "water", Name: "Water", Group: "water", Share: 1, Unit: measure.Litre, PerPersonDay: 4, Class: item.Safety,
			Appetite: item.Person, Alternates: []item.Alternate{alternate("water_tank", 1, 0), alternate("water_5l", 5, 0.1)}},
		{ID: "gas", Name: "Cooking gas", Group: "lpg", Share: 1, Unit: kg, PerPersonDay: 0.055, Class: item.Safety,
			Appetite: item.Person, Alternates: []item.Alternate{alternate("lpg", 1, 0)}},
	}
	return c
}

// season is Horta, then Falmouth by way of 12 days of ocean, then Brest.
func season() route.Itinerary {
	call := func(id string, arrive, depart float64) route.Call {
		return route.Call{Stop: route.Stop{Port: pricing.PortID(id)}, Arrive: arrive, Depart: depart}
	}
	return route.Itinerary{
		Voyage: "v", Start: day("2027-05-01"),
		Calls: []route.Call{call("PTHOR", 0, 5), call("GBFAL", 17, 22), call("FRBES", 23, 26)},
		Ways: []route.Way{
			{DistanceNM: 1230, MedianDays: 12, Days90: 15, Ocean: true},
			{DistanceNM: 100, MedianDays: 1, Days90: 1.3},
		},
	}
}

func harbours() portList {
	return portList{
		"PTHOR": {ID: "PTHOR", Name: "Horta", Country: "PT", Zone: "EU", Currency: "EUR", Size: port.Town, Position: geo.Position{Lat: 38.5, Lon: -28.6}},
		"GBFAL": {ID: "GBFAL", Name: "Falmouth", Country: "GB", Zone: "GB", Currency: "GBP", Size: port.Town, Position: geo.Position{Lat: 50.2, Lon: -5.1}},
		"FRBES": {ID: "FRBES", Name: "Brest", Country: "FR", Zone: "EU", Currency: "EUR", Size: port.Town, Position: geo.Position{Lat: 48.4, Lon: -4.5}},
	}
}

func prices(c *item.Catalogue, ports portList) *pricing.Table {
	t := pricing.NewTable("EUR", day("2027-04-01"))
	for p := range ports {
		for id := range c.Items {
			t.Set(p, id, pricing.Estimate{Price: 3, Low80: 2, High80: 4.5, LogSD: 0.3, Available: 0.9, Basis: pricing.BasisGuess})
		}
	}
	return t
}

func rate(c money.Currency) (float64, calendar.Day, error) {
	if c == "GBP" {
		return 0.85, day("2027-03-31"), nil
	}
	return 1, day("2027-03-31"), nil
}

func couple() vessel.Crew {
	return vessel.Crew{Persons: []vessel.Person{
		{ID: "ana", Name: "Ana", Age: 40, Sex: vessel.Female}, {ID: "ben", Name: "Ben", Age: 42, Sex: vessel.Male},
	}}
}

func sloop() vessel.Vessel {
	return vessel.Vessel{ID: "x", Name: "X", WaterTankL: 300, Spaces: []vessel.Space{
		{ID: "saloon", Kind: vessel.Dry, Litres: 400}, {ID: "bilge", Kind: vessel.Cool, Litres: 100},
		{ID: "hammock", Kind: vessel.Net, Litres: 60}, {ID: "box", Kind: vessel.Fridge, Litres: 60},
	}, Cylinders: []vessel.Cylinder{{Kg: 9, Full: 1}}}
}

func input() Input {
	cat, ports := larder(), harbours()
	return Input{
		Itinerary: season(), Ports: ports, Vessel: sloop(), Crew: couple(), Catalogue: cat, Prices: prices(cat, ports),
		Home: "EUR", Rate: rate, Today: day("2027-04-01"),
		Rules: ruleList{
			{Zone: "GB", Class: "FRUITVEG_FRESH", Status: port.Conditional, SourceDate: "2027-01-01", Evidence: "read"},
			{Zone: "EU", Class: "MEAT_FRESH", Status: port.Prohibited, SourceDate: "2027-01-01", Evidence: "read"},
			{Zone: "EU", Class: "FRUITVEG_FRESH", Status: port.Allowed, SourceDate: "2027-01-01", Evidence: "read"},
		},
	}
}

func sentences(rs []wording.Remark) []string {
	var out []string
	for _, r := range rs {
		out = append(out, r.String())
	}
	return out
}
