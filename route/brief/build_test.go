package brief

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
	"hardtack/route/plan"
	"hardtack/route/port"
	"hardtack/route/vessel"
)

func build(t require.TestingT, in Input) (plan.Brief, Notes) {
	b, n, err := Build(in)
	require.NoError(t, err)
	return b, n
}

func needOf(t require.TestingT, b plan.Brief, id string) plan.Need {
	for _, n := range b.Needs {
		if n.ID == id {
			return n
		}
	}
	require.Fail(t, "no need "+id)
	return plan.Need{}
}

func itemOf(t require.TestingT, b plan.Brief, id string) plan.Item {
	it, ok := itemsOf(b)[id]
	require.True(t, ok, "no item %s", id)
	return it
}

// total is all a need uses over the voyage.
func total(b plan.Brief, n plan.Need) float64 {
	sum := 0.0
	for s, stop := range b.Stops {
		sum += n.UseInPort[s] * (stop.Depart - stop.Arrive)
		if s+1 < len(b.Stops) {
			sum += n.UseAtSea[s] * (b.Stops[s+1].Arrive - stop.Depart)
		}
	}
	return sum
}

func TestBuildKeepsTheContract(t *testing.T) {
	t.Parallel()
	b, n := build(t, input())
	require.NoError(t, b.Check())
	require.Len(t, b.Stops, 3)
	require.Equal(t, "EUR", b.Currency)
	for _, need := range b.Needs {
		_, ok := n.Need(need.ID)
		require.True(t, ok, need.ID)
		for _, it := range need.Items {
			_, ok := n.Item(it.ID)
			require.True(t, ok, it.ID)
			for _, o := range it.Offers {
				_, ok := n.Offer(it.ID, o.Stop, o.Pack)
				require.True(t, ok, "%s at %d", it.ID, o.Stop)
			}
		}
	}
}

func TestSameInputSameBrief(t *testing.T) {
	t.Parallel()
	b1, n1 := build(t, input())
	b2, n2 := build(t, input())
	require.Equal(t, b1, b2)
	require.Equal(t, n1, n2)
}

func TestUseOfACouple(t *testing.T) {
	t.Parallel()
	in := input()
	in.Itinerary.Calls[1].Ashore = 0.5
	b, _ := build(t, in)
	fruit := needOf(t, b, "fruit")
	require.InDelta(t, 0.5, fruit.UseInPort[0], 1e-9)
	require.InDelta(t, 0.25, fruit.UseInPort[1], 1e-9) // half the meals ashore
	require.InDelta(t, 0.5, fruit.UseAtSea[0], 1e-9)
	// Three one-bowl dinners in twelve days take 45 % of the main dish each.
	require.InDelta(t, 0.26*(1-0.45*3/12), needOf(t, b, "meat").UseAtSea[0], 1e-9)
	require.InDelta(t, 2*3.0/12, needOf(t, b, roughDinner).UseAtSea[0], 1e-9)
	require.InDelta(t, 2, needOf(t, b, watchSnack).UseAtSea[0], 1e-9) // one each a night
	require.Zero(t, needOf(t, b, watchSnack).UseInPort[0])
}

func TestReserveDays(t *testing.T) {
	t.Parallel()
	b, _ := build(t, input())
	require.InDelta(t, 3.6, b.Stops[0].ReserveDays, 1e-9) // 30 % of the ocean leg, more than 15 − 12
	require.InDelta(t, 7, b.Stops[1].ReserveDays, 1e-9)   // wanted aboard at the end
	in := input()
	in.Options.EndDays = ptr(0.0)
	in.Itinerary.Calls[0].Leg.ReserveDays = ptr(5.0)
	b, _ = build(t, in)
	require.InDelta(t, 5, b.Stops[0].ReserveDays, 1e-9) // as the skipper says
	require.InDelta(t, 2, b.Stops[1].ReserveDays, 1e-9) // coastal
}

func TestWaterReserveLastsTheLongPassageWithoutTheWatermaker(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := input()
		in.Vessel.WatermakerLPerDay = rapid.Float64Range(0, 60).Draw(t, "made")
		in.Itinerary.Calls[1].Arrive = in.Itinerary.Calls[0].Depart + 12
		b, n := build(t, in)
		water := needOf(t, b, "water")
		atDeparture := water.UseAtSea[0]*12 + water.Reserve[0]
		require.GreaterOrEqual(t, atDeparture, n.RationL[0]*n.Legs[0].Long-1e-9)
	})
}

func TestRationIsNotBelowSphere(t *testing.T) {
	t.Parallel()
	// Sphere Handbook 2011: 2.5–3 L a day for drinking and food, survival.
	_, n := build(t, input())
	require.GreaterOrEqual(t, n.RationL[0]/2, 3.0)
	// Four people, 21 days, a reserve of 1.3, 3.5 L: 382.2 L (the same product).
	require.InDelta(t, 382.2, 4*21*1.3*(drinkTemperate+galleyRation), 0.05)
}

func TestOneCylinderLastsACoupleThreeMonths(t *testing.T) {
	t.Parallel()
	// Common practice, no source: one 9 kg cylinder lasts a couple about three
	// months with hardly any baking. 0.055 kg a day each gives 82 days, the
	// safer side.
	b, _ := build(t, input())
	days := 9 / needOf(t, b, "gas").UseAtSea[0]
	require.InDelta(t, 90, days, 10)
	require.Less(t, days, 90.0)
}

func TestTankWaterWeighsNothingAndTakesNoLocker(t *testing.T) {
	t.Parallel()
	b, _ := build(t, input())
	hose := itemOf(t, b, "water_tank")
	require.Zero(t, hose.Kg)
	require.Equal(t, "tank", hose.Keeps[0].Space)
	require.Len(t, hose.Keeps, 1)
	jug := itemOf(t, b, "water_5l")
	require.Positive(t, jug.Kg)
	require.NotEqual(t, "tank", jug.Keeps[0].Space)
}

func TestWhereThingsGo(t *testing.T) {
	t.Parallel()
	b, _ := build(t, input())
	spaces := func(id string) (s []string) {
		for _, k := range itemOf(t, b, id).Keeps {
			s = append(s, k.Space)
		}
		return s
	}
	require.NotContains(t, spaces("tin_peach"), "fridge")
	require.Contains(t, spaces("chicken_breast"), "fridge")
	require.NotContains(t, spaces("chicken_breast"), "dry")
	require.Equal(t, []string{"dry"}, spaces("rice_white"))
	require.NotContains(t, spaces("apple"), "dry")
	for _, n := range b.Needs {
		for _, it := range n.Items {
			require.LessOrEqual(t, len(it.Keeps), 2, it.ID)
		}
	}
}

func TestSurrender(t *testing.T) {
	t.Parallel()
	b, n := build(t, input())
	require.Equal(t, []int{1}, itemOf(t, b, "apple").SurrenderedAt)             // conditional, on by default; EU allows
	require.Equal(t, []int{1, 2}, itemOf(t, b, "chicken_breast").SurrenderedAt) // unknown; then prohibited
	require.Empty(t, itemOf(t, b, "tin_peach").SurrenderedAt)
	require.Empty(t, itemOf(t, b, "lpg").SurrenderedAt)
	require.NotEmpty(t, n.Surrenders)
	in := input()
	in.Options.Surrender = map[string]bool{"FRUITVEG_FRESH": false, "CANNED_PLANT": true}
	b, _ = build(t, in)
	require.Empty(t, itemOf(t, b, "apple").SurrenderedAt)
	require.Equal(t, []int{1, 2}, itemOf(t, b, "tin_peach").SurrenderedAt)
}

func TestNothingIsSurrenderedWithinAZone(t *testing.T) {
	t.Parallel()
	in := input()
	ports := harbours()
	for id, p := range ports {
		p.Zone, p.Country = "GB", "GB"
		ports[id] = p
	}
	in.Ports = ports
	_, n := build(t, in)
	require.Empty(t, n.Surrenders)
}

func TestTheEndsReserveIsNotForWhatIsTakenThere(t *testing.T) {
	t.Parallel()
	in := input()
	b, n := build(t, in)
	rice, meat := needOf(t, b, "rice"), needOf(t, b, "meat")
	require.InDelta(t, 7*rice.UseAtSea[1], rice.Reserve[1], 1e-9)
	require.InDelta(t, (n.Legs[1].Long-1)*meat.UseAtSea[1], meat.Reserve[1], 1e-9) // meat is taken in Brest
}

func TestATinOfFishIsNoFreshFish(t *testing.T) {
	t.Parallel()
	require.Equal(t, "FISH", foodClass(item.Item{ImportClass: "FISH", ShelfClass: "chill"}))
	require.Equal(t, "FISH_CANNED", foodClass(item.Item{ImportClass: "FISH", ShelfClass: "can"}))
	require.False(t, SurrenderDefault("FISH_CANNED"))
}

func TestTheFridgeIsForWhatLastsLongerThere(t *testing.T) {
	t.Parallel()
	in := input()
	banana := goods("apple", "prod", "FRUITVEG_FRESH", measure.Kilogram, shelf(30, 5), measure.One)
	in.Catalogue.Items["apple"] = banana // suffers in the cold
	b, _ := build(t, in)
	for _, k := range itemOf(t, b, "apple").Keeps {
		require.NotEqual(t, "fridge", k.Space)
	}
}

func TestCosts(t *testing.T) {
	t.Parallel()
	b, n := build(t, input())
	legs := float64(len(b.Stops) - 1)
	times := map[item.Necessity]float64{item.Safety: 60, item.Staple: 15, item.Comfort: 5, item.Luxury: 2}
	for _, need := range b.Needs {
		note, _ := n.Need(need.ID)
		require.GreaterOrEqual(t, need.MissingCost, times[note.Class]*note.Median*(1-1e-9), need.ID)
		for _, it := range need.Items {
			require.GreaterOrEqual(t, need.MissingCost*(1+1e-9), legs*need.ReserveMissingCost+it.TasteCost/it.Yield, it.ID)
		}
	}
	// Expected price of a lognormal: median × exp(sd²/2).
	note, ok := n.Offer("apple", 0, 1)
	require.True(t, ok)
	require.InDelta(t, 3*math.Exp(0.045), note.Price, 1e-9)
	require.True(t, note.Guess)
	require.InDelta(t, 1, n.GuessShare(plan.Plan{Purchases: []plan.Purchase{{Item: "apple", Stop: 0, Pack: 1, Packs: 2, Price: 3}}}), 1e-9)
}

func TestHomeCurrency(t *testing.T) {
	t.Parallel()
	in := input()
	in.Home = "GBP"
	b, n := build(t, in)
	require.Equal(t, "GBP", b.Currency)
	require.InDelta(t, 30*0.85, b.Stops[0].TripCost, 1e-9)
	note, _ := n.Offer("apple", 1, 1)
	require.InDelta(t, note.Price, note.Local, 1e-9) // Falmouth's own currency
	note, _ = n.Offer("apple", 0, 1)
	require.InDelta(t, note.Price/0.85, note.Local, 1e-9)
}

func TestPacks(t *testing.T) {
	t.Parallel()
	packs := func(in Input) (p []float64) {
		b, _ := build(t, in)
		for _, o := range itemOf(t, b, "rice_white").Offers {
			if o.Stop == 0 {
				p = append(p, o.Pack)
			}
		}
		return p
	}
	in := input()
	require.Equal(t, []float64{1, 5}, packs(in)) // 0.12 kg a day: 5 kg last 42 days, 45 are allowed
	in.Vessel.Spaces = in.Vessel.Spaces[:3]      // no fridge: an opened pack lasts 14 days
	require.Equal(t, []float64{1}, packs(in))
	in.Crew.Persons = in.Crew.Persons[:1]
	in.Crew.Persons[0].Appetite = 0.3 // 1 kg would last too long
	require.Equal(t, []float64{0.5}, packs(in))
}

func TestBiggerPacksAreCheaperByTheUnit(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 1, packFactor(measure.One, measure.One), 1e-12)
	require.InDelta(t, math.Pow(2, -0.2), packFactor(2*measure.One, measure.One), 1e-12)
	require.InDelta(t, math.Pow(10, -0.2), packFactor(100*measure.One, measure.One), 1e-12) // priced as tenfold
}

func TestVillageIsLeftSome(t *testing.T) {
	t.Parallel()
	in := input()
	ports := harbours()
	p := ports["PTHOR"]
	p.Size = port.Village
	ports["PTHOR"] = p
	in.Ports = ports
	b, _ := build(t, in)
	for _, o := range itemOf(t, b, "apple").Offers {
		if o.Stop == 0 {
			require.Equal(t, 6, *o.Limit)
		} else {
			require.Nil(t, o.Limit)
		}
	}
	require.Nil(t, itemOf(t, b, "water_tank").Offers[0].Limit)
}

func TestShopDaysSplitAStay(t *testing.T) {
	t.Parallel()
	in := input()
	whole, _ := build(t, in)
	in.Itinerary.Calls[0].ShopDays = []calendar.Day{day("2027-05-02"), day("2027-05-03"), day("2027-05-05")}
	b, n := build(t, in)
	require.Len(t, b.Stops, 3+3) // shut, open two days, shut, open one day
	open := 0
	for s, stop := range n.Stops {
		if stop.Open && stop.Call == 0 {
			open++
		}
		for _, o := range itemOf(t, b, "apple").Offers {
			require.True(t, o.Stop != s || stop.Open)
		}
	}
	require.Equal(t, 2, open)
	for _, need := range whole.Needs {
		require.InDelta(t, total(whole, need), total(b, needOf(t, b, need.ID)), 1e-9, need.ID)
	}
}

func TestSplitKeepsTotalUse(t *testing.T) {
	t.Parallel()
	in := input()
	in.Crew.Persons[1].Aboard = []vessel.Span{{To: day("2027-05-03")}, {From: day("2027-05-20")}}
	whole, _ := build(t, in)
	rapid.Check(t, func(t *rapid.T) {
		in := in
		in.Itinerary = season()
		for c := range in.Itinerary.Calls {
			for range rapid.IntRange(0, 4).Draw(t, "days") {
				d := day("2027-05-01") + calendar.Day(rapid.IntRange(0, 27).Draw(t, "day"))
				in.Itinerary.Calls[c].ShopDays = append(in.Itinerary.Calls[c].ShopDays, d)
			}
		}
		b, _ := build(t, in)
		for _, need := range whole.Needs {
			require.InDelta(t, total(whole, need), total(b, needOf(t, b, need.ID)), 1e-6, need.ID)
		}
	})
}

func TestALateShipIsProvidedFor(t *testing.T) {
	t.Parallel()
	in := input()
	in.Itinerary.Calls[0].Depart, in.Itinerary.Calls[1].Arrive = 25, 37
	in.Itinerary.Calls[1].Depart, in.Itinerary.Calls[2].Arrive, in.Itinerary.Calls[2].Depart = 40, 41, 44
	in.Itinerary.Calls[0].ShopDays = []calendar.Day{day("2027-05-01"), day("2027-05-22")}
	b, n := build(t, in)
	require.Len(t, b.Stops, 4+2)
	require.InDelta(t, 20.0/3, n.Legs[1].ShipWait, 1e-9) // shut from day 1 to day 21
	rice := needOf(t, b, "rice")
	require.InDelta(t, n.Legs[1].ShipWait*rice.UseInPort[2], rice.Reserve[1], 1e-9)
}

func TestMoreCrewNeverLowersUse(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := input()
		before, _ := build(t, in)
		in.Crew.Persons = append(in.Crew.Persons, vessel.Person{
			ID: "new", Age: rapid.Float64Range(0, 80).Draw(t, "age"), Seasick: rapid.Bool().Draw(t, "seasick"),
			NotEating: rapid.SliceOfN(rapid.SampledFrom([]string{"vegetarian", "pork", "rice", "apple"}), 0, 2).Draw(t, "refuses"),
		})
		after, _ := build(t, in)
		sum := func(b plan.Brief, id string) float64 {
			x := 0.0
			for _, n := range b.Needs {
				if n.ID == id || len(n.ID) > len(id) && n.ID[:len(id)+1] == id+"/" {
					x += total(b, n)
				}
			}
			return x
		}
		for _, n := range before.Needs {
			require.GreaterOrEqual(t, sum(after, n.ID), total(before, n)-1e-9, n.ID)
		}
	})
}

func TestWhoDoesNotEatGetsSomethingElse(t *testing.T) {
	t.Parallel()
	in := input()
	in.Crew.Persons[0].NotEating = []string{"vegetarian"}
	b, n := build(t, in)
	require.InDelta(t, 0.13, needOf(t, b, "meat").UseInPort[0], 1e-9)
	// Both groups hold 1,000 kcal a unit here but for the tin's yield of 0.3.
	require.Greater(t, needOf(t, b, "pulses").UseInPort[0], 0.05+0.1)
	require.Contains(t, n.Said, "Ana does not eat meat: pulses instead.")

	in = input()
	in.Crew.Persons[0].NotEating = []string{"apple"}
	b, n = build(t, in)
	require.InDelta(t, 0.25, needOf(t, b, "fruit").UseInPort[0], 1e-9)
	hers := needOf(t, b, "fruit/ana")
	require.InDelta(t, 0.25, hers.UseInPort[0], 1e-9)
	require.Len(t, hers.Items, 1)
	note, ok := n.Item(hers.Items[0].ID)
	require.True(t, ok)
	require.Equal(t, pricing.ItemID("tin_peach"), note.Item)
}

func TestNeedRefusedWholeMovesWithinItsGroup(t *testing.T) {
	t.Parallel()
	in := input()
	in.Crew.Persons[0].NotEating = []string{"rice"}
	b, _ := build(t, in)
	require.InDelta(t, 0.06, needOf(t, b, "rice").UseInPort[0], 1e-9)
	require.InDelta(t, 0.18, needOf(t, b, "pasta").UseInPort[0], 1e-9)
}

func TestLotsAboard(t *testing.T) {
	t.Parallel()
	in := input()
	in.Lots = []inventory.Lot{
		{Item: "rice_white", Space: "saloon", Quantity: measure.Of(2), BestBefore: day("2027-06-01")},
		{Item: "apple", Space: "hammock", Quantity: measure.Of(1), BestBefore: day("2027-04-20")}, // gone
		{Item: "tin_stew", Space: "saloon", Quantity: measure.Of(6), BestBefore: day("2029-01-01")},
	}
	b, n := build(t, in)
	require.Equal(t, []plan.Lot{{Space: "dry", Amount: 2, Expires: 32}}, itemOf(t, b, "rice_white").Aboard)
	require.Empty(t, itemOf(t, b, "apple").Aboard)
	stew := 0.0
	for _, need := range b.Needs {
		for _, it := range need.Items {
			if i, _ := n.Item(it.ID); i.Item == "tin_stew" {
				for _, l := range it.Aboard {
					stew += l.Amount
				}
			}
		}
	}
	require.InDelta(t, 6, stew, 1e-9) // shared between the needs it serves
	require.InDelta(t, 9, itemOf(t, b, "lpg").Aboard[0].Amount, 1e-9)
}

func TestWishes(t *testing.T) {
	t.Parallel()
	in := input()
	in.Wishes = []Wish{
		{Item: "apple", Port: "GBFAL", Never: true},
		{Item: "tin_peach", Never: true},
		{Item: "rice_white", Port: "PTHOR", Least: 3.2},
		{Item: "caviar", Port: "PTHOR", Least: 1},
	}
	b, n := build(t, in)
	for _, o := range itemOf(t, b, "apple").Offers {
		require.NotEqual(t, 1, o.Stop)
	}
	require.NotContains(t, itemsOf(b), "tin_peach")
	least := 0.0
	for _, o := range itemOf(t, b, "rice_white").Offers {
		least += float64(o.Min) * o.Pack
	}
	require.GreaterOrEqual(t, least, 3.2)
	require.False(t, n.Wishes[3].Granted)
	require.True(t, n.Wishes[2].Granted)
}

func TestRareThingsAreNotCountedOn(t *testing.T) {
	t.Parallel()
	in := input()
	e, _ := in.Prices.At("PTHOR", "apple")
	e.Available = 0.3
	in.Prices.Set("PTHOR", "apple", e)
	in.Wishes = []Wish{{Item: "apple", Port: "FRBES", Least: 1}}
	b, _ := build(t, in)
	for _, o := range itemOf(t, b, "apple").Offers {
		require.NotEqual(t, 0, o.Stop)
	}
	in.Wishes = []Wish{{Item: "apple", Port: "PTHOR", Least: 1}} // the skipper has seen it
	b, _ = build(t, in)
	seen := false
	for _, o := range itemOf(t, b, "apple").Offers {
		seen = seen || o.Stop == 0 && o.Min == 1
	}
	require.True(t, seen)
}

func TestEmergencyMealsAreHeldNeverEaten(t *testing.T) {
	t.Parallel()
	b, _ := build(t, input())
	n := needOf(t, b, emergency)
	require.Zero(t, total(b, n))
	require.InDelta(t, 12, n.Reserve[0], 1e-9) // two days for two
	require.InDelta(t, 6, n.Reserve[1], 1e-9)
}

func TestSeasickFood(t *testing.T) {
	t.Parallel()
	in := input()
	in.Crew.Persons[0].Seasick = true
	b, _ := build(t, in)
	require.InDelta(t, 0.15*3/12, needOf(t, b, seasickFood).UseAtSea[0], 1e-9)
	require.InDelta(t, 0.25+0.25*(1-0.4*3/12), needOf(t, b, "fruit").UseAtSea[0], 1e-9)
}

func TestBadInput(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		mess func(*Input)
		is   error
		says string
	}{
		{"one stop", func(in *Input) { in.Itinerary.Calls, in.Itinerary.Ways = in.Itinerary.Calls[:1], nil }, ErrInput, "1 stops"},
		{"unknown port", func(in *Input) { in.Itinerary.Calls[1].Port = "XXXXX" }, ErrInput, `stops[1].port: "XXXXX"`},
		{"nobody aboard", func(in *Input) { in.Crew.Persons = nil }, vessel.ErrInvalid, "at least one person"},
		{"misspelt allergy", func(in *Input) { in.Crew.Persons[0].NotEating = []string{"peanutz"} }, vessel.ErrInvalid, "peanutz"},
		{"bad vessel", func(in *Input) { in.Vessel.WaterTankL = -1 }, vessel.ErrInvalid, "water_tank_l"},
		{"times run backwards", func(in *Input) { in.Itinerary.Calls[1].Arrive = 1 }, plan.ErrMalformed, "stops[1].arrive"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			in := input()
			tt.mess(&in)
			_, _, err := Build(in)
			require.ErrorIs(t, err, tt.is)
			require.ErrorContains(t, err, tt.says)
		})
	}
}

func TestBreadIsOnlyBakedByThoseWhoBakeDaily(t *testing.T) {
	t.Parallel()
	cat := larder()
	cat.Items["flour_whole"] = goods("flour_whole", "dry", "FLOUR_PROCESSED", measure.Kilogram, shelf(135, 0), measure.One)
	need := item.Need{ID: "bread", Group: "bread_crackers", Alternates: []item.Alternate{
		alternate("crackers", 1, 0), alternate("flour_whole", 1.4, 0),
	}}
	cat.Needs = []item.Need{need}
	require.Equal(t, eaters{{0b01}, {0b01}}, eatersOf(couple(), cat, false))
	require.Equal(t, eaters{{0b11}, {0b11}}, eatersOf(couple(), cat, true))
}
