package tankage

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/pricing/calendar"
	"hardtack/route/inventory/usage"
	"hardtack/route/logbook"
)

// Published and derived figures (checks-domain and checks-methods).
func TestPublishedFigures(t *testing.T) {
	t.Parallel()
	clear6, ok := BleachFor(400, 6, false)
	require.True(t, ok)
	clear8, ok := BleachFor(1, 8.25, false)
	require.True(t, ok)
	const kadatec = "Czech LPG engineering property table (kadatec), read"
	ocean := Passage{18, 0.2}
	for _, tt := range []struct {
		id, source           string
		got, want, tolerance float64
	}{
		{"bleach_ppm_6", "computed from EPA dose, derived", clear6.MgL, 6.0, 0.05},
		{"bleach_ppm_8.25", "computed from EPA dose, derived", clear8.MgL, 8.25, 0.05},
		{"bleach_400L_6pct", "EPA dose, 2 drops a litre, derived", clear6.ML, 40, 0.1},
		{"bleach_gal_consistency", "8 drops a US gallon; EPA prints 2 a litre, derived", Doses()[2].PerLitre, 2.113, 0.001},
		{"bleach_8_25pct_per_gal", "US EPA, read-secondary", Doses()[4].PerGal, 6, 0},
		{"bleach_1pct_per_gal", "US EPA older leaflet, read-secondary", Doses()[0].PerGal, 40, 0},
		{"bleach_4_6pct_per_gal", "US EPA, read-secondary", Doses()[1].PerGal, 8, 0},
		{"bleach_7_10pct_per_gal", "US EPA, read-secondary", Doses()[3].PerGal, 4, 0},
		{"boil_sea_level", "US EPA, read", BoilMinutes, 1, 0},
		{"drop_volume", "convention, from memory", dropML, 0.05, 0},
		{"sphere_survival", "Sphere Handbook 2011, read-secondary", WaterNeeds()[0].Low, 2.5, 0},
		{"sphere_survival, high", "Sphere Handbook 2011, read-secondary", WaterNeeds()[0].High, 3, 0},
		{"sphere_hygiene", "Sphere Handbook 2011, read-secondary", WaterNeeds()[1].Low, 2, 0},
		{"sphere_cooking", "Sphere Handbook 2011, read-secondary", WaterNeeds()[2].High, 6, 0},
		{"sphere_total", "Sphere Handbook 2011, read-secondary", WaterNeeds()[3].High, 15, 0},
		{"efsa_male", "EFSA J 2010;8(3):1459, read", WaterNeeds()[4].Low, 2.5, 0},
		{"efsa_female", "EFSA J 2010;8(3):1459, read", WaterNeeds()[5].Low, 2, 0},
		{"who_hot_manual", "WHO (quoted), read-secondary", WaterNeeds()[6].Low, 4.5, 0},
		{"estonia_civil", "Estonian Rescue Board, read", WaterNeeds()[7].Low, 3, 0},
		{"us1898_water: 4 US quarts", "US Act of 21 Dec 1898, 30 Stat. 762, read", WaterNeeds()[8].Low, litresPerGallon, 0.001},
		{"lhv_propane", kadatec, PropaneMJ, 46.35, 0.05},
		{"lhv_nbutane", kadatec, ButaneMJ, 45.74, 0.05},
		{"rho_propane", kadatec, PropaneDense, 0.498, 0.003},
		{"rho_butane", kadatec, ButaneDense, 0.578, 0.003},
		{"bp_propane", kadatec, PropaneBoils, -42.6, 0.5},
		{"bp_butane", kadatec, ButaneBoils, -0.5, 0.5},
		{"lpg_kg_l", "LPG supplier facts, read", LiquidDensity, 0.54, 0.01},
		{"lpg_fill", "LPG supplier facts, read: 80–85 %, we take the lower", FillShare, 0.80, 0},
		{"kwh_kg", "computed, derived", KWhPerKg, 12.875, 0.005},
		{"burner_1.0", "computed, derived", BurnerGrams(1), 77.7, 0.1},
		{"burner_1.5", "computed, derived", BurnerGrams(1.5), 116.5, 0.1},
		{"burner_2.0", "computed, derived", BurnerGrams(2), 155.3, 0.1},
		{"burner_2.5", "computed, derived", BurnerGrams(2.5), 194.2, 0.1},
		{"boil_1L", "computed, derived", KettleGrams(1, 20, 100), 16.06, 0.05},
		{"gas_days", "computed, derived; the use is the trade's", Days(9.07, 2, 0.055), 82.5, 0.5},
		{"RESERVE-DAYS 50 %", "own", ocean.Quantile(0.5), 18.0, 0.0002},
		{"RESERVE-DAYS 80 %", "own", ocean.Quantile(0.8), 21.2998, 0.0002},
		{"RESERVE-DAYS 90 %", "own", ocean.Quantile(0.9), 23.2588, 0.0002},
		{"RESERVE-DAYS 95 %", "own", ocean.Quantile(0.95), 25.0117, 0.0002},
		{"RESERVE-LN-GAMMA critical ratio", "own: quadrature = Monte Carlo", CriticalRatio(12, 0.9), 0.93023256, 1e-8},
		{"RESERVE-LN-GAMMA amount", "own: quadrature = Monte Carlo", Needed(4, usage.Gamma{Shape: 29, Exposure: 96}, 1, ocean, CriticalRatio(12, 0.9)), 31.9367, 0.01},
		{"NV-SHADOW critical ratio with storage", "Hadley & Whitin 1963, own arithmetic", CriticalRatio(12-0.5*1.2, 0.9+0.5*1.2), 0.8837209302, 1e-9},
	} {
		require.InDelta(t, tt.want, tt.got, tt.tolerance, "%s (%s)", tt.id, tt.source)
	}
	for _, tt := range []struct {
		mg   float64
		want string
	}{{200, "excellent"}, {500, "good"}, {800, "fair"}, {1000, "poor"}, {1300, "unacceptable"}} { // tds_*: WHO, quoted, read-secondary
		require.Equal(t, tt.want, Taste(tt.mg))
	}
}

// Cautions are there wherever something can hurt.
func TestCautionsArePresent(t *testing.T) {
	t.Parallel()
	for _, word := range []string{"unscented", "watermaker", "poison", "health authority"} {
		require.Contains(t, WaterCaution, word)
	}
	for _, word := range []string{"sinks", "soapy water", "local codes", "licensed fitter", "test date"} {
		require.Contains(t, GasCaution, word)
	}
	b, ok := BleachFor(100, 6, true)
	require.True(t, ok)
	require.Equal(t, WaterCaution, b.Caution)
	require.InDelta(t, 20, b.ML, 1e-9, "double for cloudy water")
	for _, percent := range []float64{0, 3, 5.25, 12.5, 70} {
		_, ok := BleachFor(100, percent, false)
		require.False(t, ok, "%g %% is named in no leaflet here and not guessed", percent)
	}
	for _, d := range Doses() {
		require.NotEmpty(t, d.Source)
		require.NotEmpty(t, d.Evidence)
	}
	for _, f := range WaterNeeds() {
		require.NotEmpty(t, f.Source)
		require.NotEmpty(t, f.Evidence)
	}
}

const start calendar.Day = 20_000

func entry(day calendar.Day, kind logbook.Kind, amount float64) logbook.Entry {
	return logbook.Entry{ID: "x", Day: start + day, Kind: kind, Amount: amount}
}

func four(from, to calendar.Day) float64 { return 4 * float64(to-from) }

func TestLitresAreLearnedFromReadings(t *testing.T) {
	t.Parallel()
	log := []logbook.Entry{
		entry(0, logbook.WaterLevel, 400), entry(4, logbook.WaterMade, 60), entry(6, logbook.Rain, 20), entry(7, logbook.WaterLost, 10),
		entry(10, logbook.WaterLevel, 190), // 280 L by 40 person-days: 7
		entry(15, logbook.WaterFilled, 100), entry(20, logbook.WaterLevel, 20),
	}
	b := Water(log, four, start+25, 4, 0.2)
	require.Equal(t, 2, b.Trips)
	require.Greater(t, b.Mean(), 4.8)
	require.Less(t, b.Mean(), 7.0)
	misread := Water([]logbook.Entry{entry(0, logbook.WaterLevel, 100), entry(5, logbook.WaterLevel, 300)}, four, start+5, 4, 0.2)
	require.Zero(t, misread.Trips, "water does not come from nowhere")
	dry := Water([]logbook.Entry{entry(0, logbook.WaterLevel, 100), entry(10, logbook.WaterLevel, 0)}, four, start+10, 4, 0.2)
	half := Water([]logbook.Entry{entry(0, logbook.WaterLevel, 101), entry(10, logbook.WaterLevel, 1)}, four, start+10, 4, 0.2)
	require.Greater(t, dry.Mean(), half.Mean(), "an empty tank hid what more would have been used")
}

func TestGasIsLearnedFromSwaps(t *testing.T) {
	t.Parallel()
	b := Gas([]logbook.Entry{entry(0, logbook.GasSwap, 6), entry(40, logbook.GasSwap, 6), entry(85, logbook.GasSwap, 6)}, four, start+90, 0.055, 0.35)
	require.Equal(t, 2, b.Trips)
	require.InDelta(t, 0.036, b.Mean(), 0.006) // 6 kg in 160 and in 180 person-days
	require.InDelta(t, 0.055, Gas(nil, four, start, 0.055, 0.35).Mean(), 1e-4)
}

// The rule of thumb: 4 crew, 21 days, a third to spare, 3.5 L each (water_rule,
// arithmetic, derived).
func TestWaterRule(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 382.2, 4*21*1.3*3.5, 0.05)
	b := usage.Learn(usage.ListPrior(3.5, 0.2, false, false), nil)
	stands := Stands(Supply{Aboard: 382.2, People: 4}, b, Passage{21, OceanSpread})
	require.InDelta(t, 294, stands[0].Uses, 1)
	require.Greater(t, stands[0].Left, 80.0)
	require.Greater(t, stands[0].Enough, 0.85)
	require.Less(t, stands[2].Left, 0.0, "not for the longest in a hundred")
}

func TestEnduranceLaws(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := usage.Learn(usage.ListPrior(rapid.Float64Range(0.5, 15).Draw(t, "rate"), 0.2, false, false), nil)
		s := Supply{
			Aboard: rapid.Float64Range(0, 1000).Draw(t, "aboard"), PerDay: rapid.Float64Range(0, 60).Draw(t, "watermaker"),
			People: rapid.Float64Range(1, 8).Draw(t, "people"),
		}
		p := Passage{rapid.Float64Range(1, 40).Draw(t, "days"), rapid.Float64Range(0, 0.4).Draw(t, "spread")}
		e := Stands(s, b, p)
		require.Len(t, e, 3)
		for k := 1; k < 3; k++ {
			require.GreaterOrEqual(t, e[k].Days, e[k-1].Days)
			require.LessOrEqual(t, e[k].Left, e[k-1].Left+1e-9)
			require.LessOrEqual(t, e[k].Enough, e[k-1].Enough+1e-9)
		}
		require.GreaterOrEqual(t, Lasts(s, b, 0.5), Lasts(s, b, 0.99))
		more := s
		more.Aboard += 10
		require.GreaterOrEqual(t, Lasts(more, b, 0.9), Lasts(s, b, 0.9))
		require.LessOrEqual(t, Needed(s.People, b.Rate, b.Unit, p, 0.5), Needed(s.People, b.Rate, b.Unit, p, 0.95)+1e-9)
	})
}
