package plan_test

import "hardtack/route/plan"

func ptr[T any](x T) *T { return &x }

// handBrief is small enough to reckon by hand, and has every field of the
// contract in use.
func handBrief() plan.Brief {
	rice := plan.Item{ID: "rice", Yield: 1, Litres: 1, Kg: 1, LineCost: 0.5,
		Keeps:  []plan.Keep{{Space: "dry", Days: []float64{100, 100, 100}}},
		Aboard: []plan.Lot{{Space: "dry", Amount: 1, Expires: 4}},
		Offers: []plan.Offer{{Stop: 0, Pack: 1, Price: 2, Limit: ptr(10), Min: 1},
			{Stop: 1, Pack: 1, Price: 3}, {Stop: 2, Pack: 0.5, Price: 4}}}
	tins := plan.Item{ID: "rice-tin", Yield: 0.5, TasteCost: 0.1, Litres: 1, Kg: 2, LineCost: 0.5,
		Keeps:         []plan.Keep{{Space: "dry", Days: []float64{50, 50, 50}}},
		SurrenderedAt: []int{1},
		Offers:        []plan.Offer{{Stop: 0, Pack: 1, Price: 1}}}
	apple := plan.Item{ID: "apple", Yield: 1, Litres: 2, Kg: 1, LineCost: 0.5,
		Keeps:  []plan.Keep{{Space: "fridge", Days: []float64{3, 3, 3}}},
		Offers: []plan.Offer{{Stop: 0, Pack: 0.5, Price: 1}, {Stop: 1, Pack: 0.5, Price: 1}}}
	return plan.Brief{Version: 1, Currency: "EUR", Start: "2027-05-29",
		Stops: []plan.Stop{
			{Port: "A", Arrive: 0, Depart: 2, TripCost: 10, TripCarryKg: ptr(5.0), ReserveDays: 2},
			{Port: "B", Arrive: 6, Depart: 8, TripCost: 10},
			{Port: "C", Arrive: 12, Depart: 13, TripCost: 10}},
		Stowage: plan.Stowage{PayloadKg: ptr(8.5),
			Spaces: []plan.Space{{ID: "dry", Litres: 6}, {ID: "fridge", Litres: 3}}},
		Needs: []plan.Need{
			{ID: "grain", Unit: "kg", UseInPort: []float64{0.5, 0.5, 0.5}, UseAtSea: []float64{1, 1},
				MissingCost: 50, ReserveMissingCost: 2, Items: []plan.Item{rice, tins}},
			{ID: "fruit", Unit: "kg", UseInPort: []float64{0, 0, 0}, UseAtSea: []float64{0.5, 0.5},
				MissingCost: 30, Reserve: []float64{0, 0}, Items: []plan.Item{apple}}}}
}

// handPlan fills both spaces, the payload and the trips of stop 0 to the
// brim, eats the fruit as late as it keeps, and loses tins to surrender.
func handPlan() plan.Plan {
	grain := func(item, lot, period string, x float64) plan.Draw {
		return plan.Draw{Need: "grain", Item: item, Lot: lot, Space: "dry", Period: period, Amount: x}
	}
	fruit := func(lot, period string) plan.Draw {
		return plan.Draw{Need: "fruit", Item: "apple", Lot: lot, Space: "fridge", Period: period, Amount: 1.5}
	}
	return plan.Plan{Version: 1, Currency: "EUR",
		// goods 5*2 + 1 + 3*1 + 4*3 + 3*1 + 1*4; trips 2 + 1; lines: three at
		// stop 0, two at stop 1; 0.2 tins; 0.5 grain, 2 * 0.5 fruit; 0.5 reserve
		Cost:  plan.Cost{Goods: 33, Trips: 30, Lines: 2.5, Taste: 0.02, Missing: 55, ReserveMissing: 1, Total: 121.52},
		Bound: 100, Gap: 21.52 / 121.52,
		Purchases: []plan.Purchase{
			{ID: "p1", Stop: 0, Need: "grain", Item: "rice", Pack: 1, Packs: 5, Price: 2, EatenInPort: 0.5,
				Stowed: []plan.Stowed{{Space: "dry", Amount: 4.5}}},
			{ID: "p2", Stop: 0, Need: "grain", Item: "rice-tin", Pack: 1, Packs: 1, Price: 1,
				Stowed: []plan.Stowed{{Space: "dry", Amount: 1}}},
			{ID: "p3", Stop: 0, Need: "fruit", Item: "apple", Pack: 0.5, Packs: 3, Price: 1,
				Stowed: []plan.Stowed{{Space: "fridge", Amount: 1.5}}},
			{ID: "p4", Stop: 1, Need: "grain", Item: "rice", Pack: 1, Packs: 4, Price: 3, EatenInPort: 0.4,
				Stowed: []plan.Stowed{{Space: "dry", Amount: 3.5}}},
			{ID: "p5", Stop: 1, Need: "fruit", Item: "apple", Pack: 0.5, Packs: 3, Price: 1,
				Stowed: []plan.Stowed{{Space: "fridge", Amount: 1.5}}},
			{ID: "p6", Stop: 2, Need: "grain", Item: "rice", Pack: 0.5, Packs: 1, Price: 4, EatenInPort: 0.5}},
		Draws: []plan.Draw{
			grain("rice", "aboard 0", "stay 0", 0.5), grain("rice", "aboard 0", "leg 0", 0.5),
			grain("rice", "p1", "leg 0", 3.4), grain("rice-tin", "p2", "leg 0", 0.2),
			grain("rice", "p1", "stay 1", 0.6), grain("rice", "p4", "leg 1", 3.5),
			fruit("p3", "leg 0"), fruit("p5", "leg 1")},
		Discards: []plan.Discard{{Item: "rice", Lot: "p1", Space: "dry", Stop: 1, Amount: 0.5}},
		Missing: []plan.Missing{{Need: "grain", Period: "leg 1", Amount: 0.5},
			{Need: "fruit", Period: "leg 0", Amount: 0.5}, {Need: "fruit", Period: "leg 1", Amount: 0.5}},
		// on arrival at stop 1: 1.1 rice and 0.8 tins worth 0.4, of 2 due
		ReserveMissing: []plan.ReserveMissing{{Need: "grain", Leg: 0, Amount: 0.5}},
		Trips:          []plan.Trip{{Stop: 0, Count: 2}, {Stop: 1, Count: 1}},
		Unreachable:    []plan.Missing{{Need: "fruit", Period: "leg 0", Amount: 0.5}},
	}
}
