package shopping

import (
	"testing"
	"time"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/brief"
	"hardtack/route/plan"
	"hardtack/route/port"
	"hardtack/route/vessel"
)

var start = calendar.Of(time.Date(2027, time.March, 1, 0, 0, 0, 0, time.UTC))

// passage is two small islands and a village, with rice or pasta, eggs that
// the second island takes, lettuce and tank water: every figure by hand.
func passage(t *testing.T) Input {
	t.Helper()
	two := 2
	rice := plan.Item{
		ID: "rice_white", Yield: 1, Litres: 1.3, Kg: 1.02, LineCost: 1,
		Keeps:  []plan.Keep{{Space: "dry", Days: []float64{365, 365, 365}}},
		Offers: []plan.Offer{{Stop: 0, Pack: 1, Price: 2}, {Stop: 0, Pack: 0.5, Price: 1.2}, {Stop: 1, Pack: 1, Price: 3}},
	}
	pasta := plan.Item{
		ID: "pasta_short", Yield: 1, Litres: 2.3, Kg: 1.02, LineCost: 1,
		Keeps:  []plan.Keep{{Space: "dry", Days: []float64{365, 365, 365}}},
		Offers: []plan.Offer{{Stop: 0, Pack: 0.5, Price: 0.9}, {Stop: 1, Pack: 0.5, Price: 1, Limit: &two}},
	}
	bread := plan.Item{ // serves the same need but does not last
		ID: "bread_sliced", Yield: 0.3, Litres: 2.6, Kg: 0.5, LineCost: 1,
		Keeps:  []plan.Keep{{Space: "dry", Days: []float64{4, 4, 4}}},
		Offers: []plan.Offer{{Stop: 0, Pack: 1, Price: 0.1}},
	}
	egg := plan.Item{
		ID: "egg_unwashed", Yield: 1, Litres: 0.16, Kg: 0.06, LineCost: 1, SurrenderedAt: []int{1},
		Keeps:  []plan.Keep{{Space: "cool", Days: []float64{40, 40, 40}}},
		Offers: []plan.Offer{{Stop: 0, Pack: 12, Price: 4}, {Stop: 1, Pack: 12, Price: 5}},
		Aboard: []plan.Lot{{Space: "cool", Amount: 3, Expires: 30}},
	}
	lettuce := plan.Item{
		ID: "lettuce", Yield: 1, Litres: 3, Kg: 1, LineCost: 1,
		Keeps:  []plan.Keep{{Space: "fridge", Days: []float64{7, 7, 7}}},
		Offers: []plan.Offer{{Stop: 0, Pack: 1, Price: 2.5}},
	}
	water := plan.Item{
		ID: "water_tank", Yield: 1, Litres: 1, LineCost: 1,
		Keeps:  []plan.Keep{{Space: "tank", Days: []float64{90, 90, 90}}},
		Offers: []plan.Offer{{Stop: 0, Pack: 20, Price: 0.1}},
	}
	use := func(port, sea float64) ([]float64, []float64) {
		return []float64{port, port, port}, []float64{sea, sea}
	}
	need := func(id, unit string, port, sea float64, items ...plan.Item) plan.Need {
		p, s := use(port, sea)
		return plan.Need{ID: id, Unit: unit, UseInPort: p, UseAtSea: s, MissingCost: 100, Items: items}
	}
	b := plan.Brief{
		Version: 1, Currency: "EUR", Start: start.String(),
		Stops: []plan.Stop{
			{Port: "ESLPA", Arrive: 0, Depart: 5, TripCost: 10}, {Port: "CVMIN", Arrive: 12, Depart: 15, TripCost: 10},
			{Port: "x-village", Arrive: 17, Depart: 20, TripCost: 10},
		},
		Stowage: plan.Stowage{Spaces: []plan.Space{{ID: "dry", Litres: 100}, {ID: "cool", Litres: 20}, {ID: "fridge", Litres: 20}, {ID: "tank", Litres: 200}}},
		Needs: []plan.Need{
			need("starch", "kg", 0.2, 0.3, rice, pasta, bread), need("eggs", "each", 0, 1, egg),
			need("leaf", "kg", 0.1, 0.1, lettuce), need("water", "L", 5, 8, water),
		},
	}
	p := plan.Plan{
		Version: 1, Currency: "EUR",
		Purchases: []plan.Purchase{
			{ID: "p1", Stop: 0, Need: "starch", Item: "rice_white", Pack: 1, Packs: 2, Price: 2, EatenInPort: 1, Stowed: []plan.Stowed{{Space: "dry", Amount: 1}}},
			{ID: "p2", Stop: 0, Need: "starch", Item: "rice_white", Pack: 0.5, Packs: 1, Price: 1.2, Stowed: []plan.Stowed{{Space: "dry", Amount: 0.5}}},
			{ID: "p3", Stop: 0, Need: "eggs", Item: "egg_unwashed", Pack: 12, Packs: 1, Price: 4, Stowed: []plan.Stowed{{Space: "cool", Amount: 12}}},
			{ID: "p4", Stop: 0, Need: "leaf", Item: "lettuce", Pack: 1, Packs: 1, Price: 2.5, EatenInPort: 0.2, Stowed: []plan.Stowed{{Space: "fridge", Amount: 0.6}}},
			{ID: "p5", Stop: 0, Need: "water", Item: "water_tank", Pack: 20, Packs: 6, Price: 0.1, EatenInPort: 25, Stowed: []plan.Stowed{{Space: "tank", Amount: 95}}},
			{ID: "p6", Stop: 1, Need: "starch", Item: "rice_white", Pack: 1, Packs: 1, Price: 3, EatenInPort: 0.6, Stowed: []plan.Stowed{{Space: "dry", Amount: 0.4}}},
			{ID: "p7", Stop: 1, Need: "eggs", Item: "egg_unwashed", Pack: 12, Packs: 1, Price: 5, Stowed: []plan.Stowed{{Space: "cool", Amount: 2}}},
		},
		Draws: []plan.Draw{
			{Need: "starch", Item: "rice_white", Lot: "p1", Space: "dry", Period: "leg 0", Amount: 1},
			{Need: "starch", Item: "rice_white", Lot: "p2", Space: "dry", Period: "leg 0", Amount: 0.5},
			{Need: "eggs", Item: "egg_unwashed", Lot: "aboard 0", Space: "cool", Period: "leg 0", Amount: 3},
			{Need: "eggs", Item: "egg_unwashed", Lot: "p3", Space: "cool", Period: "leg 0", Amount: 4},
			{Need: "eggs", Item: "egg_unwashed", Lot: "p7", Space: "cool", Period: "leg 1", Amount: 2},
			{Need: "leaf", Item: "lettuce", Lot: "p4", Space: "fridge", Period: "leg 0", Amount: 0.6},
			{Need: "water", Item: "water_tank", Lot: "p5", Space: "tank", Period: "leg 0", Amount: 56},
			{Need: "starch", Item: "rice_white", Lot: "p6", Space: "dry", Period: "leg 1", Amount: 0.4},
		},
		Trips: []plan.Trip{{Stop: 0, Count: 1}, {Stop: 1, Count: 1}},
	}
	return Input{Title: "Two islands", Brief: b, Plan: p, Notes: notes(), Catalogue: catalogue(), Crew: vessel.Crew{
		Persons: []vessel.Person{{ID: "a", Name: "Ada", Age: 40}, {ID: "b", Name: "Bo", Age: 30, NotEating: []string{"gluten"}}},
	}}
}

func notes() brief.Notes {
	stop := func(call int, arrive, depart float64, id, name string, size port.Size, c string) brief.StopNote {
		return brief.StopNote{
			Stop: brief.Stop{Call: call, Arrive: arrive, Depart: depart, Open: true, First: true, Last: true},
			Port: pricing.PortID(id), Name: name, Size: size, Currency: "CVE", Zone: c,
		}
	}
	n := brief.Notes{
		Home: "EUR", PerRef: 1, RateDay: start - 3, Start: start,
		Stops: []brief.StopNote{
			stop(0, 0, 5, "ESLPA", "Las Palmas", port.Town, "ES-CN"), stop(1, 12, 15, "CVMIN", "Mindelo", port.Town, "CV"),
			stop(2, 17, 20, "x-village", "Tarrafal", port.Village, "CV"),
		},
		Legs:   []brief.Leg{{Way: 0, Depart: 5, Arrive: 12, ReserveDays: 2}, {Way: 1, Depart: 15, Arrive: 17, ReserveDays: 2}},
		Spaces: []brief.SpaceNote{{ID: "dry", Kind: "dry", Litres: 100, Of: []string{"port", "starboard"}}},
		Needs:  []brief.NeedNote{{ID: "starch"}, {ID: "eggs"}, {ID: "leaf"}, {ID: "water", Name: "Water", Water: true}},
		Surrenders: []brief.SurrenderNote{{
			Item: "egg_unwashed", Stop: 1, Zone: "CV",
			Rule: port.Rule{Zone: "CV", Class: "EGG_FRESH", Status: port.Unknown}, BySwitch: true,
		}},
		RationL: []float64{6, 6},
	}
	n.Stops[0].Currency = "EUR"
	for _, id := range []string{"rice_white", "pasta_short", "bread_sliced", "egg_unwashed", "lettuce", "water_tank"} {
		n.Items = append(n.Items, brief.ItemNote{ID: id, Item: pricing.ItemID(id)})
	}
	n.Offers = []brief.OfferNote{
		{Item: "rice_white", Stop: 0, Pack: measure.One, Price: 2, Low80: 1.5, High80: 2.5, Currency: "EUR", Local: 2, Estimate: pricing.Estimate{Newest: start - 20}},
		{Item: "rice_white", Stop: 0, Pack: measure.One / 2, Price: 1.2, Low80: 1, High80: 1.5, Currency: "EUR", Local: 1.2},
		{Item: "lettuce", Stop: 0, Pack: measure.One, Price: 2.5, Low80: 1, High80: 5, Currency: "EUR", Local: 2.5, Guess: true},
		{Item: "rice_white", Stop: 1, Pack: measure.One, Price: 3, Low80: 2, High80: 4, Currency: "CVE", Local: 330.8},
	}
	return n
}

func catalogue() *item.Catalogue {
	c := &item.Catalogue{Items: map[pricing.ItemID]item.Item{}}
	for _, i := range []item.Item{
		{ID: "rice_white", Name: "Rice", Category: "staple", Unit: measure.Kilogram, Kcal: 3600, ShelfClass: "dry", PestRisk: 2,
			Packs: []measure.Quantity{measure.One}, PackLabels: []string{"1 kg bag"}},
		{ID: "pasta_short", Name: "Pasta", Category: "staple", Unit: measure.Kilogram, Kcal: 3600, ShelfClass: "dry", Allergens: []string{"gluten"}},
		{ID: "bread_sliced", Name: "Bread", Category: "bread", Unit: measure.Each, Kcal: 1300, ShelfClass: "bread"},
		{ID: "egg_unwashed", Name: "Eggs", Category: "egg", Unit: measure.Each, Kcal: 70, ShelfClass: "egg", BuyHint: "Ask when they were laid."},
		{ID: "lettuce", Name: "Lettuce", Category: "fresh veg", Unit: measure.Kilogram, Kcal: 100, ShelfClass: "prod"},
		{ID: "water_tank", Name: "Tank water", Category: "water", Unit: measure.Litre, ShelfClass: "inert"},
	} {
		c.Items[i.ID] = i
		c.Order = append(c.Order, i.ID)
	}
	return c
}
