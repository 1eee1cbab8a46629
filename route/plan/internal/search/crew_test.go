package search

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// However many hands there are, and whichever does what, the plan and its bound
// are the same to the last bit, and so is all that was told on the way.
func TestWorkersDoNotMatter(t *testing.T) {
	t.Parallel()
	for seed := range uint64(8) {
		t.Run(fmt.Sprintf("seed %d", seed), func(t *testing.T) {
			t.Parallel()
			run := func(workers int) (Result, []float64) {
				var told []float64
				m := drawModel(rand.New(rand.NewPCG(seed, 7)), 9)
				return Run(context.Background(), m, Options{Seed: seed, Work: 8000, Workers: workers,
					Better: func(r Result) { told = append(told, r.Total(), r.Bound) }}), told
			}
			want, told := run(1)
			require.NotEmpty(t, told)
			for _, workers := range []int{2, 7} {
				got, toldToo := run(workers)
				require.Equal(t, want, got, "%d workers", workers)
				require.Equal(t, told, toldToo, "%d workers", workers)
			}
		})
	}
}

// Every piece is done, each once, by one hand at a time.
func TestEachPieceIsDoneOnce(t *testing.T) {
	t.Parallel()
	for _, workers := range []int{1, 2, 7} {
		c := make(crew, workers)
		for k := range c {
			c[k] = &hand{}
		}
		for _, n := range []int{0, 1, 5, 100} {
			done := make([]int, n)
			c.each(n, func(_ *hand, k int) { done[k]++ })
			for k, times := range done {
				require.Equal(t, 1, times, "%d workers, piece %d of %d", workers, k, n)
			}
		}
	}
}
