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
		w := invent(seed, worldSize{items: 150, categories: 10, ports: 40, countries: 12, reporters: 80, reports: 5000, slips: 0.03})
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

// Two in ten reporters multiply all they report by 1.5 to 10: of all pairs, 95
// in 100 shift by less than 8 %, and honest answers lose nothing.
func TestLiarsMoveLittle(t *testing.T) {
	t.Parallel()
	z := worldSize{items: 120, categories: 8, ports: 30, countries: 10, reporters: 80, reports: 5000, liars: 0.2}
	lied := invent(1, z)
	z.tame = true
	honest := invent(1, z)
	require.NotEmpty(t, lied.tall)
	a, b := Fit(lied.Input), Fit(honest.Input)
	var shifts []float64
	for _, p := range lied.Ports {
		for _, i := range lied.Items {
			shifts = append(shifts, math.Abs(math.Log(a.At(p.ID, i.ID, lied.Day).Price/b.At(p.ID, i.ID, lied.Day).Price)))
		}
	}
	slices.Sort(shifts)
	require.Less(t, shifts[len(shifts)*95/100], 0.08)
}
