package plan_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

// A pack nobody counted on: 2 kg at stop 0, where the brief knows only 1 kg.
func TestFoundShelfIsAskedLikeAnother(t *testing.T) {
	t.Parallel()
	b, shelf := twoShelves()
	p := solve(t, b, plan.Budget{Work: 1000})
	shelf.Pack = 2
	more, q, err := plan.Found(b, p, shelf)
	require.NoError(t, err)
	require.NoError(t, plan.Verify(more, q))
	require.InDelta(t, p.Cost.Total, q.Cost.Total, 1e-9)
	require.InDelta(t, p.Bound, q.Bound, 1e-9)
	require.Len(t, b.Needs[0].Items[0].Offers, 2, "the brief given stays as it is")

	again, r, err := plan.Reprice(context.Background(), more, q, shelf, 3) // 1.50 a kilogram against 2
	require.NoError(t, err)
	require.NoError(t, plan.Verify(again, r))
	require.InDelta(t, solve(t, again, plan.Budget{Work: 1000}).Cost.Total, r.Cost.Total, 1e-6)
	require.InDelta(t, 3*3+2, r.Cost.Total, 1e-6, "three packs of two, and one of one")

	for _, wrong := range []plan.Shelf{
		{Need: "bread", Item: "bread-item", Stop: 0}, {Need: "bread", Item: "bread-item", Stop: 7, Pack: 1},
		{Need: "bread", Item: "none", Pack: 1}, {Need: "none", Item: "bread-item", Pack: 1},
		{Need: "bread", Item: "bread-item", Pack: math.Inf(1)},
	} {
		_, _, err := plan.Found(b, p, wrong)
		require.ErrorIs(t, err, plan.ErrNoOffer)
	}
}

func TestTogether(t *testing.T) {
	t.Parallel()
	got := plan.Together([]plan.Step{{Packs: 1, UpTo: 9}, {Packs: 3, UpTo: 5}}, nil, []plan.Step{{Packs: 2, UpTo: math.Inf(1)}, {Packs: 4, UpTo: 5}})
	require.Equal(t, []plan.Step{{Packs: 2, UpTo: math.Inf(1)}, {Packs: 3, UpTo: 9}, {Packs: 7, UpTo: 5}}, got)
}

// What is put in costs nothing, proves as much, and nobody buys it, not even
// when planning from nothing.
func TestFoundChangesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := instance.Random(rapid.Uint64Max(60).Draw(t, "seed"), instance.Tiny, rapid.Bool().Draw(t, "tight"))
		p := solve(t, b, plan.Budget{Work: 600})
		n := b.Needs[rapid.IntRange(0, len(b.Needs)-1).Draw(t, "need")]
		it := n.Items[rapid.IntRange(0, len(n.Items)-1).Draw(t, "item")]
		shelf := plan.Shelf{Need: n.ID, Item: it.ID, Stop: rapid.IntRange(0, len(b.Stops)-1).Draw(t, "stop"),
			Pack: 0.005 + float64(rapid.IntRange(10, 2000).Draw(t, "pack"))/100} // no pack is sold in such a size yet
		more, q, err := plan.Found(b, p, shelf)
		require.NoError(t, err)
		require.NoError(t, plan.Verify(more, q))
		require.InEpsilon(t, p.Cost.Total, q.Cost.Total, 1e-6)
		full := solve(t, more, plan.Budget{Work: 600})
		require.Zero(t, bought(full, shelf))
		require.LessOrEqual(t, q.Bound, full.Cost.Total*(1+1e-6))
	})
}

// One who stands at a stop cannot buy at those behind.
func TestWhatIsBehindStaysAsItIs(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := instance.Random(rapid.Uint64Max(60).Draw(t, "seed"), instance.Tiny, rapid.Bool().Draw(t, "tight"))
		p := solve(t, b, plan.Budget{Work: 600})
		stop := rapid.IntRange(0, len(b.Stops)-1).Draw(t, "stop")
		here := plan.Behind(b, p, stop)
		require.NoError(t, here.Check())
		require.NoError(t, plan.Verify(here, p))
		for _, x := range p.Purchases {
			if x.Stop != stop {
				continue
			}
			shelf := plan.Shelf{Need: x.Need, Item: x.Item, Stop: stop, Pack: x.Pack}
			again, q, err := plan.Reprice(context.Background(), here, p, shelf, x.Price*rapid.Float64Range(0.1, 5).Draw(t, "factor"))
			require.NoError(t, err)
			require.NoError(t, plan.Verify(again, q))
			for _, y := range p.Purchases {
				if y.Stop < stop {
					s := plan.Shelf{Need: y.Need, Item: y.Item, Stop: y.Stop, Pack: y.Pack}
					require.Equal(t, bought(p, s), bought(q, s))
				}
			}
			return
		}
	})
}
