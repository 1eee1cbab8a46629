package estimate

import (
	"math"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/world"
)

// strained are the worlds floors are looked for in: one of a size tests can
// afford, or with DRILL=1 three of the usual ones.
func strained(truth world.Truth) (out []world.Spec) {
	if os.Getenv("DRILL") == "" {
		s := spec(2, 60, 60, 22, 4000)
		s.Truth, s.QuietPorts, s.QuietCountries = truth, 2, 3
		return []world.Spec{s}
	}
	for seed := range uint64(3) {
		out = append(out, world.Usual(1+seed, truth))
	}
	return out
}

func levels(in Input, known []Known) []float64 {
	m := fitted(learn(&in))
	out := make([]float64, len(known))
	for k, p := range known {
		out[k] = m.look(p.Port, p.Item, p.Day).mean
	}
	return out
}

// quantile of how far two sets of log prices are apart.
func quantile(a, b []float64, q float64) float64 {
	off := make([]float64, len(a))
	for k := range a {
		off[k] = math.Abs(a[k] - b[k])
	}
	slices.Sort(off)
	return off[int(q*float64(len(off)))]
}

func withoutLies(w *invented) Input {
	in := w.Input
	in.Reports = nil
	for _, r := range w.Input.Reports {
		if !w.world.Lied[r.ID] {
			in.Reports = append(in.Reports, r)
		}
	}
	return in
}

// What liars could have told is lost whatever is done about them: of all that
// can be made of the reports of the others, their mean given these comes
// nearest, in the mean of squares, to what would be believed had all told the
// truth. So the shift when the liars are simply left out is a floor for those
// who lie by another factor every time. Those who always lie by the same
// factor can be listened to, and the floor undercut.
//
//	DRILL=1 go test ./pricing/estimate -run FloorOfLies -v
func TestFloorOfLies(t *testing.T) {
	t.Parallel()
	for _, s := range strained(world.Kinds()["plain"]) {
		honest := invent(s)
		told := levels(honest.Input, honest.known)
		for _, wild := range []bool{false, true} {
			for k, liars := range []float64{0.1, 0.2, 0.3} {
				s.Liars, s.Wild = liars, wild
				w := invent(s)
				lied, left := levels(w.Input, w.known), levels(withoutLies(w), w.known)
				shift, floor, beside := quantile(lied, told, 0.95), quantile(left, told, 0.95), quantile(lied, left, 0.95)
				t.Logf("seed %d, wild %-5v %.0f %%: shift %4.1f %%, left out %4.1f %%, against left out %4.1f %%", s.Seed, wild, 100*liars, 100*shift, 100*floor, 100*beside)
				if wild {
					require.Less(t, shift, floor+0.02)
					require.Less(t, beside, []float64{0.05, 0.08, 0.12}[k]+0.02)
				} else {
					require.Less(t, shift, floor)
					require.Less(t, shift, []float64{0.05, 0.08, 0.12}[k])
				}
			}
		}
	}
}

// A country nobody reported from may be dear or cheap. One who knew every item,
// the levels of all other countries and how levels come about would be off by
// the rest; the model is not much worse.
//
//	DRILL=1 go test ./pricing/estimate -run FloorOfSilence -v
func TestFloorOfSilence(t *testing.T) {
	t.Parallel()
	var off, ratio, floor, n float64
	for name, truth := range world.Kinds() {
		for _, s := range strained(truth) {
			w := invent(s)
			w.Input.Apart = w.apart
			m, h := Fit(w.Input), newHabits(&w.Input)
			var model, knowing, habits judgement
			for k, p := range w.known {
				o := m.look(p.Port, p.Item, p.Day)
				if m.scored(&o) != unseen {
					continue
				}
				model.add(p.Log - o.mean)
				knowing.add(p.Log - w.world.Pairs[k].Abroad)
				for j, g := range h.guess(p.Port, p.Item) {
					habits[j] += (p.Log - g) * (p.Log - g)
				}
			}
			best := slices.Min(habits[:habitCount])
			t.Logf("%-10s seed %d: model %.3f of the best habit, one who knows the rest %.3f", name, s.Seed, math.Sqrt(model[0]/best), math.Sqrt(knowing[0]/best))
			ratio += math.Sqrt(model[0] / best)
			floor += math.Sqrt(knowing[0] / best)
			off += math.Sqrt(model[0] / knowing[0])
			n++
		}
	}
	t.Logf("mean: model %.3f, floor %.3f, model over floor %.3f", ratio/n, floor/n, off/n)
	require.Less(t, off/n, 1.15)
}

type judgement [habitCount]float64

func (j *judgement) add(off float64) { j[0] += off * off }
