package search

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// Of the schedules of several plans, those picked cost no more than any of the
// plans, fit, and cost what was said.
func TestWhatIsPickedIsAsGoodAsEveryPlanItIsPickedFrom(t *testing.T) {
	t.Parallel()
	better := 0
	for seed := range uint64(30) {
		m := drawModel(rand.New(rand.NewPCG(seed, 31)), 6)
		m.prepare()
		s := newSeason(context.Background(), m, Options{Seed: seed, Work: 1_000_000, Workers: 1})
		s.first(s.all)
		least := 1e12
		for r := range s.prices.Cell {
			for q := range s.prices.Cell[r] {
				s.prices.Cell[r][q] = s.rng.Float64()
			}
		}
		pool := make([][]mixed, len(s.all))
		for range 6 {
			for _, i := range s.all {
				s.load.add(m.Needs[i], s.plan[i], -1)
			}
			s.reinsert(s.all, nil)
			require.True(t, s.load.holds(newLoad(m).all))
			least = min(least, s.total())
			for _, i := range s.all {
				pool[i] = append(pool[i], mixed{schedule: s.plan[i].clone()})
			}
		}
		load := newLoad(m)
		p := newPicker(m, s.all, load, pool, least*2, s.work)
		require.True(t, p.run(5000), "seed %d", seed)
		cost := 0.0
		for k, i := range p.needs {
			require.True(t, slices.ContainsFunc(p.choices[k], func(c packing) bool { return slices.Equal(c.packs, p.best[k].Packs) }))
			load.add(m.Needs[i], p.best[k], 1)
			cost += p.best[k].Own()
		}
		cost += load.tripsCost()
		require.True(t, load.holds(newLoad(m).all), "seed %d", seed)
		require.InEpsilon(t, p.below, cost, 1e-9, "seed %d", seed)
		require.LessOrEqual(t, cost, least*(1+1e-5), "seed %d", seed)
		if cost < least*(1-1e-6) {
			better++
		}
	}
	require.Greater(t, better, 3)
}
