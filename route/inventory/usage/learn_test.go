package usage

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// poisson learns with no spread between passages, as the textbooks do.
func poisson(p Prior, trips ...Trip) Belief { return learn(p, trips, []float64{0}, []float64{1}) }

func single(shape, exposure float64) Prior {
	return Prior{Unit: 1, Of: []Component{{Weight: 1, Gamma: Gamma{shape, exposure}}}}
}

// Worked examples of the Gamma–Poisson model, with their source and evidence.
func TestPublishedRates(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name, source, evidence string
		prior                  Prior
		trip                   Trip
		mean, above1           float64
		tolerance              float64
	}{
		{"GAMMA-ASTHMA-1", "Gelman et al., BDA3 section 2.6", "from memory", single(3, 5), Trip{Used: 3, PersonDays: 2}, 0.86, 0.30, 0.006},
		{"GAMMA-ASTHMA-10", "Gelman et al., BDA3 section 2.6", "from memory", single(3, 5), Trip{Used: 30, PersonDays: 20}, 1.32, 0.93, 0.006},
		{"GAMMA-ASTHMA-4D, the first", "recomputed", "own", single(3, 5), Trip{Used: 3, PersonDays: 2}, 0.857143, 0.300708, 1e-6},
		{"GAMMA-ASTHMA-4D, the second", "recomputed", "own", single(3, 5), Trip{Used: 30, PersonDays: 20}, 1.32, 0.928544, 1e-6},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			b := poisson(tt.prior, tt.trip)
			require.InDelta(t, tt.mean, b.Mean(), tt.tolerance)
			require.InDelta(t, tt.above1, b.Rate.Above(1), tt.tolerance)
		})
	}
	t.Run("GAMMA-ASTHMA-4D, 90 % interval (own)", func(t *testing.T) {
		t.Parallel()
		b := poisson(single(3, 5), Trip{Used: 30, PersonDays: 20})
		require.InDelta(t, 0.966108, b.Rate.Quantile(0.05), 1e-6)
		require.InDelta(t, 1.719298, b.Rate.Quantile(0.95), 1e-6)
		low, high := b.Interval(0.9)
		require.InDelta(t, 0.966108, low, 4e-3, "by the grid")
		require.InDelta(t, 1.719298, high, 4e-3)
	})
	t.Run("gp_mean: prior 8 in 40 person-days, 30 used in 100 (derived)", func(t *testing.T) {
		t.Parallel()
		require.InDelta(t, 0.27143, poisson(single(8, 40), Trip{Used: 30, PersonDays: 100}).Mean(), 1e-5)
	})
}

// CONS-TRIP and CONS-PRED: a list of 0.25 a person-day worth 40 person-days,
// 24 bought and 5 left after 4 people's 14 days (own computation).
func TestATripCounted(t *testing.T) {
	t.Parallel()
	b := poisson(single(10, 40), Trip{Used: 24 - 5, PersonDays: 4 * 14})
	require.InDelta(t, 0.302083, b.Mean(), 1e-6)
	low, high := b.Interval(0.8)
	require.InDelta(t, 0.232792, low, 1e-3)
	require.InDelta(t, 0.375833, high, 1e-3)
	mean, sd := b.Forecast(80)
	require.InDelta(t, 24.166667, mean, 1e-5)
	require.InDelta(t, 6.656242, sd, 1e-5)
	require.InDelta(t, 36, b.Enough(80, 0.95), 1e-9)
}

// CONS-CENSORED: 12 bought and nothing left over 56 person-days is 12 or more,
// not 12; taking it for 12 would stock a fifth too little (own quadrature).
func TestARunOutSaysAtLeast(t *testing.T) {
	t.Parallel()
	ranOut := poisson(single(10, 40), Trip{Used: 12, PersonDays: 56, RanOut: true})
	naive := poisson(single(10, 40), Trip{Used: 12, PersonDays: 56})
	require.InDelta(t, 0.28407, ranOut.Mean(), 2e-5)
	require.InDelta(t, 0.22917, naive.Mean(), 2e-5)
}

// GAMMA-MIX-JETER: J. Albert, LearnBayes, poisson.gamma.mix: the prior .88
// Gamma(10, 193.5) + .12 Gamma(.2, .415), 23 events in 643 (prior and CDF read
// on the author's page, weights by the package's formula).
func TestAListForTwoKindsOfCrew(t *testing.T) {
	t.Parallel()
	prior := Prior{Unit: 1, Of: []Component{{Weight: 0.88, Gamma: Gamma{10, 193.5}}, {Weight: 0.12, Gamma: Gamma{0.2, 0.415}}}}
	b := poisson(prior, Trip{Used: 23, PersonDays: 643})
	require.InDelta(t, 0.98150453, b.Kinds[0], 1e-8)
	require.InDelta(t, 0.01849547, b.Kinds[1], 1e-8)
	require.InDelta(t, 0.03938734, b.Mean(), 1e-8)
	single := Gamma{6, 113.5}
	require.InDelta(t, 0.5008145, 1-single.Above(0.05), 1e-6)
	require.InDelta(t, 0.8955648, 1-single.Above(0.081), 1e-6)
	mix := func(x float64) float64 {
		sum := 0.0
		for _, c := range prior.Of {
			sum += c.Weight * (1 - c.Above(x))
		}
		return sum
	}
	require.InDelta(t, 0.5007136, mix(0.05), 1e-6)
	require.InDelta(t, 0.9012596, mix(0.081), 1e-6)
}

// The tail of the negative binomial against its sum, term by term.
func TestTailIsTheSum(t *testing.T) {
	t.Parallel()
	for _, cv := range []float64{0, 0.2, 0.7} {
		sum := 0.0
		for n := range 12 {
			sum += math.Exp(hear(Trip{Used: float64(n), PersonDays: 56}, cv, 1, 1).logLikelihood(0.25))
			require.InDelta(t, 1-sum, atLeast(float64(n+1), 14, sizeOf(cv)), 1e-9, "n %d, spread %g", n+1, cv)
		}
	}
}

func TestOldPassagesCountLess(t *testing.T) {
	t.Parallel()
	p := ListPrior(0.4, 0.3, false, false)
	require.InDelta(t, 0.5, p.weight(Trip{AgeDays: 2 * 365.25}), 1e-12)
	require.InDelta(t, 0.25, p.weight(Trip{AgeDays: 2 * 365.25, Guessed: true}), 1e-12)
	fresh := Learn(p, []Trip{{Used: 12, PersonDays: 60}})
	old := Learn(p, []Trip{{Used: 12, PersonDays: 60, AgeDays: 3000}})
	require.Less(t, fresh.Mean(), old.Mean())
	require.Less(t, fresh.SD(), old.SD())
}

func TestWhatNobodyTouchesIsHardlyUsed(t *testing.T) {
	t.Parallel()
	b := Learn(ListPrior(0.4, 0.5, true, true), []Trip{{Used: 0, PersonDays: 60}, {Used: 1, PersonDays: 60}})
	require.Greater(t, b.Kinds[1], 0.9)
	require.Less(t, b.Mean(), 0.06)
}

// Laws of learning, whatever the list and the passages.
func TestLearningLaws(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.Float64Range(0.005, 5).Draw(t, "list")
		p := ListPrior(rate, rapid.Float64Range(0.2, 0.8).Draw(t, "spread"), rapid.Bool().Draw(t, "choice"), rapid.Bool().Draw(t, "pieces"))
		var trips []Trip
		for range rapid.IntRange(0, 4).Draw(t, "trips") {
			days := rapid.Float64Range(5, 200).Draw(t, "person-days")
			trips = append(trips, Trip{
				Used: rate * days * rapid.Float64Range(0.05, 4).Draw(t, "times the list"), PersonDays: days, RanOut: rapid.Bool().Draw(t, "ran out"),
			})
		}
		b := Learn(p, trips)
		require.False(t, math.IsNaN(b.Mean()) || math.IsInf(b.Mean(), 0))
		require.Positive(t, b.Mean())
		sum := 0.0
		for _, s := range b.Weights {
			sum += s.Weight
		}
		require.InDelta(t, 1, sum, 1e-9)
		low, high := b.Interval(0.8)
		require.LessOrEqual(t, low, b.Mean()*1.3)
		require.LessOrEqual(t, low, high)
		require.LessOrEqual(t, b.Enough(50, 0.5), b.Enough(50, 0.9)+1e-9)
		if len(trips) == 0 {
			return
		}
		// With the spread between passages known, the rate rises with what was
		// used, and the more if that was all there was.
		fixed := func() float64 { return learn(p, trips, []float64{0.2}, []float64{1}).Mean() }
		trips[0].RanOut = false
		counted := fixed()
		trips[0].RanOut = true
		require.GreaterOrEqual(t, fixed(), counted-1e-9, "a run-out never lowers a rate")
		trips[0].RanOut = false
		trips[0].Used *= 1.5
		require.GreaterOrEqual(t, fixed(), counted-1e-9, "who used more needs more")
	})
}

func TestNothingKnownIsNothingUsed(t *testing.T) {
	t.Parallel()
	b := Learn(ListPrior(0, 0.5, false, false), []Trip{{Used: 3, PersonDays: 10}})
	require.Zero(t, b.Mean())
	require.Zero(t, b.SD())
	require.Zero(t, b.Enough(10, 0.9))
	low, high := b.Interval(0.8)
	require.Zero(t, low+high)
	empty := Learn(ListPrior(0.4, 0.3, false, false), nil)
	require.InDelta(t, 0.4, empty.Mean(), 1e-3, "without a trip the list stands")
	require.InDelta(t, 0.12, empty.SD(), 1e-3)
}
