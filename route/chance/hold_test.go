package chance

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Where use is known, the needed stock reaches to the first port by which the
// product of the chances of finding nothing is small enough: by hand.
func TestHoldReachesThePortItIsFoundAt(t *testing.T) {
	t.Parallel()
	ahead := []Shelf{{Found: 0.9, Mean: 5}, {Found: 0.9, Mean: 12}, {Found: 0.9, Mean: 20}}
	rest := Shelf{Mean: 33}
	for allowed, want := range map[float64]float64{0.2: 5, 0.05: 12, 0.005: 20, 0.0005: 33} {
		require.InDelta(t, want, Hold(ahead, rest, allowed), 1e-4)
	}
	require.Zero(t, Hold(nil, Shelf{}, 0.1))
}

// With the next port certain it is a quantile. Rate Γ(29, 96) a person and
// day, four persons, a passage lognormal about 18 days with 0.2, critical ratio
// 0.93023256: 31.937 by quadrature and by four million draws elsewhere; the
// lognormal of the same mean and variance comes within a thousandth.
func TestHoldIsAQuantile(t *testing.T) {
	t.Parallel()
	days := math.Exp(0.04) - 1
	cv := math.Sqrt((1+1.0/29)*(1+days) - 1)
	d := Shelf{Found: 1, Mean: 22.18938, CV: cv}
	require.InEpsilon(t, 31.937, Hold([]Shelf{d}, Shelf{}, 1-0.93023256), 0.001)
	// days alone: 18·exp(0.2·z), z(0.95) = 1.644854: 25.0117
	require.InDelta(t, 25.0117, Hold([]Shelf{{Found: 1, Mean: 18 * math.Exp(0.02), CV: math.Sqrt(days)}}, Shelf{}, 0.05), 1e-3)
}

// The stock runs out as often as allowed, walked 200,000 times.
func TestHoldRunsOutAsOftenAsAllowed(t *testing.T) {
	t.Parallel()
	ahead := []Shelf{{0.8, 6, 0.3}, {0.7, 14, 0.25}, {0.9, 20, 0.25}}
	rest := Shelf{Mean: 40, CV: 0.2}
	const allowed, n = 0.02, 200_000
	stock := Hold(ahead, rest, allowed)
	r, out := rand.New(rand.NewPCG(3, 1)), 0
	for range n {
		x := rest
		for _, a := range ahead {
			if r.Float64() < a.Found {
				x = a
				break
			}
		}
		s := math.Sqrt(math.Log1p(x.CV * x.CV))
		if x.Mean*math.Exp(s*r.NormFloat64()-s*s/2) > stock {
			out++
		}
	}
	require.InDelta(t, allowed, float64(out)/n, 4*math.Sqrt(allowed/n))
}

// Less allowed, a surer shelf, a thirstier crew: never the wrong way.
func TestHoldGoesTheRightWay(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		share, mean, use := rapid.Float64Range(0.05, 1), 0.0, rapid.Float64Range(0.1, 20)
		var ahead, surer, thirstier []Shelf
		cv := rapid.Float64Range(0, 0.8).Draw(t, "cv")
		for range rapid.IntRange(0, 5).Draw(t, "ports") {
			mean += use.Draw(t, "use")
			x := Shelf{share.Draw(t, "found"), mean, cv}
			ahead = append(ahead, x)
			surer = append(surer, Shelf{1 - (1-x.Found)/2, x.Mean, cv})
			thirstier = append(thirstier, Shelf{x.Found, 1.3 * x.Mean, cv})
		}
		rest := Shelf{Mean: mean + use.Draw(t, "use"), CV: cv}
		allowed := rapid.Float64Range(0.001, 0.4).Draw(t, "allowed")
		x := Hold(ahead, rest, allowed)
		require.GreaterOrEqual(t, Hold(ahead, rest, allowed/2), x*(1-1e-5))
		require.LessOrEqual(t, Hold(surer, rest, allowed), x*(1+1e-5))
		require.InEpsilon(t, 1.3*x, Hold(thirstier, Shelf{Mean: 1.3 * rest.Mean, CV: cv}, allowed), 1e-4)
	})
}

// Two more visits in vain with a belief of Beta(5, 2): B(5, 4)/B(5, 2) = 6/56,
// by hand; hardly known, one look tells all; well known, looks are their own.
func TestMissedTwice(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 6.0/56, Missed(5.0/7, 7, 2), 1e-9)
	require.InDelta(t, 0.2, Missed(0.8, 1e-9, 5), 1e-6)
	require.InDelta(t, math.Pow(0.2, 5), Missed(0.8, 1e9, 5), 1e-6)
	require.Equal(t, 1.0, Missed(0.8, 3, 0))
	require.Zero(t, Missed(1, 3, 1))
}
