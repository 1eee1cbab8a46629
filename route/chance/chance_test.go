package chance

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// E[min(P, 1.6)], ln P ~ N(0.5, 0.25²): the put-call identity of option
// pricing gives 1.48146467.
func TestExpectedLesser(t *testing.T) {
	t.Parallel()
	p := Port{Median: math.Exp(0.5), LogSD: 0.25, Available: 1}
	require.InDelta(t, 1.48146467, p.Pass(1.6), 1e-8)
}

// Three ports ahead, fallback 4.00: thresholds by backward recursion, checked
// elsewhere by simulating the policy (1.5138).
func TestThresholdsAlongARoute(t *testing.T) {
	t.Parallel()
	ahead := []Port{{Median: 1.5, LogSD: 0.15, Available: 0.95}, {Median: 1.2, LogSD: 0.25, Available: 0.6},
		{Median: 2.4, LogSD: 0.2, Available: 0.9}}
	for after, want := range []float64{1.51359723, 1.78367823, 2.60234005, 4} {
		require.InDelta(t, want, Wait(ahead[after:], 4), 1e-8)
	}
}

// The policy the thresholds stand for, walked 400,000 times, costs what they
// say within four standard errors.
func TestThresholdsPayWhatTheyPromise(t *testing.T) {
	t.Parallel()
	ahead := []Port{{Median: 1.5, LogSD: 0.15, Available: 0.95}, {Median: 1.2, LogSD: 0.25, Available: 0.6},
		{Median: 2.4, LogSD: 0.2, Available: 0.9}}
	r := rand.New(rand.NewPCG(1, 1))
	const n = 400_000
	sum, squares := 0.0, 0.0
	for range n {
		paid := 4.0
		for i, p := range ahead {
			price := p.Median * math.Exp(p.LogSD*r.NormFloat64())
			if r.Float64() < p.Available && price <= Wait(ahead[i+1:], 4) {
				paid = price
				break
			}
		}
		sum += paid
		squares += paid * paid
	}
	mean := sum / n
	require.InDelta(t, Wait(ahead, 4), mean, 4*math.Sqrt((squares/n-mean*mean)/n))
}

// A port that is certain to have it at 2.00 with 70 %, else 5.00 elsewhere: 2.90.
// It is as good as 3.00 for sure at an availability of 2/3.
func TestAvailabilityCosts(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 2.9, Wait([]Port{{Median: 2, Available: 0.7}}, 5), 1e-12)
	require.InDelta(t, 3, Wait([]Port{{Median: 2, Available: 2.0 / 3}}, 5), 1e-9)
}

// Prices uniform on 0 to 1 at k ports, the last of which must be bought at:
// w ← w − w²/2 from 1/2, the mirror of selling (Moser 1956, Scripta Math.
// 22:289–292; Gilbert & Mosteller 1966, JASA 61:35–73, section 5a). Two-point
// ports cannot be uniform, so a port of a hundred thousand equal slices stands
// for it.
func TestCriticalLevelsOfUniformPrices(t *testing.T) {
	t.Parallel()
	const slices = 100_000
	lesser := func(c float64) float64 { // E[min(price, c)] by known prices only
		sum := 0.0
		for i := range slices {
			sum += Port{Median: (float64(i) + 0.5) / slices, Available: 1}.Pass(c)
		}
		return sum / slices
	}
	w := 1.0 // dearer than any price: the last port sells at what it asks
	for k, want := range []float64{0.5, 0.375, 0.3046875, 0.2582702637, 0.2249184989} {
		w = lesser(w)
		require.InDelta(t, want, w, 1e-6)
		require.InDelta(t, []float64{0.5, 0.625, 0.6953, 0.7417, 0.7751}[k], 1-w, 6e-5)
	}
}

// Uncertainty ahead makes waiting cheaper, never dearer.
func TestSpreadIsWorthWaitingFor(t *testing.T) {
	t.Parallel()
	for _, c := range []float64{0.5, 1, 2, 5} {
		last := math.Inf(1)
		for _, s := range []float64{0, 0.1, 0.2, 0.4, 0.8} {
			p := Port{Median: math.Exp(-s * s / 2), LogSD: s, Available: 1} // of mean 1
			w := p.Pass(c)
			require.LessOrEqual(t, w, last+1e-12)
			last = w
		}
	}
}

func TestCriticalRatio(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 0.93023256, Ratio(12, 0.9, 0), 1e-8)
	// storage price 0.5 a litre, 1.2 litres each: Hadley & Whitin 1963
	require.InDelta(t, 0.8837209302, Ratio(12, 0.9, 0.5*1.2), 1e-9)
	// Snyder & Shen, Fundamentals of Supply Chain Theory, 2nd ed., example 4.3
	require.InDelta(t, 56.60395592743389, distuv.Normal{Mu: 50, Sigma: 8}.Quantile(Ratio(0.70, 0.18, 0)), 1e-9)
	// the same, problem 4.8(b)
	require.InDelta(t, 295.626645, distuv.LogNormal{Mu: 6, Sigma: 0.3}.Quantile(Ratio(0.1765, 1, 0)), 1e-5)
	// Cachon & Terwiesch, Matching Supply with Demand: price 190, cost 110, salvage 90; from memory
	require.InDelta(t, 4185.96, distuv.Normal{Mu: 3192, Sigma: 1181}.Quantile(Ratio(80, 20, 0)), 0.05)
	require.Zero(t, Ratio(1, 1, 5))
}

// Snyder & Shen, example 4.7: Poisson of mean 6, 1 left, 4 short; and mean
// 18, 200 left, 270 short.
func TestStockOfAPoissonDemand(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ left, short, mean, want float64 }{{1, 4, 6, 8}, {200, 270, 18, 19}} {
		p, stock := distuv.Poisson{Lambda: tt.mean}, 0.0
		for p.CDF(stock) < Ratio(tt.short, tt.left, 0) {
			stock++
		}
		require.Equal(t, tt.want, stock)
	}
}

func TestQuantileOfASample(t *testing.T) {
	t.Parallel()
	// ten scenarios: the 10th and the 8th smallest (Kleywegt et al. 2002, arithmetic by hand)
	sample := []float64{14, 16, 17, 18, 18, 19, 21, 22, 25, 30}
	require.Equal(t, 30.0, Quantile(sample, Ratio(12, 0.9, 0)))
	require.Equal(t, 22.0, Quantile(sample, Ratio(3, 0.9, 0)))
	// Snyder & Shen, problem 4.7(b): 1 to 8 with these weights of 20, ratio 2/3
	var weighted []float64
	for value, times := range map[float64]int{1: 5, 2: 1, 3: 2, 4: 4, 5: 3, 6: 2, 7: 2, 8: 1} {
		for range times {
			weighted = append(weighted, value)
		}
	}
	require.Equal(t, 5.0, Quantile(weighted, Ratio(1, 0.5, 0)))
}

// Rate Γ(29, 96) a person and day, four persons, passage lognormal about 18
// days with 0.2; 12 a unit short, 0.9 a unit left: quadrature and 4 million
// draws elsewhere agree.
func TestReserveOfAPassage(t *testing.T) {
	t.Parallel()
	d := Demand{PerDay: 4 * 29.0 / 96, CV: 1 / math.Sqrt(29), Days: 18, LogSD: 0.2}
	q := d.Quantile(Ratio(12, 0.9, 0))
	require.InDelta(t, 31.9367, q, 0.002)
	require.InDelta(t, 22.18938, d.Mean(), 0.002)
	require.InDelta(t, 9.7473, q-d.Mean(), 0.002)
}

// Days alone: quantiles of a lognormal about 18 with 0.2.
func TestReserveOfDaysAlone(t *testing.T) {
	t.Parallel()
	d := Demand{PerDay: 1, Days: 18, LogSD: 0.2}
	for p, want := range map[float64]float64{0.8: 21.2998, 0.9: 23.2588, 0.95: 25.0117} {
		require.InDelta(t, want, d.Quantile(p), 0.0002)
	}
	require.Zero(t, Demand{}.Quantile(0.9))
	require.InDelta(t, 10, Demand{PerDay: 2, Days: 5}.Quantile(0.9), 1e-5)
}

// Newcombe 1998, Statistics in Medicine 17:857–872, table I, method 3; from
// memory.
func TestShareWithItsLimits(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		k, n      int
		low, high float64
	}{{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718}} {
		s := ShareOf(tt.k, tt.n)
		require.InDelta(t, tt.low, s.Low, 5e-5)
		require.InDelta(t, tt.high, s.High, 5e-5)
	}
}

// Common random numbers: the difference in cost between a stock of 26 and of
// 27 against lognormal(ln 20, 0.2), 0.9 left and 12 short, varies more than
// five times as much with draws of their own (Law, Simulation Modeling and
// Analysis; 22 was found elsewhere).
func TestCommonDrawsCompareBetter(t *testing.T) {
	t.Parallel()
	cost := func(stock, use float64) float64 { return 0.9*max(stock-use, 0) + 12*max(use-stock, 0) }
	r := rand.New(rand.NewPCG(7, 7))
	draw := func() float64 { return 20 * math.Exp(0.2*r.NormFloat64()) }
	variance := func(differ func() float64) float64 {
		const n = 20_000
		sum, squares := 0.0, 0.0
		for range n {
			x := differ()
			sum += x
			squares += x * x
		}
		return squares/n - sum*sum/n/n
	}
	own := variance(func() float64 { return cost(26, draw()) - cost(27, draw()) })
	common := variance(func() float64 { u := draw(); return cost(26, u) - cost(27, u) })
	require.Greater(t, own/common, 5.0)
	t.Logf("ratio of variances %.1f", own/common)
}
