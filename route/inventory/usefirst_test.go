package inventory

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/route/keeping"
	"hardtack/route/vessel"
)

// cutter has one space of each kind that food lies in.
func cutter(cat *item.Catalogue) Boat {
	return Boat{Catalogue: cat, Vessel: vessel.Vessel{ID: "c", Spaces: []vessel.Space{
		{ID: "locker", Kind: vessel.Dry, Litres: 200}, {ID: "bilge", Kind: vessel.Cool, Litres: 80}, {ID: "net", Kind: vessel.Net, Litres: 40},
		{ID: "fridge", Kind: vessel.Fridge, Litres: 60}, {ID: "freezer", Kind: vessel.Freezer, Litres: 30},
	}}}
}

func lot(id pricing.ItemID, space string, units float64, bought calendar.Day) Lot {
	return Lot{ID: string(id), Item: id, Space: space, Quantity: kg(units), Bought: bought}
}

func of(due []Due, id pricing.ItemID) Due {
	for _, d := range due {
		if d.Lot.Item == id {
			return d
		}
	}
	return Due{}
}

// eats gives one rate for everything.
func eats(perDay float64) Eats { return func(item.Item) float64 { return perDay } }

func TestUseFirstSaysWhy(t *testing.T) {
	t.Parallel()
	b, today := cutter(loadCatalogue(t)), day("2027-02-10")
	cream := lot("cream_uht", "fridge", 0.2, today-20)
	cream.Opened = today - 2
	dated := lot("yogurt", "fridge", 1, today-5)
	dated.BestBefore = today + 1
	past := lot("milk_uht", "locker", 1, today-100)
	past.BestBefore = today - 3
	trade := lot("spirits", "locker", 1, today)
	trade.For = Barter
	due := b.UseFirst([]Lot{
		cream, dated, past, trade, lot("tomato_ripe", "net", 0.4, today-4), lot("chicken_breast", "locker", 0.5, today),
		lot("egg_unwashed", "locker", 12, today-25), lot("rice_white", "locker", 2, today-30), lot("toilet_paper", "locker", 4, today),
	}, today, 7, b.WarmthAt(14, today), eats(0.2), nil)
	require.Contains(t, of(due, "cream_uht").Reason.String(), "opened 2 days ago, an open pack keeps")
	require.Contains(t, of(due, "yogurt").Reason.String(), "best before 2027-02-11")
	require.Contains(t, of(due, "yogurt").Caution.String(), "when in doubt, throw it out")
	require.Negative(t, of(due, "milk_uht").Days)
	require.Contains(t, of(due, "tomato_ripe").Reason.String(), "bought 4 days ago")
	require.Contains(t, of(due, "tomato_ripe").Reason.String(), "seasonal mean for latitude 14°", "the source of the temperature is named")
	require.Contains(t, of(due, "chicken_breast").Reason.String(), "wants cold")
	require.Contains(t, of(due, "egg_unwashed").Caution.String(), "floats")
	for _, far := range []pricing.ItemID{"rice_white", "spirits", "toilet_paper"} {
		require.Zero(t, of(due, far).Lot.ID, far)
	}
	for k := 1; k < len(due); k++ {
		require.LessOrEqual(t, due[k-1].Days, due[k].Days, "the most urgent first")
	}
}

func TestWhatWillBeLost(t *testing.T) {
	t.Parallel()
	b, today := cutter(loadCatalogue(t)), day("2027-02-10")
	due := b.UseFirst([]Lot{lot("banana_green", "net", 12, today-3), lot("beef_mince", "fridge", 1.5, today)}, today, 3, b.WarmthAt(14, today), eats(0.2), nil)
	require.Positive(t, of(due, "banana_green").Lost)
	require.Contains(t, of(due, "banana_green").Cook.String(), "more than is usually eaten")
	require.Contains(t, of(due, "beef_mince").Cook.String(), "cook it")
	due = b.UseFirst([]Lot{lot("beef_mince", "fridge", 0.2, today)}, today, 3, b.WarmthAt(14, today), eats(5), nil)
	require.Zero(t, of(due, "beef_mince").Lost, "what is eaten in time is not lost")
}

func TestALockersReadingCounts(t *testing.T) {
	t.Parallel()
	b, today := cutter(loadCatalogue(t)), day("2027-02-10")
	hot := 38.0
	b.Lockers = []vessel.Locker{{ID: "engine side", Space: "locker", TempC: &hot, ReadOn: "2027-02-09"}}
	dated := lot("milk_uht", "locker", 1, today)
	dated.BestBefore = today + 100
	dated.Locker = "engine side"
	due := b.UseFirst([]Lot{dated}, today, 400, b.WarmthAt(14, today), eats(1), nil)
	require.Less(t, of(due, "milk_uht").Days, 60.0, "the date reckons with 20 °C")
	require.Contains(t, of(due, "milk_uht").Reason.String(), "read in engine side on 2027-02-09")
}

func TestChilledProduceIsSaid(t *testing.T) {
	t.Parallel()
	b, today := cutter(loadCatalogue(t)), day("2027-02-10")
	due := b.UseFirst([]Lot{lot("tomato_green", "fridge", 1, today-1)}, today, 400, b.WarmthAt(14, today), eats(1), nil)
	if d := of(due, "tomato_green"); d.Lot.ID != "" {
		require.Contains(t, d.Reason.String(), "suffers from cold")
	}
	require.True(t, keeping.Chills(b.Catalogue.Items["banana_green"], 7))
	require.False(t, keeping.Chills(b.Catalogue.Items["carrot"], 7))
}

func TestOpenedLife(t *testing.T) {
	t.Parallel()
	c := loadCatalogue(t)
	for _, tt := range []struct {
		item pricing.ItemID
		kind vessel.SpaceKind
		most float64
	}{
		// Without a fridge wet food keeps a day, dry food a fortnight: common
		// practice, no source.
		{"milk_uht", vessel.Dry, 1}, {"tin_tomato", vessel.Dry, 1}, {"crackers", vessel.Dry, 14}, {"rice_white", vessel.Dry, 14},
		// FSIS 173, leftovers in the fridge 3–4 days; opened tins likewise (read).
		{"tin_bakedbeans", vessel.Fridge, 4},
	} {
		days, ok := keeping.OpenedDays(c.Items[tt.item], tt.kind)
		require.True(t, ok, tt.item)
		require.LessOrEqual(t, days, tt.most, tt.item)
	}
	_, ok := keeping.OpenedDays(c.Items["batteries_aa"], vessel.Dry)
	require.False(t, ok)
}

// The failed fridge: four hours for a fridge, a day or two for a freezer by how
// full it is (USDA-FSIS and FDA leaflets on power cuts, from memory).
func TestFailedFridge(t *testing.T) {
	t.Parallel()
	b, on := cutter(loadCatalogue(t)), day("2027-02-10")
	lots := []Lot{
		lot("cheese_hard", "fridge", 1, on), lot("beef_mince", "fridge", 1, on), lot("yogurt", "fridge", 1, on), lot("carrot", "fridge", 2, on),
		lot("egg_unwashed", "fridge", 12, on), lot("veg_frozen", "freezer", 2, on), lot("tin_tomato", "locker", 10, on),
	}
	order := b.FridgeOff(lots, 1, 28)
	require.Len(t, order, 6, "what lies in the locker needs no rescue")
	at := map[pricing.ItemID]int{}
	for k, r := range order {
		at[r.Lot.Item] = k
	}
	require.Zero(t, at["beef_mince"], "raw meat first")
	require.Less(t, at["beef_mince"], at["yogurt"])
	require.Less(t, at["yogurt"], at["veg_frozen"])
	require.Less(t, at["yogurt"], at["carrot"], "carrots need no cold")
	require.InDelta(t, 3, order[0].Hours, 1e-9)
	require.LessOrEqual(t, order[at["egg_unwashed"]].Hours, 24*4+3.0, "once chilled an egg is no better than a washed one")
	for _, r := range order {
		if strings.Contains(r.Do.String(), "cook") || strings.Contains(r.Do.String(), "throw") {
			require.Equal(t, keeping.Caution, r.Caution)
		}
	}
	require.Contains(t, b.FridgeOff(lots, 9, 28)[0].Do.String(), "throw it out")
	full := b.FridgeOff([]Lot{lot("veg_frozen", "freezer", 60, on)}, 0, 28)
	require.InDelta(t, 48, full[0].Hours, 1e-9)
	require.Contains(t, full[0].Do.String(), "never freeze it again")
}

// Whatever lies wherever: no panic, every reason is said, no more is lost than
// there is, and more appetite never loses more.
func TestUseFirstLaws(t *testing.T) {
	t.Parallel()
	cat := loadCatalogue(t)
	b, today := cutter(cat), day("2027-02-10")
	rapid.Check(t, func(t *rapid.T) {
		var lots []Lot
		for range rapid.IntRange(1, 6).Draw(t, "lots") {
			l := lot(rapid.SampledFrom(cat.Order).Draw(t, "item"), rapid.SampledFrom([]string{"locker", "bilge", "net", "fridge", "freezer"}).Draw(t, "space"),
				rapid.Float64Range(0.1, 30).Draw(t, "amount"), today-calendar.Day(rapid.IntRange(0, 60).Draw(t, "age")))
			l.BestBefore = rapid.SampledFrom([]calendar.Day{0, today - 5, today + 3, today + 300}).Draw(t, "best before")
			l.Opened = rapid.SampledFrom([]calendar.Day{0, today - 1}).Draw(t, "opened")
			lots = append(lots, l)
		}
		warm := b.WarmthAt(rapid.Float64Range(-60, 60).Draw(t, "latitude"), today)
		sum := func(rate float64) (lost float64) {
			for _, d := range b.UseFirst(lots, today, 10, warm, eats(rate), nil) {
				require.NotEmpty(t, d.Reason)
				require.LessOrEqual(t, d.Lost, d.Lot.Quantity)
				if d.Days < 0 {
					require.NotEmpty(t, d.Caution)
				}
				lost += d.Lost.Units()
			}
			return lost
		}
		require.GreaterOrEqual(t, sum(0.1), sum(2)-1e-9)
		for _, r := range b.FridgeOff(lots, 2, 30) {
			require.NotEmpty(t, r.Do.String())
		}
	})
}

// What somebody found in a bad way goes before its time, wherever its curve
// stands; a look from before it came aboard is of another lot.
func TestWhatLooksBadGoesFirst(t *testing.T) {
	t.Parallel()
	b, today := cutter(loadCatalogue(t)), day("2027-02-10")
	onions := lot("onion", "net", 3, today-2)
	look := Look{Item: "onion", Place: "net", Day: today, Words: "sprouting"}
	first := func(looks ...Look) []Due {
		return b.UseFirst([]Lot{onions}, today, 3, b.WarmthAt(14, today), eats(3), looks)
	}
	require.Empty(t, first(), "keeps for weeks")
	due := first(look)
	require.Len(t, due, 1)
	require.Contains(t, due[0].Reason.String(), "looked at today: sprouting")
	require.InDelta(t, 2, due[0].Days, 1e-9)
	look.Day = today - 3
	require.Empty(t, first(look), "older than the lot")
	look.Day, look.Place = today, "bilge"
	require.Empty(t, first(look), "lies elsewhere")
	due = first(Look{Place: "net", Day: today - 1})
	require.Len(t, due, 1, "all that lies there")
	require.Contains(t, due[0].Reason.String(), "not as it should be")
	require.Empty(t, first(Look{Day: today}), "of nothing")
}
