package usage

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// A made-up crew: its own rate, far from the list's or near it, and passages
// that differ. Drawn from lognormals, which are not what the learner assumes.
type crew struct {
	rate  float64 // true, units a person-day
	trips []Trip
	next  []Trip // what would be used on each passage if there were always enough
}

const (
	crews    = 500
	voyages  = 4
	listRate = 0.4
	crewCV   = 0.45 // as the list says crews differ
)

func lognormal(r *rand.Rand, mean, cv float64) float64 {
	s := math.Sqrt(math.Log(1 + cv*cv))
	return mean * math.Exp(s*r.NormFloat64()-s*s/2)
}

// sail makes a crew and its passages: bought by the list with a tenth to
// spare, so that the hungry run out and nobody sees what they would have eaten.
func sail(seed uint64) crew {
	r := rand.New(rand.NewPCG(seed, 5))
	c := crew{rate: lognormal(r, listRate, crewCV)}
	for range voyages + 1 {
		days := float64(2+r.IntN(4)) * (8 + 20*r.Float64())
		wanted := lognormal(r, c.rate, 0.22) * days
		wanted = max(0, wanted+math.Sqrt(wanted*listRate)*r.NormFloat64()) // meals are lumpy
		bought := listRate * days * 1.1
		t := Trip{Used: wanted, PersonDays: days}
		if wanted >= bought {
			t.Used, t.RanOut = bought, true
		}
		c.trips = append(c.trips, t)
		c.next = append(c.next, Trip{Used: wanted, PersonDays: days})
	}
	return c
}

// crps is the continuous ranked probability score of an ensemble, sorted
// (Gneiting & Raftery 2007, JASA 102:359–378, equation 20): lower is better, in
// the unit of what is forecast; of a single number it is the absolute error.
func crps(ensemble []float64, y float64) float64 {
	n := float64(len(ensemble))
	sum, spread := 0.0, 0.0
	for k, x := range ensemble {
		sum += math.Abs(x - y)
		spread += (2*float64(k) - n + 1) * x // Σ|x−x'|/2 of a sorted sample
	}
	return sum/n - spread/(n*n)
}

// The score itself: CRPS-ENS of checks-methods, {1, 2, 4} at 2.5 gives 0.5
// (Gneiting & Raftery 2007, arithmetic).
func TestCRPS(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 0.5, crps([]float64{1, 2, 4}, 2.5), 1e-9)
	require.InDelta(t, 2, crps([]float64{3}, 5), 1e-12)
}

// spread is a forecast as an ensemble: a lognormal of the mean and standard
// deviation given.
func spread(mean, sd float64) []float64 {
	s := math.Sqrt(math.Log(1 + math.Pow(sd/mean, 2)))
	out := make([]float64, 51)
	for k := range out {
		z := math.Sqrt2 * math.Erfinv(2*(float64(k)+0.5)/51-1)
		out[k] = mean * math.Exp(s*z-s*s/2)
	}
	return out
}

// curve is how well the passage after so many counted ones is foreseen, mean
// over the crews, as a share of the mean use.
type curve struct {
	known                 float64 // proper score of who knows the true rate: what passages differ by
	learned, list, last   float64 // proper score; list and last with the spread such forecasts have
	listRaw, lastRaw      float64 // as bare numbers: absolute error
	error, within20, pm80 float64 // of the learned rate: mean absolute error; share within a fifth; share of true rates in the 80 % interval
}

func curveAfter(n int, all []crew) curve {
	var c curve
	scale := 0.0
	for _, w := range all {
		b := Learn(ListPrior(listRate, crewCV, false, false), w.trips[:n])
		truth, days := w.next[n].Used, w.next[n].PersonDays
		scale += truth
		c.known += crps(spread(w.rate*days, w.rate*days*0.25), truth)
		c.learned += crps(spread(b.Forecast(days)), truth)
		list := listRate * days
		c.list += crps(spread(list, list*0.5), truth) // crews and passages: √(0.45² + 0.22²)
		c.listRaw += math.Abs(list - truth)
		last := list
		if n > 0 {
			last = w.trips[n-1].Used / w.trips[n-1].PersonDays * days
		}
		c.last += crps(spread(max(last, 1e-3), max(last, 1e-3)*0.35), truth) // two passages: √2 · 0.25
		c.lastRaw += math.Abs(last - truth)
		c.error += math.Abs(b.Mean()/w.rate-1) / float64(len(all))
		if math.Abs(b.Mean()/w.rate-1) <= 0.2 {
			c.within20 += 1 / float64(len(all))
		}
		if low, high := b.Interval(0.8); low <= w.rate && w.rate <= high {
			c.pm80 += 1 / float64(len(all))
		}
	}
	for _, x := range []*float64{&c.known, &c.learned, &c.list, &c.last, &c.listRaw, &c.lastRaw} {
		*x /= scale
	}
	return c
}

// 500 crews over four passages: what is learned foresees the next passage
// better than the raw list and the raw last trip, and a list is accurate after
// about four (common practice, no source). Run with -v for the curve.
func TestLearningCurve(t *testing.T) {
	t.Parallel()
	var all []crew
	for seed := range uint64(crews) {
		all = append(all, sail(seed))
	}
	ranOut := 0
	for _, c := range all {
		if slices.ContainsFunc(c.trips, func(t Trip) bool { return t.RanOut }) {
			ranOut++
		}
	}
	t.Logf("%d crews, %d of which ran out at least once", crews, ranOut)
	t.Logf("| passages counted | rate known (CRPS) | learned | list | last trip | list, bare | last trip, bare | error of the rate | within 20 %% | 80 %% interval covers |")
	var curves []curve
	for n := range voyages + 1 {
		c := curveAfter(n, all)
		curves = append(curves, c)
		t.Logf("| %d | %.3f | %.3f | %.3f | %.3f | %.3f | %.3f | %.0f %% | %.0f %% | %.0f %% |",
			n, c.known, c.learned, c.list, c.last, c.listRaw, c.lastRaw, 100*c.error, 100*c.within20, 100*c.pm80)
	}
	for n, c := range curves[1:] {
		require.Less(t, c.learned, 0.95*c.list, "after %d passages", n+1)
		require.Less(t, c.learned, 0.95*c.last, "after %d passages", n+1)
		require.Less(t, c.learned, c.listRaw)
		require.Less(t, c.learned, c.lastRaw)
		require.Less(t, c.error, curves[n].error, "another passage teaches something")
		require.InDelta(t, 0.80, c.pm80, 0.03, "after %d passages", n+1)
	}
	require.Less(t, curves[voyages].error, 0.15)
	require.Greater(t, curves[voyages].within20, 0.75)
}

// Taking a run-out for a count under-stocks those who run out.
func TestRunOutsAreNotCounts(t *testing.T) {
	t.Parallel()
	ours, naive, n := 0.0, 0.0, 0.0
	for seed := range uint64(crews) {
		c := sail(seed)
		trips := slices.Clone(c.trips[:voyages])
		if !slices.ContainsFunc(trips, func(t Trip) bool { return t.RanOut }) {
			continue
		}
		p := ListPrior(listRate, crewCV, false, false)
		ours += Learn(p, trips).Mean() / c.rate
		for k := range trips {
			trips[k].RanOut = false
		}
		naive += Learn(p, trips).Mean() / c.rate
		n++
	}
	t.Logf("mean of learned over true rate among the %.0f that ran out: %.2f, taken as counts %.2f", n, ours/n, naive/n)
	require.Greater(t, n, 50.0)
	require.InDelta(t, 1, ours/n, 0.06)
	require.Less(t, naive/n, 0.92)
}
