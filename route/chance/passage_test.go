package chance

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// Prior 0, 4, 3, 0.12; passages 0.10, 0.25, −0.05 in the logarithm: the
// posterior by the formulas of Bayesian Data Analysis (3rd ed., 3.3, from
// memory), computed elsewhere, a simulation agreeing.
func TestPassagesTeach(t *testing.T) {
	t.Parallel()
	l := Lengths{Weight: 4, Shape: 3, Scale: 0.12}.Learn(0.10, 0.25, -0.05)
	require.InDelta(t, 0.04285714, l.Mean, 1e-8)
	require.Equal(t, 7.0, l.Weight)
	require.Equal(t, 4.5, l.Shape)
	require.InDelta(t, 0.15107143, l.Scale, 1e-8)
	require.InDelta(t, 0.19587585, l.Spread(), 1e-8)
	require.InDelta(t, 1.36855997, l.Factor(0.9), 1e-7)
	// one at a time comes to the same
	one := Lengths{Weight: 4, Shape: 3, Scale: 0.12}.Learn(0.10).Learn(0.25).Learn(-0.05)
	require.InDelta(t, l.Scale, one.Scale, 1e-12)
	require.Equal(t, l, l.Learn())
}

// Nothing logged is the usual; many passages tell the truth.
func TestPassagesComeToTheTruth(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 0.2, UsualLengths(0.2).Spread(), 1e-12)
	r, logs := rand.New(rand.NewPCG(5, 5)), []float64{}
	for range 400 {
		logs = append(logs, 0.15+0.1*r.NormFloat64())
	}
	l := UsualLengths(0.2).Learn(logs...)
	require.InDelta(t, 0.15, l.Mean, 4*0.1/math.Sqrt(400))
	require.InDelta(t, 0.1, l.Spread(), 0.02)
	require.InDelta(t, math.Exp(0.15+1.2816*0.1), l.Factor(0.9), 0.03)
}
