package brief

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

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
	require.Contains(t, sentences(n.Said), "Ana does not eat meat: pulses instead.")

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
