package estimate

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// tried is how well the model and the simple habits know an invented world.
type tried struct {
	all, seen, cold [1 + 4]score // the model first
	by              [strata][1 + 4]score
	inside, count   [strata]float64
}

// try asks for every pair, and draws one honest receipt of each to see whether
// it lies in the interval.
func try(m *Model, w *invented) tried {
	var out tried
	h := newHabits(&w.Input)
	r := rand.New(rand.NewPCG(99, uint64(len(w.Reports))))
	for p := range w.Ports {
		for i := range w.Items {
			truth := w.truth[[2]int{p, i}]
			port, item := w.Ports[p].ID, w.Items[i].ID
			e := m.At(port, item, w.Day)
			guesses := append([]float64{math.Log(e.Price)}, h.guess(port, item)...)
			_, seen := h.last[[2]string{string(port), string(item)}]
			o := m.look(port, item, w.Day)
			s := m.stratum(&o)
			for k, g := range guesses {
				out.by[s][k].add(g - truth)
				out.all[k].add(g - truth)
				if seen {
					out.seen[k].add(g - truth)
				} else {
					out.cold[k].add(g - truth)
				}
			}
			receipt := math.Exp(truth + 0.17*student4(r))
			out.count[s]++
			if e.Low80 <= receipt && receipt <= e.High80 {
				out.inside[s]++
			}
		}
	}
	return out
}

// best is the smallest error of the simple habits.
func best(s [1 + 4]score) float64 {
	out := math.Inf(1)
	for _, x := range s[1:] {
		out = min(out, x.rmse())
	}
	return out
}

// The margins were reached by a model of this kind in a world of this kind:
// at least 10 % below the best simple habit over all pairs, 20 % on pairs with
// reports; four fifths of honest receipts inside the interval.
func TestTheModelBeatsSimpleHabits(t *testing.T) {
	t.Parallel()
	var inside, count [strata]float64
	for seed := range uint64(4) {
		w := invent(seed, worldSize{items: 120, categories: 8, ports: 36, countries: 12, reporters: 70, reports: 4000, slips: 0.03})
		got := try(Fit(w.Input), w)
		require.Less(t, got.all[0].rmse(), 0.9*best(got.all), "world %d", seed)
		require.Less(t, got.seen[0].rmse(), 0.8*best(got.seen), "world %d", seed)
		require.Less(t, got.cold[0].rmse(), 0.9*best(got.cold), "world %d", seed)
		for s := range strata {
			inside[s] += got.inside[s]
			count[s] += got.count[s]
		}
	}
	// The ports of one world err together, so one world alone may be further off.
	require.InDelta(t, 0.8, inside[seenCell]/count[seenCell], 0.04)
	require.InDelta(t, 0.8, inside[seenPort]/count[seenPort], 0.04)
}

// Reporters who lie, by 1.5 to 10: of all pairs, 95 in 100 shift by less than
// the bound against the same world with the truth told.
func TestLiarsMoveLittle(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name  string
		lie   func(*worldSize)
		bound float64
	}{
		{"two in ten always add the same", func(z *worldSize) { z.liars = 0.2 }, 0.08},
		{"one in ten lies differently every time", func(z *worldSize) { z.liars, z.wild = 0.1, true }, 0.10},
		{"two in ten reports from new accounts", func(z *worldSize) { z.swarm = 0.2 }, 0.12},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			z := worldSize{items: 100, categories: 6, ports: 25, countries: 9, reporters: 80, reports: 3500}
			tt.lie(&z)
			lied := invent(1, z)
			z.tame = true
			honest := invent(1, z)
			require.Less(t, shift(lied, honest, 0.95), tt.bound)
		})
	}
}

// shift is a quantile of how far the estimates of two worlds are apart.
func shift(a, b *invented, quantile float64) float64 {
	x, y := Fit(a.Input), Fit(b.Input)
	var shifts []float64
	for _, p := range a.Ports {
		for _, i := range a.Items {
			shifts = append(shifts, math.Abs(math.Log(x.At(p.ID, i.ID, a.Day).Price/y.At(p.ID, i.ID, a.Day).Price)))
		}
	}
	slices.Sort(shifts)
	return shifts[int(quantile*float64(len(shifts)))]
}

// A thousand reports of one account from one place on a few days move its cell
// no more than one does.
func TestAThousandReportsOfOneMoveNoMoreThanOne(t *testing.T) {
	t.Parallel()
	moved := func(n int) float64 {
		in := shop(t, 100)
		priced(&in, 3)
		before := Fit(in).At("PTHOR", "rice", 100).Price
		for k := range n {
			r := *bought(1.8, 0.5)
			r.ID, r.Reporter, r.Day = idOf(1000+k), "flood", 99
			in.Reports = append(in.Reports, r)
		}
		return math.Log(Fit(in).At("PTHOR", "rice", 100).Price / before)
	}
	one, many := moved(1), moved(1000)
	require.Greater(t, one, 0.0)
	require.Less(t, many, one+0.01)
}

// Four fifths of the slips are of a factor of 5 or more.
func TestMostSlipsAreCaught(t *testing.T) {
	t.Parallel()
	w := invent(2, worldSize{items: 120, categories: 8, ports: 36, countries: 12, reporters: 70, reports: 4000, slips: 0.03})
	held := map[string]bool{}
	honest := 0.0
	for _, q := range Fit(w.Input).Questioned() {
		held[q.Report] = true
		if w.slips[q.Report] == 0 {
			honest++
		}
	}
	var caught, big, bigCaught float64
	for id, log := range w.slips {
		hit := 0.0
		if held[id] {
			hit = 1
		}
		caught += hit
		if math.Abs(log) >= math.Log(5) {
			big++
			bigCaught += hit
		}
	}
	require.Greater(t, caught/float64(len(w.slips)), 0.85)
	require.Greater(t, bigCaught/big, 0.95)
	require.Less(t, honest/float64(len(w.Reports)), 0.015)
}
