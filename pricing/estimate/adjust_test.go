package estimate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
)

// told is rice at both ports, reported by many, each report changed by f, which
// gets its number and says what its log price is more than usual.
func told(t *testing.T, n int, f func(k int, r *pricing.Report) float64) Input {
	in := shop(t, 700)
	rng := rand.New(rand.NewPCG(11, 11))
	for k := range n {
		r := *bought(1, 0.5)
		r.ID, r.Port, r.Day, r.Reporter = idOf(k), in.Ports[k%2].ID, 700-calendar.Day(rng.IntN(300)), fmt.Sprint("u", rng.IntN(30))
		off := f(k, &r)
		r.Paid.Minor = int64(math.Round(300 * r.Pack.Units() * math.Exp(off+0.08*rng.NormFloat64())))
		in.Reports = append(in.Reports, r)
	}
	return in
}

// What a shop is dearer or cheaper by is learned by its name, however written,
// and the estimate speaks of the middle of all.
func TestShopsAreTakenOff(t *testing.T) {
	t.Parallel()
	f := learn(&Input{})
	require.Empty(t, f.outlet)
	shops := []string{"Chandler", " chandler", "market", "MARKET", "market "}
	in := told(t, 400, func(k int, r *pricing.Report) float64 {
		r.Shop = shops[k%5]
		return []float64{0.3, 0.3, -0.2, -0.2, -0.2}[k%5]
	})
	m := Fit(in)
	s := &m.fit.shops
	require.Len(t, s.outlet, 2)
	require.InDelta(t, 0.5, s.outlet[s.numbers["chandler"]]-s.outlet[s.numbers["market"]], 0.06)
	require.InDelta(t, 0, math.Log(m.At("PTHOR", "rice", 700).Price/3), 0.06)
	require.Greater(t, m.fit.shop2, 0.2*0.2)
}

// How much cheaper by the unit larger packs are is learned for each category;
// the estimate is for the usual pack.
func TestPacksAreMadeAlike(t *testing.T) {
	t.Parallel()
	for _, slope := range []float64{0, 0.3} {
		in := told(t, 300, func(k int, r *pricing.Report) float64 {
			x := []float64{0.5, 1, 2, 4}[k%4]
			r.Pack = measure.Of(0.5 * x)
			return -slope * math.Log(x)
		})
		m := Fit(in)
		f := m.fit
		got := packElasticity - f.theta[f.pack+int(f.categoryOf[f.itemAt["rice"]])]
		require.InDelta(t, slope, got, 0.05)
		require.InDelta(t, 0, math.Log(m.At("PTHOR", "rice", 700).Price/3), 0.05)
	}
}
