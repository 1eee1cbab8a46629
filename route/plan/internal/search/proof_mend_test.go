package search

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// Of needs that are hard to bound a proof looks for better schedules itself, a little
// at a time: it comes to as cheap ones as mending in one go does.
func TestAProofMendsHardNeeds(t *testing.T) {
	t.Parallel()
	hard, mended := 0, 0
	for seed := range uint64(30) {
		m := drawModel(rand.New(rand.NewPCG(seed, 67)), 6)
		s := newSeason(context.Background(), m, Options{Seed: seed, Work: 1 << 30})
		x := s.roughMixer(s.all, newLoad(m), s.prices)
		x.generate(1, 1e-4)
		f := s.proof(x, 10)
		for i, n := range m.Needs {
			f.closers[i] = newCloser(m, f.prices, i, nil)
			require.Empty(t, f.mend(x.seeker, x, i), "not hard yet")
			first, value := x.least(f.prices, i)
			require.InDelta(t, value, f.least[i], 1e-9*(1+value))
			if !n.several() || first == nil || f.closers[i].ended() {
				continue
			}
			hard++
			want := x.seeker.mend(f.prices, x.seeker.load, i, first, s.worth[i], 1_000_000)
			f.closers[i].effort = hardEffort
			least := value
			for again := 0; again < 200; again++ {
				for _, u := range f.mend(x.seeker, x, i) {
					require.True(t, x.seeker.load.fits(n, u))
					require.Less(t, f.prices.cost(n, i, u), least+1e-9)
					least = f.prices.cost(n, i, u)
				}
			}
			if want != first { // it fits
				require.InDelta(t, f.prices.cost(n, i, want), least, 1e-6*(1+value), "seed %d need %d", seed, i)
			}
			if least < value-1e-6 {
				mended++
			}
		}
	}
	require.Greater(t, hard, 30)
	require.Greater(t, mended, 5)
}
