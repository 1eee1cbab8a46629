package usage

import (
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
	"hardtack/route/logbook"
	"hardtack/route/vessel"
	"hardtack/seed"
)

const arrived calendar.Day = 20_020

func catalogue(t require.TestingT) *item.Catalogue {
	c, err := item.Load(seed.FS)
	require.NoError(t, err)
	return c
}

// passage is 20 days of two adults and a child of six, with rice counted before.
func passage(count ...inventory.Difference) Period {
	return Period{
		Crew: vessel.Crew{ID: "c", Persons: []vessel.Person{{ID: "a", Age: 40}, {ID: "b", Age: 40}, {ID: "kid", Age: 6}}},
		Day:  arrived, Since: map[string]calendar.Day{"rice": arrived - 20, "coffee": arrived - 20}, Count: count,
	}
}

func record(t *testing.T, p Period, need string) (Record, bool) {
	t.Helper()
	for _, r := range p.Records(catalogue(t)) {
		if r.Need == need {
			return r, true
		}
	}
	return Record{}, false
}

func kg(x float64) measure.Quantity { return measure.Of(x) }

func TestACountTellsWhatWasUsed(t *testing.T) {
	t.Parallel()
	gone := inventory.Difference{Item: "rice_white", Book: kg(5), Counted: kg(2), Spoilt: kg(0.5), Used: kg(2.5)}
	t.Run("children count by appetite", func(t *testing.T) {
		r, ok := record(t, passage(gone), "rice")
		require.True(t, ok)
		require.InDelta(t, 20*(1+1+0.6), r.PersonDays, 1e-9)
		require.InDelta(t, 2.5, r.Used, 1e-9, "what spoilt was not eaten")
		require.False(t, r.RanOut)
	})
	t.Run("guests eat, meals ashore do not count", func(t *testing.T) {
		p := passage(gone)
		p.Log = []logbook.Entry{
			{Day: arrived - 5, Kind: logbook.Guests, Amount: 6}, {Day: arrived - 4, Kind: logbook.Ashore, Amount: 10},
			{Day: arrived - 30, Kind: logbook.Guests, Amount: 99}, // before the time
		}
		r, _ := record(t, p, "rice")
		require.InDelta(t, 52+6-10, r.PersonDays, 1e-9)
	})
	t.Run("what was told as used counts with what is gone untold", func(t *testing.T) {
		p := passage(gone)
		p.Moves = []inventory.Move{
			{Day: arrived - 3, Kind: inventory.Used, Item: "rice_brown", Quantity: kg(1)},
			{Day: arrived - 3, Kind: inventory.Given, Item: "rice_white", Quantity: kg(1)},
			{Day: arrived - 25, Kind: inventory.Used, Item: "rice_white", Quantity: kg(9)},
		}
		r, _ := record(t, p, "rice")
		require.InDelta(t, 3.5, r.Used, 1e-9)
	})
	t.Run("nothing left is at least so much, said or not", func(t *testing.T) {
		r, _ := record(t, passage(inventory.Difference{Item: "rice_white", Book: kg(5), Used: kg(5)}), "rice")
		require.True(t, r.RanOut)
		other := inventory.Difference{Item: "rice_brown", Book: kg(1), Counted: kg(1)}
		r, _ = record(t, passage(inventory.Difference{Item: "rice_white", Book: kg(5), Used: kg(5), Mark: inventory.RanOut}, other), "rice")
		require.False(t, r.RanOut, "of the need there was some left")
	})
	t.Run("without a count before, or with a part not counted, nothing is learned", func(t *testing.T) {
		p := passage(gone)
		p.Since = nil
		_, ok := record(t, p, "rice")
		require.False(t, ok)
		p = passage(gone)
		p.Left = []pricing.ItemID{"rice_brown"}
		_, ok = record(t, p, "rice")
		require.False(t, ok)
		p = passage(gone)
		p.Day = arrived - 20
		_, ok = record(t, p, "rice")
		require.False(t, ok, "the same day")
	})
	t.Run("nobody aboard, nothing learned", func(t *testing.T) {
		p := passage(gone)
		p.Crew.Persons = nil
		_, ok := record(t, p, "rice")
		require.False(t, ok)
	})
}

func TestBaselineIsTheLastCountOrTheFirstPurchase(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	base := Baseline(c, map[pricing.ItemID]calendar.Day{"rice_white": 10, "rice_brown": 20}, []inventory.Move{
		{Day: 5, Kind: inventory.Used, Item: "honey"}, {Day: 9, Kind: inventory.Bought, Item: "honey"}, {Day: 12, Kind: inventory.Got, Item: "honey"},
	})
	require.EqualValues(t, 20, base["rice"])
	honey, ok := c.NeedOf("honey")
	require.True(t, ok)
	require.EqualValues(t, 9, base[honey.ID])
	require.NotContains(t, base, "pasta")
}

func TestLearnedRatesGoIntoACatalogueOfTheirOwn(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	rice, _ := c.Need("rice")
	r := RatesOf(c, []Record{{Need: "rice", From: 1, To: 21, PersonDays: 60, Used: 0.6}, {Need: "rice", From: 21, To: 41, PersonDays: 60, Used: 0.7}}, 41)
	mine := r.Apply(c)
	now, _ := mine.Need("rice")
	require.Less(t, now.PerPersonDay, 0.6*rice.PerPersonDay)
	same, _ := c.Need("rice")
	require.Equal(t, rice.PerPersonDay, same.PerPersonDay, "the catalogue given stays as it is")
	pasta, _ := mine.Need("pasta")
	was, _ := c.Need("pasta")
	require.Equal(t, was, pasta)
	lines := r.Lines(c, Season{PersonDays: 1000})
	require.Len(t, lines, 1)
	require.Contains(t, lines[0].Words, "±")
	require.Contains(t, lines[0].Words, "less over 1000 person-days")
	require.Contains(t, lines[0].Words, "2 passages")
}

func TestAmountsReadWell(t *testing.T) {
	t.Parallel()
	for want, x := range map[float64]float64{0.31: 0.314, 12: 12.34, 9: 9, 0.004: 0.004, 0: 0, 153: 153.2, -0.13: -0.126} {
		require.InDelta(t, want, figures(x), 1e-12)
	}
	l := Line{Need: "rice", Name: "Rice", Unit: measure.Kilogram, Rate: 0.314, SD: 0.041, List: 0.4, Trips: 4, Over: 100, Change: -8.6, Hardly: 0.6}
	require.Equal(t, "Rice: we use 310 g ± 41 g a person-day (4 passages), list says 400 g: buy 8.6 kg less over 100 person-days; this crew hardly uses it",
		l.say().String())
	l.Trips, l.Boat, l.Right, l.Hardly = 1, true, true, 0
	require.Equal(t, "Rice: the boat uses 310 g ± 41 g a day (one passage), list says 400 g: the list is about right", l.say().String())
}
