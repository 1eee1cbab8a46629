package keeping

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/route"
	"hardtack/route/geo"
	"hardtack/route/vessel"
	"hardtack/seed"
)

func ptr(x float64) *float64 { return &x }

// plain keeps 100 days at 20 °C and ages by a Q10 of 2.
func plain() item.Item {
	return item.Item{ShelfClass: "dry", Shelf: item.Shelf{At20: ptr(100), Q10: 2}}
}

func constant(t float64) func(float64) float64 { return func(float64) float64 { return t } }

func catalogue(t *testing.T) *item.Catalogue {
	t.Helper()
	c, err := item.Load(seed.FS)
	require.NoError(t, err)
	return c
}

// The definition of Q10 (derived).
func TestQ10(t *testing.T) {
	t.Parallel()
	for temp, want := range map[float64]float64{20: 100, 30: 50, 16: 131.95} {
		got, ok := Life(plain(), constant(temp), 1000)
		require.True(t, ok)
		require.InDelta(t, want, got, 0.01, "%g °C", temp)
	}
}

// 12 h at 16 °C and 12 h at 32 °C every day: 65.46 days, not the 75.79 of the
// mean temperature (derived).
func TestDailyCycleCostsMoreThanItsMean(t *testing.T) {
	t.Parallel()
	cycle := func(first, second float64) float64 {
		days, ok := Life(plain(), func(day float64) float64 {
			if day-math.Floor(day) < 0.5 {
				return first
			}
			return second
		}, 1000)
		require.True(t, ok)
		return days
	}
	hot, cool := cycle(32, 16), cycle(16, 32) // they differ by how the last day begins
	require.Less(t, hot, 65.46)
	require.Greater(t, cool, 65.46)
	require.InDelta(t, 65.46, (hot+cool)/2, 0.05)
	mean, _ := Life(plain(), constant(24), 1000)
	require.InDelta(t, 75.79, mean, 0.01)
}

// Relative rates of produce: Saltveit, USDA Handbook 66 (read in a copy); the
// values at 4 and 16 °C are computed from them.
func TestHandbook66(t *testing.T) {
	t.Parallel()
	for temp, want := range map[float64]float64{0: 1, 10: 3, 20: 7.5, 30: 15, 40: 22.5, 4: 1.5518, 16: 5.1986} {
		require.InDelta(t, want, produceRate(temp), 0.001, "%g °C", temp)
	}
	for temp, percent := range map[float64]float64{10: 33, 20: 13, 30: 7, 40: 4} {
		require.InDelta(t, percent, 100/produceRate(temp), 0.5, "%g °C", temp)
	}
}

// A thing of 100 days at 0 °C, 10 days at 0 °C and 5 at 20 °C: 3.5 days are
// left at 30 °C (computed from Handbook 66).
func TestShareOfLifeAddsUp(t *testing.T) {
	t.Parallel()
	it := item.Item{ShelfClass: "prod", Shelf: item.Shelf{At20: ptr(100 / 7.5), Produce: true}}
	got, ok := Life(it, func(day float64) float64 {
		switch {
		case day < 10:
			return 0
		case day < 15:
			return 20
		}
		return 30
	}, 100)
	require.True(t, ok)
	require.InDelta(t, 18.5, got, 0.001)
}

// UHT milk: 34–36 weeks at 4 and 20 °C, 16–20 at 30 and 37 °C, a Q10 of 1.94
// between (Karlsson et al. 2019, Heliyon 5:e02431, read).
func TestLongLifeMilk(t *testing.T) {
	t.Parallel()
	milk := catalogue(t).Items["milk_uht"]
	for temp, weeks := range map[float64][2]float64{4: {34, 36}, 20: {34, 36}, 30: {16, 20}} {
		days, ok := DaysAt(milk, temp)
		require.True(t, ok)
		require.GreaterOrEqual(t, days, weeks[0]*7, "%g °C", temp)
		require.LessOrEqual(t, days, weeks[1]*7, "%g °C", temp)
	}
	a, _ := DaysAt(milk, 20)
	b, _ := DaysAt(milk, 30)
	require.InDelta(t, 1.94, a/b, 0.05)
}

func TestMilkPowder(t *testing.T) {
	t.Parallel()
	// Cool and dark 3–5 years, hot "as quickly as 3 months" (FSIS record 465,
	// read). Ours promises no more than that, whole milk's fat less.
	c := catalogue(t)
	cool, _ := DaysAt(c.Items["milk_powder_skim"], 16)
	require.InDelta(t, 3*365, cool, 60)
	hot, _ := DaysAt(c.Items["milk_powder"], 33)
	require.InDelta(t, 90, hot, 15)
}

func TestEggsOfThreeKinds(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	at := func(id pricing.ItemID, temp float64) float64 {
		days, ok := DaysAt(c.Items[id], temp)
		require.True(t, ok)
		return days
	}
	// Common practice, no source: never chilled they keep four to six weeks in
	// the tropics and about two months greased. Read, and shorter, for it
	// speaks of grades: B after 3 weeks at 25 °C uncoated, A to 5 weeks oiled
	// (J. Food Sci. 2011;76(5):S325). The catalogue follows common practice with
	// the float and smell test beside it.
	require.True(t, at("egg_unwashed", 30) >= 28 && at("egg_unwashed", 25) <= 42)
	require.InDelta(t, 60, at("egg_oiled", 30), 5)
	// 15 weeks at 4 °C still grade A (Jones et al. 2018; Jirangrat 2010, read).
	require.InDelta(t, 15*7, at("egg_unwashed", 4), 1)
	require.InDelta(t, 15*7, at("egg_oiled", 4), 1)
	// Shell eggs in the fridge 21–35 days (FSIS record 21, read): ours of the
	// washed kind; in the warm it keeps a few days at most.
	require.InDelta(t, 35, at("egg_washed", 4), 0.1)
	require.LessOrEqual(t, at("egg_washed", 30), 3.0)
	for _, temp := range []float64{4, 10, 16, 20, 25, 30, 34} {
		require.LessOrEqual(t, at("egg_unwashed", temp), at("egg_oiled", temp))
		require.Less(t, at("egg_washed", temp), at("egg_unwashed", temp))
	}
}

// Household ranges of the USDA-FSIS/Cornell/FMI food keeping data set, by
// record (read), at pantry 20 °C or fridge 4 °C. Where the catalogue promises
// more, its days are common practice aboard and say so.
func TestHouseholdRanges(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	for _, tt := range []struct {
		item           pricing.ItemID
		temp, low, top float64
	}{
		{"potato", 20, 30, 60}, {"pumpkin", 20, 60, 90}, {"tin_bakedbeans", 20, 730, 1825}, {"tin_tomato", 20, 365, 545},
		{"flour_white", 20, 180, 365}, {"rice_white", 20, 730, 730}, {"chicken_breast", 4, 1, 2}, {"beef_mince", 4, 1, 2},
		{"fish_white", 4, 1, 2}, {"cheese_hard", 4, 180, 180}, {"butter", 4, 30, 60}, {"milk_uht", 20, 180, 365},
	} {
		days, ok := DaysAt(c.Items[tt.item], tt.temp)
		require.True(t, ok)
		require.GreaterOrEqual(t, days, tt.low, tt.item)
		require.LessOrEqual(t, days, tt.top, tt.item)
	}
}

// Published lives of produce at temperatures the catalogue does not list: its
// curve must not promise more than the longest of them.
func TestProduceStorage(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	for _, tt := range []struct {
		item      pricing.ItemID
		temp, top float64
		source    string
	}{
		{"potato", 6, 300, "UC Davis: late potatoes 4–8 °C, 150–300 days"},
		{"sweet_potato", 14, 210, "UC Davis: 13–15 °C, 120–210 days"},
		{"tomato_green", 12, 35, "UC Davis: 10–13 °C, 14–35 days"},
		{"banana_green", 13, 28, "Cantwell/Handbook 66: 13–15 °C, 7–28 days"},
		{"cucumber", 12, 14, "Handbook 66: 10–13 °C, 10–14 days"},
		{"squash_winter", 12, 182, "Handbook 66, 1954: 10–13 °C, 168–182 days"},
		{"grapefruit", 12, 70, "DPIRD Western Australia 2016: 10–16 °C, 28–70 days"},
		{"mango", 12, 28, "Handbook 66: 10–13 °C, 14–28 days"},
		{"onion", 1, 240, "Cantwell 2001: 0 °C, 30–240 days"},
		{"breadfruit", 13, 40, "Tropical Fruits table 5.4: 13 °C, 14–40 days"},
	} {
		days, ok := DaysAt(c.Items[tt.item], tt.temp)
		require.True(t, ok, tt.item)
		require.LessOrEqual(t, days, tt.top, "%s: %s", tt.item, tt.source)
	}
}

func TestColdChainHasNoWarmDays(t *testing.T) {
	t.Parallel()
	meat := catalogue(t).Items["chicken_breast"]
	require.True(t, NeedsCold(meat))
	require.False(t, Suits(meat, vessel.Cool))
	for _, temp := range []float64{10, 16, 20, 30} {
		days, ok := DaysAt(meat, temp)
		require.True(t, ok)
		require.Zero(t, days, "%g °C", temp)
	}
	seven, ok := DaysAt(meat, 7) // a yacht's fridge
	require.True(t, ok)
	require.True(t, seven > 1 && seven < 2, seven)
	_, ok = Life(meat, constant(20), 10)
	require.True(t, ok)
	lost, ok := Life(meat, func(day float64) float64 { // the fridge fails after a day
		if day < 1 {
			return 4
		}
		return 15
	}, 10)
	require.True(t, ok)
	require.InDelta(t, 1, lost, 1e-9)
}

func TestBlankIsNotForEver(t *testing.T) {
	t.Parallel()
	rice := catalogue(t).Items["rice_white"]
	require.False(t, Suits(rice, vessel.Fridge))
	require.False(t, Suits(rice, vessel.Freezer))
	_, ok := DaysAt(rice, -18)
	require.False(t, ok)
	_, ok = DaysAt(item.Item{}, 20)
	require.False(t, ok)
	days, ok := Life(item.Item{}, constant(20), 10)
	require.False(t, ok)
	require.Zero(t, days)
}

func TestChocolateMelts(t *testing.T) {
	t.Parallel()
	days, ok := DaysAt(catalogue(t).Items["choc_milk"], 33)
	require.True(t, ok)
	require.Zero(t, days)
}

// Listed days always win, and warmth never lengthens a life save for what
// suffers from cold.
func TestListedDaysWin(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	for id, it := range c.Items {
		for _, p := range points(it.Shelf) {
			if it.ShelfClass == "choc" && p.t >= chocolateMelts {
				continue
			}
			days, ok := DaysAt(it, p.t)
			require.True(t, ok, id)
			require.InDelta(t, p.days, days, 1e-9, "%s at %g °C", id, p.t)
		}
	}
}

func TestWarmthShortens(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		it := c.Items[rapid.SampledFrom(c.Order).Draw(t, "item")]
		cold := rapid.Float64Range(16, 45).Draw(t, "cold")
		warm := cold + rapid.Float64Range(0, 10).Draw(t, "more")
		a, ok := DaysAt(it, cold)
		b, ok2 := DaysAt(it, warm)
		require.True(t, ok && ok2)
		require.LessOrEqual(t, b, a+1e-9)
	})
}

// Roughly what pilots and almanacs give, from memory, within 4 °C.
func TestClimate(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		lat  float64
		day  int
		sea  float64
	}{
		{"Barbados, January", 13, 15, 26}, {"Las Palmas, September", 28, 260, 23}, {"Azores, March", 38.5, 75, 16},
		{"Falmouth, August", 50, 225, 16}, {"Reykjavik, July", 64, 200, 11}, {"Cape Town side, February", -34, 45, 21},
		{"Tahiti, July", -17.5, 200, 26},
	} {
		require.InDelta(t, tt.sea, Climate(vessel.Cool, tt.lat, tt.day), 4, tt.name)
		require.Greater(t, Climate(vessel.Dry, tt.lat, tt.day), Climate(vessel.Net, tt.lat, tt.day)-1e-9)
	}
	require.InDelta(t, 7, Climate(vessel.Fridge, 13, 15), 0)
	require.InDelta(t, -18, Climate(vessel.Freezer, 13, 15), 0)
}

func TestTrackFollowsTheVoyage(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	start, err := calendar.Parse("2027-01-10")
	require.NoError(t, err)
	it := route.Itinerary{Start: start, Calls: []route.Call{
		{Stop: route.Stop{Port: "north", Leg: route.Leg{Via: []geo.Position{{Lat: 30}}}}, Depart: 10},
		{Stop: route.Stop{Port: "south"}, Arrive: 30, Depart: 60},
	}}
	lats := map[pricing.PortID]float64{"north": 50, "south": 14}
	lat := func(p pricing.PortID) (float64, bool) { y, ok := lats[p]; return y, ok }
	track := NewTrack(it, lat, vessel.Vessel{})
	for day, want := range map[float64]float64{-3: 50, 10: 50, 20: 30, 25: 22, 30: 14, 99: 14} {
		require.InDelta(t, want, track.Lat(day), 1e-9, "day %g", day)
	}
	apple := c.Items["apple"]
	inPort, atSea := track.Met(vessel.Net, 0).Days(apple, 365), track.Met(vessel.Net, 30).Days(apple, 365)
	require.Greater(t, inPort, atSea)
	require.Zero(t, track.Met(vessel.Dry, 0).Days(c.Items["beef_mince"], 365))

	logged := NewTrack(it, lat, vessel.Vessel{Spaces: []vessel.Space{{ID: "net", Kind: vessel.Net, Litres: 50, TempC: ptr(20)}}})
	require.InDelta(t, 30, logged.Met(vessel.Net, 0).Days(apple, 365), 1e-6)
}
