package review

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
	"hardtack/route/inventory"
	"hardtack/route/inventory/usage"
	"hardtack/route/logbook"
	"hardtack/seed"
)

const start calendar.Day = 20_000

func input(t require.TestingT) Input {
	cat, err := item.Load(seed.FS)
	require.NoError(t, err)
	move := func(id string, day calendar.Day, k inventory.MoveKind, it pricing.ItemID, units float64, more func(*inventory.Move)) inventory.Move {
		m := inventory.Move{ID: id, Day: start + day, Kind: k, Lot: "l", Item: it, Quantity: measure.Of(units)}
		if more != nil {
			more(&m)
		}
		return m
	}
	paid := func(minor int64, at pricing.PortID) func(*inventory.Move) {
		return func(m *inventory.Move) { m.Paid, m.Port = money.Amount{Minor: minor, Currency: "EUR"}, at }
	}
	in := Input{
		From: start, To: start + 30, Catalogue: cat, Heads: func(from, to calendar.Day) float64 { return 4 * float64(to-from) },
		Moves: []inventory.Move{
			move("a", 1, inventory.Bought, "rice_white", 5, paid(1000, "PTHOR")), move("b", 9, inventory.Bought, "rice_white", 5, paid(2000, "ESLPA")),
			move("c", 10, inventory.Bought, "honey", 1, nil), move("d", 12, inventory.Used, "rice_white", 4, nil),
			move("e", 20, inventory.Spoilt, "onion", 2, func(m *inventory.Move) { m.Cause, m.From = inventory.Rot, "net" }),
			move("f", 21, inventory.Given, "flour_white", 2, func(m *inventory.Move) { m.Party, m.Loan = "ketch next door", true }),
			move("g", 25, inventory.Got, "egg_unwashed", 12, func(m *inventory.Move) { m.Party = "ketch next door" }),
			move("h", 26, inventory.Got, "flour_white", 0.5, func(m *inventory.Move) { m.Party, m.Loan = "ketch next door", true }),
			move("z", 99, inventory.Spoilt, "onion", 50, nil), // after the time
		},
		Marks:   map[pricing.ItemID]inventory.Mark{"honey": inventory.RanOut, "tofu_uht": inventory.Hated, "crackers": inventory.LeftOver},
		Records: []usage.Record{{Need: "rice", From: start, To: start + 30, PersonDays: 120, Used: 4}},
		Log: []logbook.Entry{
			{Day: start + 1, Kind: logbook.WaterLevel, Amount: 400}, {Day: start + 5, Kind: logbook.WaterFilled, Amount: 200},
			{Day: start + 30, Kind: logbook.WaterLevel, Amount: 100}, {Day: start + 3, Kind: logbook.Guests, Amount: 5},
		},
		Home: func(a money.Amount, _ calendar.Day) (float64, bool) { return float64(a.Minor) / 100, true },
	}
	in.Rates = usage.RatesOf(cat, in.Records, in.To)
	return in
}

// By hand.
func TestReview(t *testing.T) {
	t.Parallel()
	r := Of(input(t))
	require.InDelta(t, 125, r.PersonDays, 1e-9)
	require.InDelta(t, 30, r.Spent, 1e-9)
	require.InDelta(t, 0.24, r.PerDay, 1e-9)
	require.Equal(t, 1, r.Unpriced)
	require.InDelta(t, 500.0/125, r.WaterL, 1e-9)
	require.Len(t, r.Needs, 1)
	require.InDelta(t, 4.0/120, r.Needs[0].Actual, 1e-9)
	require.Len(t, r.Lost, 1)
	require.Equal(t, inventory.Rot, r.Lost[0].Cause)
	require.Equal(t, "net", r.Lost[0].Place)
	require.InDelta(t, 2, r.Lost[0].Kg, 0.2)
	require.InDelta(t, 10, r.Bargains[0].Saved, 1e-9) // 5 kg at 2 instead of 4
	require.EqualValues(t, "PTHOR", r.Bargains[0].Port)
	require.InDelta(t, -10, r.Bargains[1].Saved, 1e-9)
	all := strings.Join(r.Words, "\n")
	for _, words := range []string{"Rice: we use", "Honey ran out", "nobody liked it", "was left over", "lost to rot in net"} {
		require.Contains(t, all, words)
	}
}

func TestLedgerOfTheNeighbours(t *testing.T) {
	t.Parallel()
	in := input(t)
	l := Ledger(in.Moves, in.Catalogue)
	require.Len(t, l, 1)
	require.Len(t, l[0].Lines, 2)
	require.Equal(t, measure.Of(1.5), l[0].Lines[0].TheyOwe, "2 kg lent, half a kilogram back")
	require.Zero(t, l[0].Lines[1].TheyOwe, "the eggs are a gift")
	require.Equal(t, measure.Of(12), l[0].Lines[1].Got)
}

// What is lent and given back owes nothing, in whatever order.
func TestLoansSettle(t *testing.T) {
	t.Parallel()
	in := input(t)
	rapid.Check(t, func(t *rapid.T) {
		var moves []inventory.Move
		owed := measure.Quantity(0)
		for range rapid.IntRange(1, 20).Draw(t, "moves") {
			q := measure.Quantity(rapid.IntRange(1, 1000).Draw(t, "grams")) * 1000
			kind := rapid.SampledFrom([]inventory.MoveKind{inventory.Given, inventory.Got}).Draw(t, "way")
			moves = append(moves, inventory.Move{Day: start, Kind: kind, Item: "flour_white", Quantity: q, Party: "x", Loan: true})
			if kind == inventory.Given {
				owed += q
			} else {
				owed -= q
			}
		}
		require.Equal(t, owed, Ledger(moves, in.Catalogue)[0].Lines[0].TheyOwe)
	})
}

func TestNothingIsNothing(t *testing.T) {
	t.Parallel()
	in := input(t)
	in.Moves, in.Records, in.Log, in.Marks, in.Rates = nil, nil, nil, nil, nil
	in.Heads = func(calendar.Day, calendar.Day) float64 { return 0 }
	r := Of(in)
	require.Zero(t, r.PerDay+r.WaterL+r.Spent)
	require.Empty(t, r.Words)
}

// Purchases beside their walk-away prices: kept ones saved what lies below,
// broken ones cost what lies above, and later purchases say whether it paid.
func TestWalkAwayPricesThatPaid(t *testing.T) {
	t.Parallel()
	buy := func(id string, day calendar.Day, item pricing.ItemID, kg, eur float64) inventory.Move {
		paid, err := money.FromFloat(eur, "EUR")
		require.NoError(t, err)
		return inventory.Move{ID: id, Lot: id, Day: day, Kind: inventory.Bought, Item: item, Quantity: measure.Of(kg), Paid: paid}
	}
	in := Input{
		From: 1, To: 100, Heads: func(calendar.Day, calendar.Day) float64 { return 100 },
		Home: func(a money.Amount, _ calendar.Day) (float64, bool) { return a.Float(), true },
		Moves: []inventory.Move{
			buy("a", 1, "rice_white", 10, 15), buy("b", 20, "rice_white", 5, 12), buy("c", 30, "flour_white", 4, 8), buy("d", 40, "pasta_short", 1, 9),
		},
		Worth: map[string]float64{"a": 2, "b": 2, "c": 2.5},
	}
	w := walkAway(in)
	require.Equal(t, WalkAway{Kept: 2, Saved: 10*0.5 + 4*0.5, Over: 1, Cost: 5 * 0.4, Again: 1, Dearer: 1}, WalkAway{w.Kept, round(w.Saved), w.Over, round(w.Cost), w.Again, w.Dearer})
	require.Contains(t, w.Words(), "2 of 3 purchases kept theirs, 7.00 below them")
	require.Contains(t, w.Words(), "1 were above and cost 2.00")
	require.Contains(t, w.Words(), "of 1 bought again later 1 were dearer then")
	in.Worth = nil
	require.Empty(t, walkAway(in).Words(), "a price without a limit says nothing")
}

func round(x float64) float64 { return math.Round(x*1e6) / 1e6 }
