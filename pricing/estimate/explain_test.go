package estimate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The pulls multiply to what is expected, and the reports' shares make up the
// rest: an estimate can be worked out again by hand from its explanation.
func TestAnExplanationAddsUp(t *testing.T) {
	t.Parallel()
	w := invent(spec(31, 60, 20, 6, 2500))
	m := Fit(w.Input)
	seen := 0
	for _, k := range w.known {
		e := m.Explain(k.Port, k.Item)
		product := 1.0
		for _, p := range e.Pulls {
			product *= p.Factor
		}
		require.InEpsilon(t, e.Expected, product, 1e-9)
		require.Less(t, e.DoubtThen, e.DoubtNow)
		log, share, words := math.Log(e.Expected), 0.0, false
		for _, r := range e.Reports {
			require.GreaterOrEqual(t, r.Weight, 0.0)
			words = words || r.Price == 0
			if r.Price > 0 {
				share += r.Weight
				log += r.Weight * (math.Log(r.Price) - math.Log(e.Expected))
			}
		}
		if words || len(e.Reports) == 0 {
			continue // a word speaks of the deviation, not of a price
		}
		seen++
		require.InDelta(t, e.Own, share, 1e-9)
		require.InDelta(t, math.Log(e.Estimate.Price), log, 1e-6)
	}
	require.Greater(t, seen, 100)
}

func TestAnExplanationSaysWhatWeakensAReport(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	slip := *bought(15, 0.5)
	slip.ID, slip.Day, slip.Reporter = "slip", 99, "z"
	in.Reports = append(in.Reports, slip)
	e := Fit(in).Explain("PTHOR", "rice")
	last := e.Reports[len(e.Reports)-1]
	require.Equal(t, "slip", last.Report)
	require.Zero(t, last.Weight)
	require.Contains(t, last.Why, "slip")
	require.Greater(t, e.Own, 0.5)
	nobody := Fit(in).Explain("nowhere", "rice")
	require.Empty(t, nobody.Reports)
	require.Positive(t, nobody.Expected)
}
