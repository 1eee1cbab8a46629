package estimate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"hardtack/pricing/world"
)

// Heard of once, ten steps ago, a level is what a filter makes of that: it
// fades, and what is known of it with it. By hand: variance .04, memory 100
// days, steps of ten, seen at .3 with variance .01.
func TestALevelHeardOfLongAgoFades(t *testing.T) {
	t.Parallel()
	tide := tides{step: 10, memory: 100, height: [][]float64{make([]float64, 11)}, now: make([]float64, 1), slope: make([]float64, 1), tide2: 0.04}
	pull, info := make([]float64, 11), make([]float64, 11)
	pull[10], info[10] = 30, 100
	seen := tide.course(0, pull, info)
	sum, n := tide.smooth(0, &seen)
	require.Equal(t, 1.0, n)
	require.InDelta(t, 0.24*0.24+0.008, sum, 1e-12)
	require.InDelta(t, 0.24, tide.at(0, -100), 1e-12)
	require.InDelta(t, 0.24*math.Exp(-1), tide.at(0, 0), 1e-12)
	require.InDelta(t, 0.24*math.Exp(-0.5), tide.at(0, -50), 1e-12)
	require.InDelta(t, 0.04-math.Exp(-2)*0.032, tide.now[0], 1e-12)
	require.InDelta(t, 0.24*math.Exp(-1.2), tide.ahead(0, 20), 1e-12)

	// Heard of just now it is known as well as that.
	pull, info = make([]float64, 11), make([]float64, 11)
	pull[0], info[0] = 30, 100
	tide.height[0] = make([]float64, 11)
	seen = tide.course(0, pull, info)
	tide.smooth(0, &seen)
	require.InDelta(t, 0.008, tide.now[0], 1e-12)
	require.InDelta(t, 0.24, tide.at(0, 0), 1e-12)
}

// Of three movements at once one knows less than of each.
func TestMovementsAddTheirDoubts(t *testing.T) {
	t.Parallel()
	where := roster{countryOf: []int32{0}, items: 1}
	f := &fit{index: &index{roster: where}}
	f.system.roster = where
	one := func(level, doubt float64) tides {
		return tides{step: 10, memory: 100, height: [][]float64{{level}}, now: []float64{doubt}, slope: make([]float64, 1)}
	}
	f.lands, f.goods, f.offers = one(0.1, 0.01), one(0.2, 0.002), one(-0.05, 0.0003)
	f.offered = []int32{0}
	y, variance := f.moving(0, 0, 0)
	require.InDelta(t, 0.25, y, 1e-12)
	require.InDelta(t, 0.0123, variance, 1e-12)
	require.InDelta(t, 0.25, f.moved(0, 0, 0), 1e-12)
}

// A price that moved for good is found once, where it moved, if two who are
// believed saw it; afterwards the new price is what is expected.
func TestAJumpIsFoundOnce(t *testing.T) {
	t.Parallel()
	f := &fit{}
	f.process = process{cell2: 0.036, noise2: 0.03, memory: 450}
	f.trust = []float64{1, 1, 0.2}
	jumps := func(from int, by float64, who func(k int) int32) (at []int) {
		var own []sight
		var rest []float64
		for k := range 14 {
			own = append(own, sight{day: int32(20 * k), spread: 1, weight: 1, share: 1, reporter: who(k)})
			rest = append(rest, map[bool]float64{true: by}[k >= from])
		}
		f.findJumps(f.process, own, rest, 0.002)
		for k := range own {
			if own[k].jump {
				at = append(at, k)
			}
		}
		return at
	}
	inTurn := func(k int) int32 { return int32(k % 2) }
	for from := 6; from < 10; from++ {
		require.Equal(t, []int{from}, jumps(from, 0.62, inTurn))
		require.Equal(t, []int{from}, jumps(from, -0.62, inTurn))
		require.Empty(t, jumps(from, 0.45, inTurn), "within what prices do")
	}
	require.Empty(t, jumps(8, 0.62, func(int) int32 { return 0 }), "one alone may be mistaken")
	require.Empty(t, jumps(8, 0.62, func(k int) int32 { return 2 * int32(k%2) }), "the other is not believed")
}

// The slope of a course is that of generalised least squares with the
// covariance written out: levels that fade, and what was seen of them.
func TestSlopeOfACourseAgainstTheCovarianceWrittenOut(t *testing.T) {
	t.Parallel()
	tide := tides{step: 30, memory: 200, tide2: 0.02}
	steps, level, spread := []int{40, 25, 12, 11, 3}, []float64{-0.2, 0.1, -0.05, 0.02, 0.15}, []float64{0.01, 0.004, 0.02, 0.01, 0.005}
	c := course{steps: steps, level: level}
	v, x := mat.NewSymDense(5, nil), mat.NewVecDense(5, nil)
	for i, s := range steps {
		c.sights = append(c.sights, sight{day: -int32(s) * tide.step, spread: spread[i], weight: 1})
		x.SetVec(i, -float64(s)*30/365.25)
		for j := range i + 1 {
			v.SetSym(i, j, 0.02*math.Exp(-30*float64(steps[j]-s)/200))
		}
		v.SetSym(i, i, 0.02+spread[i])
	}
	var chol mat.Cholesky
	require.True(t, chol.Factorize(v))
	var vx mat.VecDense
	require.NoError(t, chol.SolveVecTo(&vx, x))
	a, b := tide.trend(&c)
	require.InDelta(t, mat.Dot(x, &vx), a, 1e-9)
	require.InDelta(t, mat.Dot(mat.NewVecDense(5, level), &vx), b, 1e-9)
}

// What the ports of a country say of its level is taken before they were drawn
// towards it.
func TestCountriesAreHeardAsTheirPortsAlone(t *testing.T) {
	t.Parallel()
	where := roster{ports: 2, countries: 1, countryOf: []int32{0, 0}, levels: []float64{0}}
	f := &fit{index: &index{roster: where}}
	f.system.layout = newLayout(where)
	f.prior = f.tree()
	f.theta = make([]float64, f.size)
	f.port2 = 0.02
	seen, own, country := []float64{0.3, 0.1}, []float64{20, 5}, 0.15
	f.theta[f.country] = country
	top, all := 0.0, 0.0
	for p, y := range seen {
		f.theta[f.port+p] = (country/f.port2 + own[p]*y) / (1/f.port2 + own[p])
		w := 1 / (f.port2 + 1/own[p])
		top, all = top+w*y, all+w
	}
	f.doubt = doubt{portInfo: own, countryInfo: []float64{all}}
	level, noise, heard := f.countrySigns()
	require.Equal(t, []int{0}, heard)
	require.InDelta(t, top/all, level[0], 1e-12)
	require.InDelta(t, 1/all, noise[0], 1e-12)
}

// How much countries move is learned from how much they do.
func TestHowMuchCountriesMoveIsLearned(t *testing.T) {
	t.Parallel()
	moves := func(kind string) float64 {
		s := spec(41, 60, 24, 8, 4000)
		s.Truth = world.Kinds()[kind]
		return learn(&invent(s).Input).lands.tide2
	}
	calm, fallen := moves("plain"), moves("devalued")
	require.Less(t, calm, startTide*startTide*1.5)
	require.Greater(t, fallen, 1.5*calm)
}

// Of a group nothing is heard of, the slope is the common one: that of the
// others, and of what prices do in general, as far as each is known.
func TestSlopesHaveACommonOne(t *testing.T) {
	t.Parallel()
	tide := tides{step: 30, memory: 200, tide2: 1e-6, slope2: driftSD * driftSD, height: make([][]float64, 3), slope: make([]float64, 3), now: make([]float64, 3)}
	seen := make([]course, 3)
	for g, slope := range []float64{0.3, 0.1} {
		for s := 36; s >= 0; s-- {
			seen[g].steps = append(seen[g].steps, s)
			seen[g].sights = append(seen[g].sights, sight{day: -int32(s) * tide.step, spread: 1e-6, weight: 1})
			seen[g].level = append(seen[g].level, slope*tide.years(s))
		}
	}
	tide.slopes(seen)
	require.InDelta(t, (0.3+0.1+drift)/3, tide.common, 0.001)
	require.InDelta(t, tide.common, tide.slope[2], 1e-12)
	require.InDelta(t, 0.3, tide.slope[0], 0.001)
}
