package brief

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
	"hardtack/route/plan"
	"hardtack/route/port"
)

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

func TestATinOfFishIsNoFreshFish(t *testing.T) {
	t.Parallel()
	require.Equal(t, "FISH", port.ClassOf(item.Item{ImportClass: "FISH", ShelfClass: "chill"}))
	require.Equal(t, "FISH_CANNED", port.ClassOf(item.Item{ImportClass: "FISH", ShelfClass: "can"}))
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
