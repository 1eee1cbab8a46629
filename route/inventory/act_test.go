package inventory

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing/measure"
)

// counter names new things n1, n2 …
func counter() func() string {
	n := 0
	return func() string { n++; return fmt.Sprint("n", n) }
}

func kg(x float64) measure.Quantity { return measure.Of(x) }

func rice() []Lot {
	return []Lot{
		{ID: "old", Item: "rice_white", Space: "bilge", Quantity: kg(2), Pack: kg(1), Bought: day("2027-01-01"), BestBefore: day("2027-12-01"), Port: "PTHOR"},
		{ID: "new", Item: "rice_white", Space: "port bunk", Locker: "rice bin", Quantity: kg(3), Bought: day("2027-03-01"), BestBefore: day("2028-06-01")},
		{ID: "gift", Item: "rice_white", Space: "bilge", Quantity: kg(5), For: Barter, BestBefore: day("2027-06-01")},
	}
}

func TestWhatGoesFirstIsTakenFirst(t *testing.T) {
	t.Parallel()
	lots, moves, err := boat().Do(rice(), Act{Kind: Used, Day: day("2027-04-01"), Item: "rice_white", Quantity: kg(2.5)}, counter())
	require.NoError(t, err)
	require.Len(t, moves, 2)
	require.Equal(t, []string{"old", "new"}, []string{moves[0].Lot, moves[1].Lot})
	require.Equal(t, "bilge", moves[0].From)
	require.Len(t, lots, 2, "an empty lot is gone, the trade goods are not lunch")
	require.Equal(t, kg(2.5), lots[0].Quantity)
	require.Equal(t, Barter, lots[1].For)
}

func TestActs(t *testing.T) {
	t.Parallel()
	b, on := boat(), day("2027-04-01")
	t.Run("a part that is opened becomes a lot of its own and goes first", func(t *testing.T) {
		lots, moves, err := b.Do(rice(), Act{Kind: Opened, Day: on, Lot: "old"}, counter())
		require.NoError(t, err)
		require.Equal(t, kg(1), moves[0].Quantity, "one pack of it")
		require.Equal(t, on, lots[3].Opened)
		require.Equal(t, kg(1), lots[0].Quantity)
		_, moves, err = b.Do(lots, Act{Kind: Used, Day: on, Item: "rice_white", Quantity: kg(0.2)}, counter())
		require.NoError(t, err)
		require.Equal(t, lots[3].ID, moves[0].Lot)
	})
	t.Run("what is moved keeps where it was bought", func(t *testing.T) {
		lots, moves, err := b.Do(rice(), Act{Kind: Moved, Day: on, Lot: "old", All: true, To: "under the stove"}, counter())
		require.NoError(t, err)
		require.Equal(t, "under the stove", lots[0].Locker)
		require.Equal(t, "port bunk", lots[0].Space)
		require.EqualValues(t, "PTHOR", lots[0].Port)
		require.Equal(t, []string{"bilge", "under the stove"}, []string{moves[0].From, moves[0].To})
	})
	t.Run("what comes aboard is a lot", func(t *testing.T) {
		lots, moves, err := b.Do(nil, Act{Kind: Got, Day: on, Item: "oil", Quantity: kg(1), To: "rice bin", Party: "a neighbour", Loan: true}, counter())
		require.NoError(t, err)
		require.Equal(t, "rice bin", lots[0].Locker)
		require.True(t, moves[0].Loan)
	})
	t.Run("gifts come out of the trade goods", func(t *testing.T) {
		lots, _, err := b.Do(rice(), Act{Kind: Given, Day: on, Item: "rice_white", Quantity: kg(5), For: Barter}, counter())
		require.NoError(t, err)
		require.Len(t, lots, 2)
	})
}

func TestRefusedActsChangeNothing(t *testing.T) {
	t.Parallel()
	on := day("2027-04-01")
	for name, tt := range map[string]struct {
		act  Act
		says string
	}{
		"more than there is":        {Act{Kind: Used, Day: on, Item: "rice_white", Quantity: kg(6)}, "5 kg there by the book"},
		"no such item":              {Act{Kind: Used, Day: on, Item: "caviar", Quantity: 1}, "no item of the catalogue"},
		"no such lot":               {Act{Kind: Used, Day: on, Lot: "nowhere", Quantity: 1}, "quantity"},
		"spoilt for no reason":      {Act{Kind: Spoilt, Day: on, Item: "rice_white", Quantity: 1}, "cause"},
		"no kind":                   {Act{Kind: "lost", Day: on, Item: "rice_white", Quantity: 1}, "kind"},
		"no day":                    {Act{Kind: Used, Item: "rice_white", Quantity: 1}, "day"},
		"nothing":                   {Act{Kind: Used, Day: on, Item: "rice_white"}, "quantity"},
		"moved to nowhere":          {Act{Kind: Moved, Day: on, Item: "rice_white", All: true}, "to:"},
		"moved to no such place":    {Act{Kind: Moved, Day: on, Item: "rice_white", All: true, To: "attic"}, "attic"},
		"aboard to no such place":   {Act{Kind: Bought, Day: on, Item: "rice_white", Quantity: 1, To: "attic"}, "attic"},
		"aboard with a date behind": {Act{Kind: Bought, Day: on, Item: "oil", Quantity: 1, To: "bilge", BestBefore: on - 1}, "best_before"},
		"all of what comes":         {Act{Kind: Bought, Day: on, Item: "oil", All: true, To: "bilge"}, "quantity"},
		"a negative amount":         {Act{Kind: Used, Day: on, Item: "oil", Quantity: -1}, "quantity"},
		"for no known purpose":      {Act{Kind: Got, Day: on, Item: "oil", Quantity: 1, To: "bilge", For: "fun"}, "for:"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			before := rice()
			lots, moves, err := boat().Do(before, tt.act, counter())
			require.ErrorIs(t, err, ErrInvalid)
			require.ErrorContains(t, err, tt.says)
			require.ErrorContains(t, err, "nothing was changed")
			require.Nil(t, lots)
			require.Nil(t, moves)
			require.Equal(t, rice(), before)
		})
	}
}

// Whatever is done, goods are neither made nor lost: what is aboard after is
// what was before, plus what came, less what left, as the book's lines say.
func TestTheBookBalances(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b, newID := boat(), counter()
		lots := someLots(t, b)
		for range rapid.IntRange(1, 8).Draw(t, "acts") {
			a := Act{
				Kind: rapid.SampledFrom(MoveKinds()).Draw(t, "kind"), Day: day("2027-04-01"), Cause: Mould, To: "bilge",
				Item: rapid.SampledFrom(b.Catalogue.Order).Draw(t, "item"), Quantity: kg(rapid.Float64Range(0.001, 60).Draw(t, "amount")),
			}
			after, moves, err := b.Do(lots, a, newID)
			if err != nil {
				require.ErrorIs(t, err, ErrInvalid)
				continue
			}
			change := measure.Quantity(0)
			for _, m := range moves {
				require.Positive(t, m.Quantity)
				switch {
				case m.Kind.In():
					change += m.Quantity
				case m.Kind.Out():
					change -= m.Quantity
				}
			}
			require.Equal(t, total(lots)+change, total(after))
			require.NoError(t, b.Validate(after))
			lots = after
		}
	})
}

func total(lots []Lot) (q measure.Quantity) {
	for _, l := range lots {
		q += l.Quantity
	}
	return q
}

func TestWhereDidIPutIt(t *testing.T) {
	t.Parallel()
	spots := Find(rice(), larder(), "ric")
	require.Len(t, spots, 3)
	require.Equal(t, "bilge", spots[0].Place)
	require.Equal(t, "rice bin", spots[2].Place)
	require.Empty(t, Find(rice(), larder(), "caviar"))
	require.Empty(t, Find(rice(), larder(), ""))
}

func count(t require.TestingT, b Boat, book []Lot, partial bool, lines ...string) Recounted {
	rows, err := b.ReadCount(strings.NewReader("item,locker,amount,mark,spoilt,cause\n"+strings.Join(lines, "\n")+"\n"), book)
	require.NoError(t, err)
	return b.Recount(book, rows, day("2027-05-01"), partial, counter())
}

func TestRecount(t *testing.T) {
	t.Parallel()
	b := boat()
	t.Run("what is gone is used, the earliest first, and lots stay what they were", func(t *testing.T) {
		c := count(t, b, rice()[:2], false, "rice_white,rice bin,2.5 kg,ran out,500 g,insects")
		require.Len(t, c.Lots, 1)
		require.Equal(t, "new", c.Lots[0].ID)
		require.Equal(t, day("2027-03-01"), c.Lots[0].Bought)
		require.Equal(t, Difference{Item: "rice_white", Book: kg(5), Counted: kg(2.5), Spoilt: kg(0.5), Used: kg(2), Mark: RanOut}, c.Differences[0])
		require.Equal(t, Spoilt, c.Moves[0].Kind)
		require.Equal(t, Insects, c.Moves[0].Cause)
	})
	t.Run("what lies elsewhere was moved", func(t *testing.T) {
		c := count(t, b, rice()[:1], false, "rice_white,under the stove,2 kg,,,")
		require.Equal(t, "under the stove", c.Lots[0].Locker)
		require.Equal(t, Moved, c.Moves[0].Kind)
		require.Zero(t, c.Differences[0].Used)
	})
	t.Run("more than the book had is found", func(t *testing.T) {
		c := count(t, b, nil, false, "tin_tuna,bilge,6,,,")
		require.Equal(t, kg(6), c.Differences[0].Found)
		require.Equal(t, Found, c.Moves[0].Kind)
	})
	t.Run("a partial count leaves the rest alone", func(t *testing.T) {
		book := append(rice(), Lot{ID: "o", Item: "oil", Space: "bilge", Quantity: kg(1)})
		c := count(t, b, book, true, "oil,bilge,0,hated,,")
		require.Equal(t, rice(), c.Lots)
		require.Equal(t, Hated, c.Differences[0].Mark)
		require.Empty(t, count(t, b, book, false, "oil,bilge,0,,,").Lots)
	})
	t.Run("trade goods that are gone are missing, not eaten", func(t *testing.T) {
		c := count(t, b, rice()[2:], false, "rice_white,bilge,3 kg,,,")
		require.Equal(t, Difference{Item: "rice_white", Book: kg(5), Counted: kg(3), Missing: kg(2)}, c.Differences[0])
		require.Equal(t, Missing, c.Moves[0].Kind)
		require.Contains(t, c.Differences[0].Explain(b.Catalogue.Items["rice_white"], Expected{}), "2 kg of what is not for the table is missing")
	})
	t.Run("= is what the book says", func(t *testing.T) {
		c := count(t, b, []Lot{{ID: "a", Item: "oil", Space: "bilge", Quantity: kg(1.25)}}, false, "oil,bilge,=,,,")
		require.Equal(t, kg(1.25), c.Lots[0].Quantity)
		require.Empty(t, c.Moves)
	})
}

// Counting never loses a gram either, and the inventory after it is what was
// counted, place by place.
func TestACountBalances(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := boat()
		book, there := someLots(t, b), someLots(t, b)
		var w strings.Builder
		require.NoError(t, b.WriteCount(&w, there, false))
		rows, err := b.ReadCount(strings.NewReader(w.String()), book)
		require.NoError(t, err)
		c := b.Recount(book, rows, day("2027-05-01"), false, counter())
		require.Equal(t, amounts(there), amounts(c.Lots))
		change := measure.Quantity(0)
		for _, m := range c.Moves {
			switch {
			case m.Kind.In():
				change += m.Quantity
			case m.Kind.Out():
				change -= m.Quantity
			}
		}
		require.Equal(t, total(book)+change, total(c.Lots))
		ids := map[string]bool{}
		for _, l := range c.Lots {
			require.False(t, ids[l.ID], "each lot has an id of its own")
			ids[l.ID] = true
		}
		for _, d := range c.Differences {
			require.Equal(t, d.Book+d.Found, d.Counted+d.Used+d.Missing+spoiltBy(c.Moves, d), d.Item)
		}
	})
}

func amounts(lots []Lot) map[string]measure.Quantity {
	out := map[string]measure.Quantity{}
	for _, l := range lots {
		out[string(l.Item)+" in "+l.Place()] += l.Quantity
	}
	return out
}

func spoiltBy(moves []Move, d Difference) (q measure.Quantity) {
	for _, m := range moves {
		if m.Item == d.Item && m.Kind == Spoilt {
			q += m.Quantity
		}
	}
	return q
}

func TestDifferencesAreExplained(t *testing.T) {
	t.Parallel()
	rice := larder().Items["rice_white"]
	usual := Expected{Use: 4, SD: 0.5, Days: 20}
	for _, tt := range []struct {
		name string
		diff Difference
		e    Expected
		says string
	}{
		{"agrees", Difference{Book: kg(3), Counted: kg(3)}, usual, "agrees"},
		{"as usual", Difference{Book: kg(8), Counted: kg(4), Used: kg(4)}, usual, "4 kg used in 20 days, as usual (4 kg)"},
		{"too much gone", Difference{Book: kg(9), Counted: kg(2), Used: kg(7)}, usual, "look in the other lockers"},
		{"little gone", Difference{Book: kg(9), Counted: kg(8), Used: kg(1)}, usual, "where 4 kg is usual"},
		{"a tenth, and little was known", Difference{Book: kg(3), Counted: kg(1.6), Used: kg(1.4)}, Expected{Use: 14, SD: 7, Days: 82}, "1.4 kg used in 82 days where 14 kg is usual"},
		{"nothing known", Difference{Book: kg(9), Counted: kg(8), Used: kg(1)}, Expected{}, "1 kg used"},
		{"more than the book", Difference{Book: kg(1), Counted: kg(3), Found: kg(2)}, usual, "2 kg more than the book had"},
		{"a first count", Difference{Counted: kg(3), Found: kg(3)}, Expected{}, "3 kg counted, new to the book"},
		{"waste told", Difference{Book: kg(9), Counted: kg(8), Spoilt: kg(1)}, usual, "1 kg thrown away"},
		{"ran out", Difference{Book: kg(4), Used: kg(4), Mark: RanOut}, usual, "more would have been used"},
	} {
		require.Contains(t, tt.diff.Explain(rice, tt.e), tt.says, tt.name)
	}
}
