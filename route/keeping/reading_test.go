package keeping

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/vessel"
)

// A reading beats a log, a log the climate; each says which it is.
func TestTemperaturesNameTheirSource(t *testing.T) {
	t.Parallel()
	read, logged := 34.0, 29.0
	v := vessel.Vessel{Spaces: []vessel.Space{{ID: "saloon", Kind: vessel.Dry, Litres: 100, TempC: &logged}, {ID: "bilge", Kind: vessel.Cool, Litres: 50}}}
	for _, tt := range []struct {
		name   string
		locker vessel.Locker
		kind   vessel.SpaceKind
		temp   float64
		within float64
		says   string
	}{
		{"read in the locker", vessel.Locker{ID: "engine side", TempC: &read, ReadOn: "2027-01-02"}, vessel.Dry, 34, 0, "read in engine side on 2027-01-02"},
		{"logged for the space", vessel.Locker{ID: "b"}, vessel.Dry, 29, 0, "logged"},
		{"by latitude and month", vessel.Locker{}, vessel.Cool, 26, 3, "seasonal mean for latitude 13°"},
		{"as fridges run", vessel.Locker{}, vessel.Fridge, 7, 0, "common practice"},
	} {
		got := ReadingOf(tt.locker, tt.kind, v, 13, 15)
		require.InDelta(t, tt.temp, got.TempC, tt.within, tt.name)
		require.Contains(t, got.Source.String(), tt.says, tt.name)
	}
}

// Typical Q10 of produce by band (Saltveit, USDA Handbook 66, table 20.3 of
// Produce Degradation, read-secondary): our curve keeps within it.
func TestProduceRisesAsPublished(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		id        string
		from      float64
		low, high float64
	}{{"q10_0-10", 0, 2.5, 4}, {"q10_10-20", 10, 2, 2.5}, {"q10_20-30", 20, 1.5, 2}, {"q10_30-40", 30, 1, 1.5}} {
		q := produceRate(tt.from+10) / produceRate(tt.from)
		require.GreaterOrEqual(t, q, tt.low, tt.id)
		require.LessOrEqual(t, q, tt.high, tt.id)
	}
}

// Field rations: 36 months at 80 °F, 6 at 100 (US Army Soldier Systems Center,
// quoted, read-secondary), 1 at 120 (NWCG, read): an implied Q10 of 5.02 in both
// steps (derived), which is what heat above hotFrom does here.
func TestFieldRationsInTheHeat(t *testing.T) {
	t.Parallel()
	celsius := func(f float64) float64 { return (f - 32) / 1.8 }
	implied := func(a, b, from, to float64) float64 { return math.Pow(a/b, 10/(celsius(to)-celsius(from))) }
	require.InDelta(t, 5.02, implied(36, 6, 80, 100), 0.02, "mre_q10_80_100")
	require.InDelta(t, 5.02, implied(6, 1, 100, 120), 0.02, "mre_q10_100_120")
	require.InDelta(t, 1.36, implied(60, 36, 50, 80), 0.02, "mre_q10_50_80")
	require.InDelta(t, implied(36, 6, 80, 100), hotQ10, 0.05)
	rate := q10Rate(2, 48) / q10Rate(2, 38)
	require.InDelta(t, hotQ10, rate, 1e-9)
}

func TestWetAndDryOnceOpened(t *testing.T) {
	t.Parallel()
	c := catalogue(t)
	for id, i := range c.Items {
		days, ok := OpenedDays(i, vessel.Dry)
		if !ok {
			require.LessOrEqual(t, i.Kcal, 0.0, id)
			continue
		}
		require.True(t, days >= 1 && days <= 14, "%s: %g", id, days)
		if cold, ok := OpenedDays(i, vessel.Fridge); ok && i.OpenedDays > 0 {
			require.LessOrEqual(t, days, math.Max(cold, 1), "%s keeps no longer warm than cold", id)
		}
	}
}
