package inventory

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/vessel"
)

func day(s string) calendar.Day {
	d, err := calendar.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

func larder() *item.Catalogue {
	return &item.Catalogue{
		Items: map[pricing.ItemID]item.Item{
			"rice_white": {ID: "rice_white", Name: "Rice", Unit: measure.Kilogram},
			"tin_tuna":   {ID: "tin_tuna", Name: "Tuna, tin", Unit: measure.Each},
			"oil":        {ID: "oil", Name: "Oil", Unit: measure.Litre},
		},
		Order: []pricing.ItemID{"rice_white", "tin_tuna", "oil"},
	}
}

func sloop() vessel.Vessel {
	return vessel.Vessel{ID: "x", Spaces: []vessel.Space{
		{ID: "port bunk", Kind: vessel.Dry, Litres: 100}, {ID: "bilge", Kind: vessel.Cool, Litres: 50},
	}}
}

func boat() Boat {
	return Boat{larder(), sloop(), []vessel.Locker{
		{ID: "rice bin", Space: "port bunk", Litres: 20, MaxKg: 12}, {ID: "under the stove", Space: "port bunk", Litres: 15, Hot: true},
	}}
}

func TestExpires(t *testing.T) {
	t.Parallel()
	start := day("2027-05-01")
	for _, tt := range []struct {
		name string
		lot  Lot
		want float64
	}{
		{"a date counts to the end of its day", Lot{BestBefore: day("2027-05-01"), Bought: day("2027-01-01")}, 1},
		{"bought ten days ago", Lot{Bought: day("2027-04-21")}, 20},
		{"no date at all is half-way", Lot{}, 15},
		{"opened five days ago", Lot{Opened: day("2027-04-26"), BestBefore: day("2028-01-01")}, -2},
		{"a date before the open pack's end", Lot{Opened: day("2027-05-01"), BestBefore: day("2027-05-01")}, 1},
		{"long gone", Lot{BestBefore: day("2027-04-01")}, -29},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.InDelta(t, tt.want, tt.lot.Expires(start, 30, 3), 1e-9)
		})
	}
}

func TestValidateNamesEveryFault(t *testing.T) {
	t.Parallel()
	err := boat().Validate([]Lot{
		{Item: "rice_white", Space: "bilge", Quantity: measure.One},
		{Item: "caviar", Space: "bilge", Quantity: measure.One},
		{Item: "oil", Space: "attic", Quantity: measure.One},
		{Item: "oil", Space: "bilge"},
		{Item: "oil", Space: "bilge", Quantity: measure.One, Bought: day("2027-05-02"), BestBefore: day("2027-05-01")},
		{Item: "oil", Space: "bilge", Locker: "rice bin", Quantity: measure.One},
	})
	require.ErrorIs(t, err, ErrInvalid)
	for _, path := range []string{"lots[1].item", "lots[2].space", "lots[3].quantity", "lots[4].best_before", "lots[5].locker"} {
		require.ErrorContains(t, err, path)
	}
	require.NotContains(t, err.Error(), "lots[0]")
}

func TestSheetIsOrderedBySpace(t *testing.T) {
	t.Parallel()
	var w strings.Builder
	require.NoError(t, boat().Sheet(&w, []Lot{
		{Item: "tin_tuna", Space: "bilge", Quantity: measure.Of(6)},
		{Item: "oil", Space: "port bunk", Quantity: measure.One, BestBefore: day("2027-09-01")},
		{Item: "rice_white", Space: "bilge", Quantity: measure.Of(2.5)},
		{Item: "rice_white", Space: "port bunk", Locker: "rice bin", Quantity: measure.Of(1)},
	}))
	text := w.String()
	order := []string{"rice bin (in port bunk, 20 L", "Rice", "under the stove", "port bunk (dry, 65 L", "Oil", "2027-09-01", "bilge (cool", "Rice", "Tuna, tin"}
	at := -1
	for _, word := range order {
		next := strings.Index(text[at+1:], word)
		require.GreaterOrEqual(t, next, 0, "%q after byte %d of\n%s", word, at, text)
		at += 1 + next
	}
}

func TestReadCount(t *testing.T) {
	t.Parallel()
	rows, err := boat().ReadCount(strings.NewReader("\ufeffSpace,item,best_before,amount\n"+
		"bilge,tin_tuna,2028-01-31,6\nport bunk,rice_white,,\"1,5 kg\"\nbilge,oil,,0\n"), nil)
	require.NoError(t, err)
	require.Equal(t, []Lot{
		{ID: "count-2", Item: "tin_tuna", Space: "bilge", Quantity: measure.Of(6), BestBefore: day("2028-01-31")},
		{ID: "count-3", Item: "rice_white", Space: "port bunk", Quantity: measure.Of(1.5)},
	}, LotsOf(rows))
}

func TestReadCountTakesAllOrNothing(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ name, csv, says string }{
		{"no header", "", "line 1"},
		{"a column is missing", "item,space\n", `column “amount” is missing`},
		{"unknown item", "item,space,amount\noil,bilge,1\ncaviar,bilge,1\n", "line 3, column item"},
		{"unknown space", "item,space,amount\noil,attic,1\n", "line 2, column space"},
		{"no number", "item,space,amount\noil,bilge,some\n", "line 2, column amount"},
		{"no amount", "item,space,amount\noil,bilge\n", "line 2, column amount"},
		{"negative", "item,space,amount\noil,bilge,-1\n", "line 2, column amount"},
		{"a day that is none", "item,space,amount,best_before\noil,bilge,1 L,2027-02-30\n", "line 2, column best_before"},
		{"a mark that is none", "item,space,amount,mark\noil,bilge,1 L,meh\n", "line 2, column mark"},
		{"spoilt without a cause", "item,space,amount,spoilt\noil,bilge,1 L,100 ml\n", "line 2, column cause"},
		{"a broken quote", "item,space,amount\noil,\"bilge,1\n", "line"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			rows, err := boat().ReadCount(strings.NewReader(tt.csv), nil)
			require.ErrorIs(t, err, ErrInvalid)
			require.ErrorContains(t, err, tt.says)
			require.Nil(t, rows)
		})
	}
}

// byPlace is how much lies where, whatever the order.
func byPlace(lots []Lot) map[Lot]measure.Quantity {
	out := map[Lot]measure.Quantity{}
	for _, l := range lots {
		out[Lot{Item: l.Item, Space: l.Space, Locker: l.Locker, BestBefore: l.BestBefore}] += l.Quantity
	}
	return out
}

func someLots(t *rapid.T, b Boat) []Lot {
	var lots []Lot
	for range rapid.IntRange(0, 6).Draw(t, "lots") {
		id := rapid.SampledFrom(b.Catalogue.Order).Draw(t, "item")
		amount := measure.Quantity(rapid.IntRange(1, 100_000).Draw(t, "thousandths")) * 1000
		if b.Catalogue.Items[id].Unit == measure.Each {
			amount *= 1000
		}
		space, locker, err := b.Place(rapid.SampledFrom([]string{"bilge", "port bunk", "rice bin", "under the stove"}).Draw(t, "place"))
		require.NoError(t, err)
		best := rapid.SampledFrom([]calendar.Day{0, day("2027-05-01"), day("2028-05-01")}).Draw(t, "best before")
		lots = append(lots, Lot{
			ID: fmt.Sprint("l", len(lots)), Item: id, Space: space, Locker: locker, Quantity: amount, BestBefore: best,
		})
	}
	return lots
}

func TestCountComesBackAsWritten(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := boat()
		lots := someLots(t, b)
		var w strings.Builder
		require.NoError(t, b.WriteCount(&w, lots, false))
		rows, err := b.ReadCount(strings.NewReader(w.String()), nil)
		require.NoError(t, err)
		require.Equal(t, byPlace(lots), byPlace(LotsOf(rows)))
	})
}

func FuzzReadCount(f *testing.F) {
	f.Add("item,space,amount,best_before\noil,bilge,1 L,2027-05-01\n")
	f.Add("item,space,amount\n\"oil\nx\",bilge,1e9\n")
	f.Add("item,locker,amount,mark,spoilt,cause\noil,rice bin,=,ran out,10 ml,rot\n")
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := boat().ReadCount(strings.NewReader(text), nil)
		if err != nil {
			require.ErrorIs(t, err, ErrInvalid)
			require.Nil(t, rows)
			return
		}
		require.NoError(t, boat().Validate(LotsOf(rows)))
	})
}
