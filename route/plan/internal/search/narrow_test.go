package search

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan/internal/simplex"
)

// Packs looked for part by part cost what was said and no more than those known
// before, keep to the limits of the offers, and leave the mix where it stood.
func TestPacksLookedForPartByPartAreNoDearer(t *testing.T) {
	t.Parallel()
	better := 0
	for seed := range uint64(40) {
		m := drawModel(rand.New(rand.NewPCG(seed, 37)), 6)
		m.prepare()
		s := newSeason(context.Background(), m, Options{Seed: seed, Work: 10_000_000, Workers: 1})
		x := s.roughMixer(s.all, newLoad(m), s.prices)
		x.care = care{parts: 15}
		x.generate(4, 1e-4)
		x.solve(4000)
		for k := range s.all {
			before, need := x.lp.Cost(), m.Needs[k]
			known := x.tried(x.seeker, k, x.fitted([]int{k})[0], 1e18, -1e18)
			found := x.narrow(k, known.schedule, known.cost)
			require.InDelta(t, before, x.lp.Cost(), 1e-6*before, "seed %d", seed)
			require.Same(t, need, x.seeker.m.Needs[k])
			require.Same(t, need, m.Needs[k], "the season's own model is another")
			for _, c := range x.pool[k] {
				require.False(t, x.lp.RuledOut(c.column))
			}
			require.True(t, need.sells(found.Packs))
			cost := x.try(s.work, 1e18, func(lp *simplex.LP) { x.settleIn(lp, k, found) })
			require.LessOrEqual(t, cost, known.cost*(1+1e-9), "seed %d", seed)
			if !slices.Equal(found.Packs, known.schedule.Packs) {
				better++
				require.Less(t, cost, known.cost, "seed %d", seed)
			}
		}
	}
	require.Greater(t, better, 5)
}
