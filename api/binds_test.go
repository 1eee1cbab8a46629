package api_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/api"
	"hardtack/route"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

// A boat with hardly any room: what is said to save is what planning again
// from scratch with as much more finds, within what two searches differ by.
func TestWhatBinds(t *testing.T) {
	t.Parallel()
	s, _ := service(t, demoDay)
	boat := decoded[vessel.Vessel](t, islandBoat)
	for i := range boat.Spaces {
		boat.Spaces[i].Litres /= 8
	}
	_, err := s.PutVessel(ctx, boat, api.AnyRevision)
	require.NoError(t, err)
	_, err = s.PutCrew(ctx, decoded[vessel.Crew](t, islandCrew), api.AnyRevision)
	require.NoError(t, err)
	_, err = s.PutVoyage(ctx, decoded[route.Voyage](t, islandHops), api.AnyRevision)
	require.NoError(t, err)
	_, err = s.Binds(ctx, "hop", plan.Budget{})
	require.ErrorIs(t, err, api.ErrNotFound)
	kept, err := s.Plan(ctx, "hop", api.PlanOptions{Budget: plan.Budget{Work: 20_000}})
	require.NoError(t, err)
	_, known := s.KnownBinds(kept)
	require.False(t, known)
	x, err := s.Binds(ctx, "hop", plan.Budget{})
	require.NoError(t, err)
	again, known := s.KnownBinds(kept)
	require.True(t, known)
	require.Equal(t, x, again)
	require.NotEmpty(t, x.Binds)
	k := slices.IndexFunc(x.Binds, func(b api.Binding) bool { return b.What == plan.BindLitre })
	require.GreaterOrEqual(t, k, 0, "%+v", x.Binds)
	for i, b := range x.Binds {
		require.Positive(t, b.Saves)
		require.Contains(t, b.Told.String(), "save")
		require.True(t, i == 0 || b.Saves <= x.Binds[i-1].Saves)
	}

	b := kept.Value.Brief
	best := func(b plan.Brief) float64 {
		least := math.Inf(1)
		for seed := range uint64(4) {
			p, err := plan.Solve(ctx, b, plan.Budget{Seed: seed, Work: 60_000}, nil)
			require.NoError(t, err)
			p, err = plan.Resume(ctx, b, p, plan.Budget{Seed: seed + 9, Work: 60_000})
			require.NoError(t, err)
			least = min(least, p.Cost.Total)
		}
		return least
	}
	before := best(b)
	b.Stowage.Spaces = slices.Clone(b.Stowage.Spaces)
	for i := range b.Stowage.Spaces {
		if b.Stowage.Spaces[i].ID == x.Binds[k].Space {
			b.Stowage.Spaces[i].Litres++
		}
	}
	saved := before - best(b)
	t.Logf("a litre of %s: said %.2f, full plans %.2f of %.2f", x.Binds[k].Space, x.Binds[k].Saves, saved, before)
	require.InDelta(t, saved, x.Binds[k].Saves, 0.01*before)
}
