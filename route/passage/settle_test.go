package passage

import (
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/route"
	"hardtack/route/geo"
	"hardtack/route/port"
	"hardtack/seed"
)

var world = sync.OnceValues(func() (*port.Gazetteer, *geo.Coast) {
	g, err := port.Load(seed.FS)
	if err != nil {
		panic(err)
	}
	c, err := geo.LoadCoast(seed.FS)
	if err != nil {
		panic(err)
	}
	return g, c
})

func day(t require.TestingT, text string) calendar.Day {
	d, err := calendar.Parse(text)
	require.NoError(t, err)
	return d
}

func voyage(ports ...pricing.PortID) route.Voyage {
	v := route.Voyage{Name: "test"}
	for _, p := range ports {
		v.Stops = append(v.Stops, route.Stop{Port: p, StayDays: 2})
	}
	return v
}

func settle(t *testing.T, v route.Voyage) route.Itinerary {
	t.Helper()
	g, coast := world()
	it, err := Settle(v, day(t, "2026-09-01"), g, coast)
	require.NoError(t, err)
	return it
}

func TestSettleFromDistanceAndSpeed(t *testing.T) {
	t.Parallel()
	v := voyage("PTHOR", "PTPDL")
	v.SpeedKn = 6
	v.Stops[0].Leg.DistanceNM = 144 // a day at 6 kn
	it := settle(t, v)
	require.Equal(t, "2026-09-01", it.Start.String())
	require.InDelta(t, 2, it.Calls[0].Depart, 0)
	require.InDelta(t, 3, it.Calls[1].Arrive, 1e-12)
	require.InDelta(t, 5, it.Calls[1].Depart, 1e-12)
	require.False(t, it.Ways[0].Ocean)
	v.Stops[0].Leg.SpeedKn = 12
	require.InDelta(t, 2.5, settle(t, v).Calls[1].Arrive, 1e-12, "the leg's speed comes before the voyage's")
	v.Stops[0].Leg.Days = 4
	require.InDelta(t, 6, settle(t, v).Calls[1].Arrive, 1e-12, "the skipper's days come before both")
}

// The 90 % points again by another implementation, gonum's lognormal law.
func TestLong90(t *testing.T) {
	t.Parallel()
	for ocean, sd := range map[bool]float64{false: 0.10, true: 0.20} {
		want := distuv.LogNormal{Mu: math.Log(18), Sigma: sd}.Quantile(0.9)
		require.InDelta(t, want, Long90(18, ocean), 1e-9)
	}
}

func TestSettleFixedDates(t *testing.T) {
	t.Parallel()
	d := func(s string) calendar.Day { return day(t, s) }
	v := voyage("PTHOR", "PTPDL", "x-vila-do-porto")
	v.Stops[0].Arrive, v.Stops[0].Depart = d("2026-09-03"), d("2026-09-10")
	v.Stops[1].StayDays = 0
	v.Stops[2].Arrive = d("2026-09-20")
	it := settle(t, v)
	require.Equal(t, "2026-09-03", it.Start.String())
	require.InDelta(t, 7, it.Calls[0].Depart, 0)
	require.InDelta(t, 17, it.Calls[2].Arrive, 1e-9, "the stay before fills the time")
	require.InDelta(t, 17-it.Ways[1].MedianDays, it.Calls[1].Depart, 1e-9)
	require.InDelta(t, Long90(it.Ways[1].MedianDays, false), it.Ways[1].Days90, 1e-9)

	v = voyage("PTHOR", "PTPDL")
	v.Stops[0].Depart = d("2026-09-10")
	v.Stops[0].StayDays = 3
	it = settle(t, v)
	require.Equal(t, "2026-09-07", it.Start.String(), "the stay counts back from the departure")
	require.InDelta(t, 3, it.Calls[0].Depart, 0)
}

// A passage planned faster than usual keeps the long end of the usual one.
func TestSettleFast(t *testing.T) {
	t.Parallel()
	v := voyage("ESLPA", "BBBGI")
	v.Stops[0].Arrive, v.Stops[0].Depart = day(t, "2026-09-01"), day(t, "2026-09-02")
	v.Stops[1].Arrive = day(t, "2026-09-17")
	it := settle(t, v)
	require.InDelta(t, 15.5, it.Ways[0].MedianDays, 1e-9)
	usual := float64(it.Ways[0].DistanceNM) / 5.5 / 24
	require.Greater(t, usual, 17.0)
	require.InDelta(t, Long90(usual, true), it.Ways[0].Days90, 1e-9)
	require.Contains(t, it.Notes[len(it.Notes)-1].String(), "faster than usual")
}

func TestSettleRefuses(t *testing.T) {
	t.Parallel()
	g, coast := world()
	nan := math.NaN()
	d := func(s string) calendar.Day { return day(t, s) }
	for _, tt := range []struct {
		name   string
		change func(*route.Voyage)
		want   string
	}{
		{"one stop", func(v *route.Voyage) { v.Stops = v.Stops[:1] }, "two stops or more"},
		{"no stops", func(v *route.Voyage) { v.Stops = nil }, "two stops or more"},
		{"unknown port", func(v *route.Voyage) { v.Stops[1].Port = "Mindello" }, `stop 2: unknown port "Mindello"; nearest names: CVMIN`},
		{"unlike any port", func(v *route.Voyage) { v.Stops[2].Port = "qqqqqq" }, "stop 3: unknown port"},
		{"NaN speed", func(v *route.Voyage) { v.SpeedKn = nan }, "speed_kn NaN"},
		{"speed of an aeroplane", func(v *route.Voyage) { v.Stops[1].Leg.SpeedKn = 400 }, "stop 2: leg.speed_kn 400"},
		{"negative distance", func(v *route.Voyage) { v.Stops[0].Leg.DistanceNM = -1 }, "stop 1: leg.distance_nm"},
		{"infinite days", func(v *route.Voyage) { v.Stops[0].Leg.Days = math.Inf(1) }, "stop 1: leg.days"},
		{"negative stay", func(v *route.Voyage) { v.Stops[2].StayDays = -1 }, "stop 3: stay_days"},
		{"more than all ashore", func(v *route.Voyage) { v.Stops[2].Ashore = 1.1 }, "stop 3: ashore"},
		{"negative reserve", func(v *route.Voyage) { v.Stops[0].Leg.ReserveDays = &[]float64{-1}[0] }, "stop 1: leg.reserve_days"},
		{"negative trip cost", func(v *route.Voyage) { v.Stops[0].TripCost = &[]float64{-1}[0] }, "stop 1: trip_cost"},
		{"via off the Earth", func(v *route.Voyage) { v.Stops[0].Leg.Via = []geo.Position{{Lat: 91}} }, "stop 1: leg.via[0]: latitude"},
		{"via ashore", func(v *route.Voyage) { v.Stops[0].Leg.Via = []geo.Position{{Lat: 40, Lon: -4}} }, "stop 1: leg 1, Horta to Las Palmas de Gran Canaria: leg.via[0]"},
		{"leaves before it arrives", func(v *route.Voyage) { v.Stops[1].Arrive, v.Stops[1].Depart = d("2026-10-02"), d("2026-10-01") }, "stop 2: departs 2026-10-01"},
		{"arrives before the last port is left", func(v *route.Voyage) { v.Stops[0].Depart, v.Stops[1].Arrive = d("2026-10-05"), d("2026-10-01") }, "stop 2: Las Palmas de Gran Canaria is to be reached 2026-10-01, but Horta is not left before 2026-10-05"},
		{"arrives far too soon", func(v *route.Voyage) { v.Stops[0].Depart, v.Stops[1].Arrive = d("2026-10-05"), d("2026-10-06") }, "stop 2: Las Palmas de Gran Canaria is to be reached 2026-10-06"},
		{"is left before it is reached", func(v *route.Voyage) { v.Stops[1].Depart = d("2026-09-04") }, "stop 2: Las Palmas de Gran Canaria is to be left 2026-09-04"},
		{"shorter than the direct line", func(v *route.Voyage) { v.Stops[0].Leg.DistanceNM = 500 }, "less than the"},
		{"faster than any boat", func(v *route.Voyage) { v.Stops[0].Leg.Days = 0.5 }, "knots"},
		{"the same port twice", func(v *route.Voyage) { v.Stops[1].Port = "PTHOR" }, "stop 2: Horta again"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			v := voyage("PTHOR", "ESLPA", "CVMIN")
			tt.change(&v)
			_, err := Settle(v, d("2026-09-01"), g, coast)
			require.ErrorIs(t, err, ErrVoyage)
			require.ErrorContains(t, err, tt.want)
		})
	}
	v := voyage("PTHOR", "Mindello")
	_, err := Settle(v, 0, g, coast)
	require.ErrorIs(t, err, ErrUnknownPort)
}

func TestSettleSaysWhatCrossesLand(t *testing.T) {
	t.Parallel()
	it := settle(t, voyage("GBFAL", "x-oban-gb"))
	require.True(t, it.Ways[0].CrossesLand)
	require.Greater(t, it.Ways[0].DistanceNM, 1.1*it.Ways[0].DirectNM)
	require.Contains(t, it.Notes[0].String(), "crosses land")
	require.Contains(t, it.Notes[0].String(), "Not for navigation")
	open := settle(t, voyage("CVMIN", "GFCAY"))
	require.False(t, open.Ways[0].CrossesLand)
	require.True(t, open.Ways[0].Ocean)
}

func TestSettleCanals(t *testing.T) {
	t.Parallel()
	it := settle(t, voyage("PAONX", "PABLB"))
	require.Less(t, it.Ways[0].DistanceNM, geo.NauticalMiles(90))
	require.Contains(t, it.Notes[0].String(), "Panama canal")
	it = settle(t, voyage("GRRHO", "DJJIB"))
	require.Less(t, it.Ways[0].DistanceNM, geo.NauticalMiles(2000))
	require.Contains(t, it.Notes[0].String(), "Suez canal")
	v := voyage("DECUX", "DEKEL")
	require.Less(t, settle(t, v).Ways[0].DistanceNM, geo.NauticalMiles(120))
	v.Stops[0].Leg.Via = []geo.Position{{Lat: 57.9, Lon: 10.8}}
	require.Greater(t, settle(t, v).Ways[0].DistanceNM, geo.NauticalMiles(400), "via points go round Skagen")
}

func TestSettleOwnPortWithoutApproach(t *testing.T) {
	t.Parallel()
	g, coast := world()
	own, err := g.With([]port.Port{
		{ID: "x-own-cove", Name: "Own Cove", Country: "IE", Currency: "EUR", Position: geo.Position{Lat: 51.65, Lon: -9.7}},
		{ID: "x-inland", Name: "Inland", Country: "ES", Currency: "EUR", Position: geo.Position{Lat: 40.4, Lon: -3.7}},
	})
	require.NoError(t, err)
	it, err := Settle(voyage("IEKLN", "x-own-cove"), 0, own, coast)
	require.NoError(t, err)
	require.Greater(t, it.Ways[0].DistanceNM, it.Ways[0].DirectNM)
	v := voyage("IEKLN", "x-inland")
	_, err = Settle(v, 0, own, coast)
	require.ErrorContains(t, err, "stop 2: Inland lies more than")
	v.Stops[0].Leg.DistanceNM = 1000
	it, err = Settle(v, 0, own, coast)
	require.NoError(t, err, "the skipper's distance is taken")
	require.InDelta(t, 1000, float64(it.Ways[0].DistanceNM), 0)
}

// Whatever the ports, dates run forwards and distances are at least direct.
func TestSettleInvariants(t *testing.T) {
	t.Parallel()
	g, coast := world()
	all := g.All()
	rapid.Check(t, func(t *rapid.T) {
		v := route.Voyage{SpeedKn: rapid.Float64Range(3, 12).Draw(t, "speed")}
		for range rapid.IntRange(2, 4).Draw(t, "stops") {
			v.Stops = append(v.Stops, route.Stop{
				Port:     rapid.SampledFrom(all[:45]).Draw(t, "port").ID, // the Atlantic islands
				StayDays: rapid.Float64Range(0, 30).Draw(t, "stay"),
			})
		}
		it, err := Settle(v, day(t, "2026-09-01"), g, coast)
		if err != nil {
			require.ErrorContains(t, err, "again")
			return
		}
		require.Len(t, it.Ways, len(it.Calls)-1)
		for i, w := range it.Ways {
			require.GreaterOrEqual(t, w.DistanceNM, w.DirectNM)
			require.LessOrEqual(t, it.Calls[i].Arrive, it.Calls[i].Depart)
			require.InDelta(t, it.Calls[i+1].Arrive-it.Calls[i].Depart, w.MedianDays, 1e-9)
			require.Greater(t, w.Days90, w.MedianDays)
		}
	})
}
