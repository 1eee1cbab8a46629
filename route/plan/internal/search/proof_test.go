package search

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// What closers have ended with is not raised for ever, though what is known to be
// reached is not proven: the work set aside may be left over.
func TestAProofThatHasEndedIsNotRaised(t *testing.T) {
	t.Parallel()
	ended := 0
	for seed := range uint64(10) {
		m := drawModel(rand.New(rand.NewPCG(seed, 31)), 6)
		s := newSeason(context.Background(), m, Options{Seed: seed, Work: 1 << 30})
		x := s.roughMixer(s.all, newLoad(m), s.prices)
		x.generate(5, 1e-4)
		f := s.proof(x, 60)
		bound := f.bound()
		f.raise(x, 20_000, false)
		require.GreaterOrEqual(t, f.bound(), bound)
		for i, c := range f.closers {
			switch {
			case c == nil:
				f.own[i] = f.least[i]
			case c.ended():
				ended++
				f.own[i] = f.least[i] / 2 // as if something had been thought to be reached that is not
				require.NotContains(t, f.worst(len(f.own)), i)
			}
			if c != nil {
				c.parts, f.own[i] = nil, f.least[i]/2
			}
		}
		before := s.work.Left
		f.raise(x, 20_000, false)
		require.Equal(t, before, s.work.Left)
	}
	require.Greater(t, ended, 10)
}
