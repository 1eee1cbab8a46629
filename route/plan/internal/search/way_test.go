//go:build amd64 && !amd64.v3

package search

import (
	"bytes"
	"context"
	"fmt"
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
	for seed := range uint64(40) {
		m := drawModel(rand.New(rand.NewPCG(seed, 83)), 4+int(seed)/4)
		s := newSeason(context.Background(), m, Options{Seed: seed, Work: 1000 * (1 + int(seed))})
		s.o.Better = func(r Result) { fmt.Fprintf(&got, "%.9f %.9f, %d left\n", r.Total(), r.Bound, s.work.Left) }
		r := s.run()
		fmt.Fprintf(&got, "model %d: %.9f %.9f, %d left, %d columns, %d touched\n", seed, r.Total(), r.Bound, s.work.Left, s.root.lp.Columns(), s.root.lp.Touched())
	}
	golden.Told(t, "testdata/way.txt", got.String())
}
