//go:build amd64 && !amd64.v3

package search

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"hardtack/testdata/golden"
)

// How a search of random models goes is told here step by step: what each better plan
// costs, what is proven of it and the work then left; and what its last mix is of. A
// change that was meant to change nothing is held to that. After one that is meant:
// GOLDEN=write go test -run TestTheWayIsTheOneTold ./route/plan/internal/search
func TestTheWayIsTheOneTold(t *testing.T) {
	t.Parallel()
	var got bytes.Buffer
	for seed := range uint64(80) {
		m := drawModel(rand.New(rand.NewPCG(seed, 83)), 4+int(seed)/4)
		if seed%2 > 0 {
			even(m)
		}
		s := newSeason(context.Background(), m, Options{Seed: seed, Work: 1000 * (1 + int(seed))})
		s.o.Better = func(r Result) { fmt.Fprintf(&got, "%.9f %.9f, %d left\n", r.Total(), r.Bound, s.work.Left) }
		r := s.run()
		fmt.Fprintf(&got, "model %d: %.9f %.9f, %d left, %d columns, %d touched\n", seed, r.Total(), r.Bound, s.work.Left, s.root.lp.Columns(), s.root.lp.Touched())
	}
	golden.Told(t, "testdata/way.txt", got.String())
}

// even makes all figures of a model whole, so that spaces fill to the brim and plans
// are equally dear; and what keeps ends just where it may still be eaten, and what is
// due here and there is just as little as counts for nothing.
func even(m *Model) {
	for _, n := range m.Needs {
		for i := range n.Due {
			n.Due[i] = max(math.Round(n.Due[i]), Slack)
		}
		for i, g := range n.Segments {
			n.Segments[i].Amount, n.Segments[i].End = math.Ceil(g.Amount), math.Ceil(g.End)
			if i%5 == 4 && g.Amount > 0 {
				n.Segments[i].Amount = Slack
			}
		}
		for i := range n.Sources {
			s := &n.Sources[i]
			s.Taste, s.Line = math.Round(s.Taste), math.Round(s.Line)
			for w, way := range s.Ways {
				s.Ways[w].Litres, s.Ways[w].Expires = math.Floor(way.Litres), math.Round(way.Expires)-1e-9*float64(i%2)
			}
		}
		for i, o := range n.Offers {
			n.Offers[i].Size, n.Offers[i].Price = math.Ceil(o.Size), math.Ceil(o.Price)
		}
	}
}
