package estimate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
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

// A gross error weighs little from the start.
func TestFirstWeightsTameGrossErrors(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	gross := *bought(40, 0.5)
	gross.ID, gross.Reporter = "gross", "u1"
	in.Reports = append(in.Reports, gross)
	f := &fit{index: newIndex(&in)}
	f.standing = pricing.Standing(in.Reports, in.Day)
	f.gather(f.standing)
	f.firstWeights()
	for k := range f.sights {
		o := &f.sights[k]
		if relative := o.weight / f.crowd.weight(o.reporter); f.standing[o.source].ID == "gross" {
			require.Less(t, relative, 0.05)
		} else {
			require.Greater(t, relative, 0.6)
		}
	}
}

// The first port and item have names too.
func TestOutlooksAreNamed(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	m := Fit(in)
	port, item := m.names(&outlook{})
	require.Equal(t, pricing.PortID("CVMIN"), port)
	require.Equal(t, pricing.ItemID("egg"), item)
	port, item = m.names(&outlook{port: -1, item: -1})
	require.Empty(t, string(port)+string(item))
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

// An item without a base price is expected to cost what its category does, of
// a category without any what all do.
func TestItemsWithoutABasePrice(t *testing.T) {
	t.Parallel()
	ix := newIndex(&Input{Items: []Item{
		{ID: "a", Category: "x", BasePrice: 1}, {ID: "b", Category: "x", BasePrice: 4}, {ID: "c", Category: "x"},
		{ID: "d", Category: "y", BasePrice: 32, BaseLogSD: 0.3}, {ID: "e", Category: "z"},
	}})
	require.InDeltaSlice(t, []float64{0, math.Log(4), math.Log(2), math.Log(32), math.Log(128) / 3}, ix.expected, 1e-12)
	require.InDeltaSlice(t, []float64{0.05, 0.05, 0, 0.3, 0}, ix.spread, 1e-12)
	require.True(t, ix.informed)
}

// What cannot be used is counted.
func TestSkippedReportsAreCounted(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	for n, spoil := range []func(r *pricing.Report){
		func(*pricing.Report) {}, func(r *pricing.Report) { r.Port = "nowhere" }, func(r *pricing.Report) { r.Item = "nothing" },
		func(r *pricing.Report) { r.Paid.Currency = "XAU" },
	} {
		r := *bought(1.5, 0.5)
		r.ID = idOf(n)
		spoil(&r)
		in.Reports = append(in.Reports, r)
	}
	m := Fit(in)
	require.Equal(t, 3, m.Skipped())
	require.Equal(t, 1, m.Learned())
}

// What is not known is answered as something somewhere, not as another item or
// port, and the first item is as good as any.
func TestUnknownIDsAreSomethingSomewhere(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 30)
	for n := range 20 { // eggs, the first item, are never there
		r := pricing.Report{ID: idOf(800 + n), Port: "PTHOR", Item: "egg", Day: 95, Found: pricing.FoundNone, Reporter: idOf(n), Source: pricing.Shelf}
		in.Reports = append(in.Reports, r)
	}
	m := Fit(in)
	require.Equal(t, outlook{item: -1, port: -1}, outlook{item: m.look("nowhere", "nothing", 100).item, port: m.look("nowhere", "nothing", 100).port})
	require.Equal(t, m.At("nowhere", "nothing", 100), m.At("elsewhere", "anything", 100))
	require.Equal(t, pricing.BasisGuess, m.At("PTHOR", "nothing", 100).Basis)
	require.Greater(t, m.At("PTHOR", "nothing", 100).LogSD, 2*m.At("PTHOR", "rice", 100).LogSD)
	require.Less(t, m.At("PTPDL", "egg", 100).Available, m.At("PTPDL", "milk", 100).Available-0.1)
	require.Less(t, m.At("nowhere", "egg", 100).Available, m.At("nowhere", "milk", 100).Available-0.1)
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

// Reports held back are told by id, whatever their place or day.
func TestQuestionedReportsAreInTheOrderOfIDs(t *testing.T) {
	t.Parallel()
	in := shop(t, 100)
	priced(&in, 3)
	for n, id := range []string{"c", "a", "d", "b"} {
		r := *bought([]float64{15, 150, 0.15, 1500}[n], 0.5) // none confirms another
		r.ID, r.Reporter, r.Day, r.Port = id, idOf(n), 20*calendar.Day(n+1), in.Ports[n%2].ID
		in.Reports = append(in.Reports, r)
	}
	var ids []string
	for _, q := range Fit(in).Questioned() {
		ids = append(ids, q.Report)
	}
	require.Equal(t, []string{"a", "b", "c", "d"}, ids)
}
