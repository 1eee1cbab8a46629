package estimate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// nile is the yearly flow of the Nile at Aswan, 1871–1970, in 10⁸ m³: the R
// data set Nile.
var nile = [100]float64{
	1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140,
	1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969,
	831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759,
	781, 865, 845, 944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890,
	744, 749, 838, 1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
}

// localLevel is our process with a memory so long that it is a random walk
// with the given variance a day.
func localLevel(observed, walk float64) process {
	const memory = 1e8
	return process{cell2: walk * memory / 2, noise2: observed, memory: memory}
}

func nileSights() (sights []sight, rest []float64) {
	for k, y := range nile {
		sights = append(sights, sight{y: y, day: int32(k), spread: 1, weight: 1})
		rest = append(rest, y)
	}
	return sights, rest
}

// nileLikelihood leaves out the first year, as diffuse starts do.
func nileLikelihood(observed, walk float64) float64 {
	p := localLevel(observed, walk)
	sights, rest := nileSights()
	all := p.smooth(sights, rest, make([]smoothed, len(sights)))
	total := p.cell2 + p.noise2
	first := -0.5 * (math.Log(total) + rest[0]*rest[0]/total)
	return all - first - 99./2*math.Log(2*math.Pi)
}

// LL-NILE-*: Durbin & Koopman, Time Series Analysis by State Space Methods
// (2012) ch. 2: variances 15099 and 1469.1; log likelihood −632.5456 as in
// Commandeur, Koopman & Ooms, J. Stat. Softw. 41 (1) 2011, and R's
// StructTS(Nile, "level"). The last level was worked out for this check.
func TestLocalLevelOfTheNile(t *testing.T) {
	t.Parallel()
	const observed, walk = 15099, 1469.1
	best := nileLikelihood(observed, walk)
	require.InDelta(t, -632.5456, best, 0.001)
	for _, by := range []float64{0.97, 1.03} {
		require.Less(t, nileLikelihood(by*observed, walk), best, "the published values are the likeliest")
		require.Less(t, nileLikelihood(observed, by*walk), best)
	}
	sights, rest := nileSights()
	out := make([]smoothed, len(sights))
	p := localLevel(observed, walk)
	p.smooth(sights, rest, out)
	require.InDelta(t, 798.3703, out[99].mean, 0.01)
	require.InDelta(t, 4032.158, out[99].variance, 0.05)
	// LL-STEADY-GAIN: Harvey 1989, K = (−q+√(q²+4q))/2.
	q := walk / observed
	require.InDelta(t, (-q+math.Sqrt(q*q+4*q))/2, out[99].variance/observed, 1e-5)
	require.InDelta(t, 0.267048, out[99].variance/observed, 1e-5)
}

// DISCOUNT-VS-KALMAN: a forward-decayed mean with discount 1−K is the steady
// state of the filter (West & Harrison 1997 ch. 2; Brown 1963).
func TestDecayedMeanIsTheSteadyFilter(t *testing.T) {
	t.Parallel()
	halfLife := math.Ln2 / -math.Log(1-0.267048) // years
	d := decay{landmark: 80, halfLife: halfLife}
	var s sum
	for k, y := range nile {
		require.True(t, s.add(d, d, int32(k), y/1000, 1, 1))
	}
	require.InDelta(t, 798.37, 1000*s.recent.mean(), 0.2) // the oldest years weigh a little too much
}

// penicillin is the diameter of the zone of inhibition on 24 plates (rows) for
// six samples: the R data set lme4::Penicillin, from Davies & Goldsmith,
// Statistical Methods in Research and Production (1972), table 6.6.
var penicillin = [24][6]float64{
	{27, 23, 26, 23, 23, 21}, {27, 23, 26, 23, 23, 21}, {25, 21, 25, 24, 24, 20}, {26, 23, 25, 23, 23, 20},
	{25, 22, 26, 22, 23, 20}, {24, 22, 25, 23, 22, 19}, {24, 20, 23, 21, 22, 19}, {26, 22, 26, 24, 24, 21},
	{24, 21, 24, 22, 22, 20}, {24, 21, 24, 23, 22, 19}, {26, 23, 26, 24, 24, 21}, {25, 22, 26, 24, 24, 20},
	{26, 24, 26, 24, 25, 22}, {26, 23, 26, 23, 23, 20}, {26, 23, 25, 24, 24, 22}, {25, 22, 25, 23, 23, 20},
	{25, 21, 24, 23, 23, 20}, {25, 22, 24, 23, 23, 19}, {24, 21, 23, 21, 21, 19}, {26, 23, 26, 24, 24, 21},
	{25, 21, 24, 22, 22, 18}, {25, 22, 25, 22, 22, 20}, {24, 21, 24, 22, 24, 19}, {24, 21, 24, 22, 21, 18},
}

// REML-PENICILLIN, BLUP-PENICILLIN-*: variances 0.7169 of plates, 3.7311 of
// samples, 0.3024 of the rest; intercept 22.9722; predicted effects (R, lme4:
// lmer, ranef; Bates, lme4: Mixed-effects modeling with R, 2010, ch. 2). In a
// balanced table the variances follow from the mean squares, which
// ANOVA-PENICILLIN states; ours are worked out so and the effects with them.
func TestPenicillinPlatesAndSamples(t *testing.T) {
	t.Parallel()
	plate2, sample2, rest2 := meanSquares(penicillin[:])
	require.InDelta(t, 0.7169, plate2, 2e-4)
	require.InDelta(t, 3.7311, sample2, 2e-4)
	require.InDelta(t, 0.3024, rest2, 2e-4)

	var data []obs
	for p, row := range penicillin {
		for s, y := range row {
			data = append(data, obs{p + 1, s + 1, y, 1 / rest2})
		}
	}
	s := twoWay(24, 6, 1/sample2, data)
	s.precision[s.category] = 0 // the intercept
	for p := range 24 {
		s.precision[s.item+p] = 1 / plate2
	}
	theta := make([]float64, s.size)
	s.solve(theta, 1e-13)
	require.InDelta(t, 22.9722, theta[s.category], 1e-4)
	require.InDeltaSlice(t, []float64{2.1870584, -1.01047635, 1.93789985, -0.09689499, -0.01384214, -3.00374477}, theta[s.port:s.port+6], 2e-4)
	for plate, want := range map[int]float64{0: 0.80454691, 1: 0.80454691, 6: -1.37551568, 12: 1.42742193} {
		require.InDelta(t, want, s.off(theta, s.item+plate), 2e-4)
	}
}

// meanSquares gives the variances of rows, columns and the rest of a balanced
// table: (MSA−MSE)/columns, (MSB−MSE)/rows, MSE.
func meanSquares(table [][6]float64) (rows, columns, rest float64) {
	a, b := float64(len(table)), 6.0
	all := 0.0
	var column [6]float64
	for _, r := range table {
		for s, y := range r {
			all += y / (a * b)
			column[s] += y / a
		}
	}
	for _, r := range table {
		m := 0.0
		for _, y := range r {
			m += y / b
		}
		rows += b * (m - all) * (m - all) / (a - 1)
		for s, y := range r {
			e := y - m - column[s] + all
			rest += e * e / ((a - 1) * (b - 1))
		}
	}
	for _, c := range column {
		columns += a * (c - all) * (c - all) / (b - 1)
	}
	return (rows - rest) / b, (columns - rest) / a, rest
}

// BLUP-ROBINSON-PEV has the doubts of the sires: √ of the diagonal of the
// inverse equations, here by gonum from the same dense equations as above.
func TestRobinsonsDoubts(t *testing.T) {
	t.Parallel()
	s := twoWay(3, 4, 10, []obs{
		{1, 1, 110, 0}, {1, 4, 100, 0}, {2, 2, 110, 0}, {2, 4, 100, 0}, {2, 4, 100, 0}, {3, 3, 110, 0}, {3, 3, 110, 0}, {3, 4, 100, 0}, {3, 4, 100, 0},
	})
	for k, want := range []float64{0.308912, 0.306717, 0.30265, 0.288552} {
		require.InDelta(t, want, math.Sqrt(inverseDiagonal(t, s, s.port+k)), 1e-6)
	}
}

// inverseDiagonal is of the equations with what is held at zero left out.
func inverseDiagonal(t *testing.T, s *system, k int) float64 {
	t.Helper()
	var free []int
	var all []int32
	at := -1
	for j := range s.size {
		all = append(all, int32(j))
		if math.IsInf(s.precision[j], 1) {
			continue
		}
		if j == k {
			at = len(free)
		}
		free = append(free, j)
	}
	a := mat.NewSymDense(len(free), nil)
	column, out := make([]float64, s.size), make([]float64, s.size)
	for i, j := range free {
		clear(column)
		column[j] = 1
		s.apply(column, out, all)
		for h, g := range free[:i+1] {
			a.SetSym(i, h, out[g])
		}
	}
	var chol mat.Cholesky
	require.True(t, chol.Factorize(a))
	var inverse mat.SymDense
	require.NoError(t, chol.InverseTo(&inverse))
	return inverse.At(at, at)
}

// NORMAL-NORMAL: prior N(.5, .04), one observation .8 of variance .01 (BDA3
// eq. 2.10), as the filter takes it.
func TestNormalUpdate(t *testing.T) {
	t.Parallel()
	p := process{cell2: 0.04, noise2: 0.01, memory: 1}
	out := make([]smoothed, 1)
	p.smooth([]sight{{spread: 1, weight: 1}}, []float64{0.8 - 0.5}, out)
	require.InDelta(t, 0.74, 0.5+out[0].mean, 1e-12)
	require.InDelta(t, 0.008, out[0].variance, 1e-12)
}

// A variance is found again from effects drawn with it, whatever it was
// thought to be.
func TestLikeliestVariance(t *testing.T) {
	t.Parallel()
	var s spread
	for k := range 4000 {
		// Quantiles of a normal distribution of variance .04+.01.
		u := (float64(k) + 0.5) / 4000
		s.seen = append(s.seen, math.Sqrt(0.05)*normalQuantile(u))
		s.noise = append(s.noise, 0.01)
	}
	require.InEpsilon(t, 0.04, s.likeliest(0.5, 0.04), 0.01)
	require.InEpsilon(t, 0.04, s.likeliest(0.0001, 0.04), 0.01)
}

// Six batches of five of dyestuff about a mean of 1527.5, with a variance of
// 2451.25 within: the likeliest variance between is 1388.33 (Bates, lme4:
// Mixed-effects modeling with R, 2010, ch. 1, from memory; REML's 1764, which
// reckons with the mean having been learned, is not what we look for).
func TestVarianceOfDyestuffBatches(t *testing.T) {
	t.Parallel()
	const want, noise = 1388.33, 2451.25 / 5
	learned := func(now, start float64) float64 {
		var s spread
		for _, mean := range []float64{1505, 1528, 1564, 1498, 1600, 1470} {
			s.add((mean-1527.5)/(1+noise/now), 1/noise, now)
		}
		return s.likeliest(now, start)
	}
	for _, now := range []float64{300, 1500, 9000} { // wherever learning begins
		require.InEpsilon(t, want, learned(now, want), 1e-4)
	}
	require.Greater(t, learned(1500, 2*want), 1.1*want, "what is thought beforehand counts as so many batches")
}

func normalQuantile(u float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*u) }

// HUBER-CHEM: copper in wholemeal flour, 24 determinations, k = 1.5 (Analytical
// Methods Committee, The Analyst 114, 1989, 1693–1702; R, MASS::huber(chem)).
func TestHuberOnCopperInFlour(t *testing.T) {
	t.Parallel()
	location, scale := huber([]float64{
		2.2, 2.2, 2.4, 2.4, 2.5, 2.7, 2.8, 2.9, 3.03, 3.03, 3.1, 3.37, 3.4, 3.4, 3.4, 3.5, 3.6, 3.7, 3.7, 3.7, 3.7, 3.77, 5.28, 28.95,
	})
	require.InDelta(t, 3.206724, location, 1e-5)
	require.InDelta(t, 0.526323, scale, 1e-5)
	location, scale = huber([]float64{7, 9, 7, 7})
	require.Equal(t, [2]float64{7, 0}, [2]float64{location, scale})
}

// ESD-*: the 54 values of Rosner, Technometrics 25 (1983), as the NIST/SEMATECH
// e-Handbook of Statistical Methods, 1.3.5.17.3, works them out (from memory):
// three outliers, though the first two do not pass alone.
func TestRosnersOutliers(t *testing.T) {
	t.Parallel()
	x := []float64{
		-0.25, 0.68, 0.94, 1.15, 1.20, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58, 1.65, 1.69, 1.70, 1.76, 1.77, 1.81, 1.91, 1.94,
		1.96, 1.99, 2.06, 2.09, 2.10, 2.14, 2.15, 2.23, 2.24, 2.26, 2.35, 2.37, 2.40, 2.47, 2.54, 2.62, 2.64, 2.90, 2.92, 2.92, 2.93, 3.21, 3.26,
		3.30, 3.59, 3.68, 4.30, 4.64, 5.34, 5.42, 6.01,
	}
	steps, outliers := extremesOf(x, 10, 0.05)
	var r, critical []float64
	for _, s := range steps {
		r, critical = append(r, s.r), append(critical, s.critical)
	}
	require.InDeltaSlice(t, []float64{3.118, 2.942, 3.179, 2.81, 2.815, 2.848, 2.279, 2.31, 2.101, 2.067}, r, 0.0011)
	require.InDeltaSlice(t, []float64{3.158, 3.151, 3.143, 3.136, 3.128, 3.12, 3.111, 3.103, 3.094, 3.085}, critical, 0.0011)
	require.Equal(t, 3, outliers)
	require.Equal(t, []int{53, 52, 51}, []int{steps[0].at, steps[1].at, steps[2].at})
	_, outliers = extremesOf([]float64{1, 1, 1, 1}, 2, 0.05)
	require.Zero(t, outliers)
	steps, _ = extremesOf([]float64{1, 2, 9}, 5, 0.05)
	require.Len(t, steps, 1)
}
