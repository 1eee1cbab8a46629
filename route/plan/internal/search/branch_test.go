package search

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is proven of a node comes near what its mix costs, also where no trip is
// made at a stop, and is never more.
func TestANodeIsProvenToItsMix(t *testing.T) {
	t.Parallel()
	for seed := range uint64(12) {
		m := drawModel(rand.New(rand.NewPCG(seed, 61)), 5)
		s := newSeason(context.Background(), m, Options{Work: 150_000})
		s.run()
		s.work.Left = 1 << 30
		s.best.Trips = 1e6 // so that no node is settled by it
		for stop := range m.Stops {
			if s.root.none[stop] < 0 {
				continue // as many trips as anybody likes
			}
			for _, most := range []float64{0, 1, math.Inf(1)} {
				t.Run(fmt.Sprintf("seed %d stop %d trips %v", seed, stop, most), func(t *testing.T) {
					n := s.splitting(s.root).open[0]
					n.bound, n.high[stop] = math.Inf(-1), most
					x := s.inside(s.root, n)
					x.solve(4000)
					s.price(x, n)
					mix := x.lp.Cost()
					require.LessOrEqual(t, n.bound, mix*(1+1e-9))
					require.GreaterOrEqual(t, n.bound, 0.97*mix)
				})
			}
		}
	}
}
