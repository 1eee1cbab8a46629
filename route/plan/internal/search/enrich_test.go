package search

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is enriched becomes cheaper, keeps at a way while it pays and ends when none
// does, or the work is done.
func TestEnrichGoesTheWayThatPays(t *testing.T) {
	t.Parallel()
	m := drawModel(rand.New(rand.NewPCG(3, 71)), 6)
	s := newSeason(context.Background(), m, Options{Work: 1 << 30})
	x := s.roughMixer(s.all, newLoad(m), s.prices)
	x.solve(4000)
	var went []string
	rounds, idle := 0, 0
	s.enrich(x, func() {
		went = append(went, "idle")
		idle++
		s.work.Left -= 10
	}, func() {
		went = append(went, "round")
		rounds++
		before := x.lp.Cost()
		x.generate(1, 0)
		require.LessOrEqual(t, x.lp.Cost(), before*(1+1e-9))
	})
	require.Equal(t, []string{"idle", "round", "round"}, went[:3], "the way that pays again")
	require.Equal(t, 1, idle, "it gained nothing")
	require.Less(t, rounds, 100)
	s.work.Left = 0
	s.enrich(x, func() { t.Error("no work is left") })
}

// Mending a mix makes it cheaper by schedules that fit, for about the work allowed.
func TestMendingAMix(t *testing.T) {
	t.Parallel()
	cheaper := 0
	for seed := range uint64(20) {
		m := drawModel(rand.New(rand.NewPCG(seed, 73)), 6)
		s := newSeason(context.Background(), m, Options{Work: 1 << 30})
		x := s.roughMixer(s.all, newLoad(m), s.prices)
		x.generate(2, 1e-4)
		before, left, had := x.lp.Cost(), s.work.Left, make([]int, len(x.needs))
		several := 0
		for k, pool := range x.pool {
			had[k] = len(pool)
			if m.Needs[k].several() {
				several++
			}
		}
		x.mend()
		require.LessOrEqual(t, x.lp.Cost(), before*(1+1e-9))
		if x.lp.Cost() < before*(1-1e-6) {
			cheaper++
		}
		for k, pool := range x.pool {
			require.LessOrEqual(t, len(pool), had[k]+1)
			for _, c := range pool[had[k]:] {
				require.True(t, m.Needs[k].several())
				require.True(t, x.seeker.load.fits(m.Needs[k], c.schedule))
			}
		}
		require.Less(t, left-s.work.Left, several*mixMendTimes*mixMendSlice+10_000)
	}
	require.Greater(t, cheaper, 5)
}
