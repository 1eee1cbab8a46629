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

// twoShelves needs 4 kg on leg 0, which only stop 0 can feed, and 3 on leg 1,
// for which stop 1 asks 3 EUR a kg; going without costs 50.
func twoShelves() (plan.Brief, plan.Shelf) {
	b := voyageOfTwoLegs()
	b.Needs = b.Needs[:1]
	it := &b.Needs[0].Items[0]
	it.Keeps[0].Days = []float64{90, 90, 90}
	it.Offers = append(it.Offers, plan.Offer{Stop: 1, Pack: 1, Price: 3})
	return b, plan.Shelf{Need: "bread", Item: "bread-item", Stop: 0, Pack: 1}
}

func TestStepsByHand(t *testing.T) {
	t.Parallel()
	b, shelf := twoShelves()
	p := solve(t, b, plan.Budget{Work: 1000})
	steps, err := plan.Steps(context.Background(), b, p, shelf)
	require.NoError(t, err)
	require.Len(t, steps, 2)
	require.Equal(t, 4, steps[0].Packs, "at most 50 EUR, to get through leg 0")
	require.InDelta(t, 50, steps[0].UpTo, 1e-4)
	require.Equal(t, 7, steps[1].Packs, "below 3 EUR for leg 1 too")
	require.InDelta(t, 3, steps[1].UpTo, 1e-4)
	require.Equal(t, 7, plan.At(steps, 2.5))
	require.Equal(t, 4, plan.At(steps, 40))
	require.Equal(t, 0, plan.At(steps, 51))
}

func TestStepsOfWhatMustBeBought(t *testing.T) {
	t.Parallel()
	b, shelf := twoShelves()
	b.Needs[0].Items[0].Offers[0].Min = 2
	p := solve(t, b, plan.Budget{Work: 1000})
	steps, err := plan.Steps(context.Background(), b, p, shelf)
	require.NoError(t, err)
	require.Equal(t, plan.Step{Packs: 2, UpTo: math.Inf(1)}, steps[0])
}

func TestStepsRefuseUnknownShelves(t *testing.T) {
	t.Parallel()
	b, shelf := twoShelves()
	p := solve(t, b, plan.Budget{Work: 1000})
	shelf.Pack = 3
	_, err := plan.Steps(context.Background(), b, p, shelf)
	require.ErrorIs(t, err, plan.ErrNoOffer)
	_, _, err = plan.Reprice(context.Background(), b, p, shelf, 1)
	require.ErrorIs(t, err, plan.ErrNoOffer)
	shelf.Pack = 1
	for _, wrong := range []float64{math.NaN(), -1, math.Inf(1)} {
		_, _, err = plan.Reprice(context.Background(), b, p, shelf, wrong)
		require.ErrorIs(t, err, plan.ErrMalformed)
		_, _, _, err = plan.Meet(context.Background(), b, p, shelf, wrong)
		require.ErrorIs(t, err, plan.ErrMalformed)
	}
}

// With one need there is nothing else to stay as it is: the plan at a new
// price is that of solving from scratch.
func TestRepriceFollowsTheSteps(t *testing.T) {
	t.Parallel()
	b, shelf := twoShelves()
	p := solve(t, b, plan.Budget{Work: 1000})
	for price, packs := range map[float64]int{1: 7, 2.9: 7, 3.1: 4, 49: 4, 51: 0} {
		again, q, err := plan.Reprice(context.Background(), b, p, shelf, price)
		require.NoError(t, err)
		require.NoError(t, plan.Verify(again, q))
		require.InDelta(t, solve(t, again, plan.Budget{Work: 1000}).Cost.Total, q.Cost.Total, 1e-6)
		require.Equal(t, packs, bought(q, shelf), "at %g", price)
		_, q, steps, err := plan.Meet(context.Background(), b, p, shelf, price)
		require.NoError(t, err)
		require.Equal(t, packs, bought(q, shelf), "at %g", price)
		require.Equal(t, packs, plan.At(steps, price), "at %g", price)
	}
}

func bought(p plan.Plan, s plan.Shelf) int {
	packs := 0
	for _, x := range p.Purchases {
		if x.Need == s.Need && x.Item == s.Item && x.Stop == s.Stop && x.Pack == s.Pack {
			packs += x.Packs
		}
	}
	return packs
}

// At any price of any shelf the new plan keeps every rule, costs no more than
// the old one would, and its bound is below what a full solve finds.
func TestRepriceAnyShelf(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := instance.Random(rapid.Uint64Max(60).Draw(t, "seed"), instance.Tiny, rapid.Bool().Draw(t, "tight"))
		p := solve(t, b, plan.Budget{Work: 600})
		n := b.Needs[rapid.IntRange(0, len(b.Needs)-1).Draw(t, "need")]
		it := n.Items[rapid.IntRange(0, len(n.Items)-1).Draw(t, "item")]
		if len(it.Offers) == 0 {
			return
		}
		o := it.Offers[rapid.IntRange(0, len(it.Offers)-1).Draw(t, "offer")]
		price := o.Price * rapid.Float64Range(0.2, 3).Draw(t, "factor")
		shelf := plan.Shelf{Need: n.ID, Item: it.ID, Stop: o.Stop, Pack: o.Pack}
		again, q, err := plan.Reprice(context.Background(), b, p, shelf, price)
		require.NoError(t, err)
		require.NoError(t, plan.Verify(again, q))
		old := p.Cost.Total + float64(bought(p, shelf))*(price-o.Price)
		require.LessOrEqual(t, q.Cost.Total, old*(1+1e-6)+1e-6)
		require.LessOrEqual(t, q.Bound, solve(t, again, plan.Budget{Work: 600}).Cost.Total*(1+1e-6))
		again, q, steps, err := plan.Meet(context.Background(), b, p, shelf, price)
		require.NoError(t, err)
		require.NoError(t, plan.Verify(again, q))
		require.LessOrEqual(t, q.Cost.Total, old*(1+1e-6)+1e-6)
		require.Equal(t, plan.At(steps, price), bought(q, shelf), "what is taken is what the steps say: %v at %g", steps, price)
		for k := 1; k < len(steps); k++ {
			require.Less(t, steps[k-1].Packs, steps[k].Packs)
			require.Greater(t, steps[k-1].UpTo, steps[k].UpTo)
		}
	})
}
