package plan_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

// order is what a plan for other prices buys of a brief, and apart the money in what a
// plan buys otherwise.
func order(t *testing.T, b plan.Brief, seed uint64) (packs func(need, item string, o plan.Offer) int, apart func(plan.Plan) float64) {
	r := rand.New(rand.NewPCG(seed, 11))
	other := b.WithOffers(func(_, _ string, o *plan.Offer) { o.Price *= 1 + 0.15*r.NormFloat64() })
	return orderOf(solve(t, other, plan.Budget{Work: 5000, Seed: seed}), b)
}

func orderOf(q plan.Plan, b plan.Brief) (packs func(need, item string, o plan.Offer) int, apart func(plan.Plan) float64) {
	type at struct {
		item string
		stop int
		pack float64
	}
	count := func(p plan.Plan) map[at]int {
		counts := map[at]int{}
		for _, x := range p.Purchases {
			counts[at{x.Item, x.Stop, x.Pack}] += x.Packs
		}
		return counts
	}
	ordered := count(q)
	packs = func(_, item string, o plan.Offer) int { return ordered[at{item, o.Stop, o.Pack}] }
	apart = func(p plan.Plan) float64 {
		sum, counts := 0.0, count(p)
		for _, n := range b.Needs {
			for _, it := range n.Items {
				amount, unit := map[int]float64{}, map[int]float64{}
				for _, o := range it.Offers {
					k := at{it.ID, o.Stop, o.Pack}
					amount[o.Stop] += float64(counts[k]-ordered[k]) * o.Pack
					if u := o.Price / o.Pack; unit[o.Stop] == 0 || u < unit[o.Stop] {
						unit[o.Stop] = u
					}
				}
				for stop, x := range amount {
					sum += math.Abs(x) * unit[stop]
				}
			}
		}
		return sum
	}
	return packs, apart
}

// A plan drawn towards an order keeps the rules, costs no more than it may and is no
// farther from it; with money without end it buys what is ordered and nothing else.
func TestDrawnTowardsAnOrder(t *testing.T) {
	t.Parallel()
	nearer := 0
	for seed := range uint64(24) {
		b := instance.Random(seed, []instance.Size{instance.Tiny, instance.Small}[seed%4/3], seed%2 == 0)
		p := solve(t, b, plan.Budget{Work: 5000, Seed: seed})
		packs, apart := order(t, b, seed)
		for _, spare := range []float64{0, 0.005, 0.05, 1e6} {
			most := p.Cost.Total * (1 + spare)
			q, err := plan.Toward(context.Background(), b, p, packs, most)
			require.NoError(t, err)
			require.NoError(t, plan.Verify(b, q))
			require.LessOrEqual(t, q.Cost.Total, most*(1+1e-9))
			require.LessOrEqual(t, apart(q), apart(p)+1e-6)
			if spare == 0.05 && apart(q) < 0.7*apart(p) {
				nearer++
			}
			if spare == 1e6 {
				require.InDelta(t, 0, apart(q), 0.01*float64(len(b.Needs)), "seed %d", seed)
			}
		}
		own, _ := orderOf(p, b)
		q, err := plan.Toward(context.Background(), b, p, own, p.Cost.Total)
		require.NoError(t, err)
		require.InDelta(t, p.Cost.Total, q.Cost.Total, 1e-9, "what is ordered is bought")
	}
	require.Greater(t, nearer, 6)
}

// A plan that is too dear lets go of what is ordered until it is not, and never becomes
// dearer.
func TestTooDearAnOrderIsLetGo(t *testing.T) {
	t.Parallel()
	cheaper, dearer := 0, 0
	for seed := range uint64(24) {
		b := instance.Random(seed, instance.Tiny, seed%2 == 0)
		p := solve(t, b, plan.Budget{Work: 5000, Seed: seed})
		packs, _ := order(t, b, seed)
		dear, err := plan.Toward(context.Background(), b, p, packs, 1e9)
		require.NoError(t, err)
		most := p.Cost.Total * 1.005
		q, err := plan.Toward(context.Background(), b, dear, packs, most)
		require.NoError(t, err)
		require.NoError(t, plan.Verify(b, q))
		require.LessOrEqual(t, q.Cost.Total, max(most, dear.Cost.Total)+1e-9)
		if over := dear.Cost.Total - most; over > 0.01*most {
			dearer++
			if dear.Cost.Total-q.Cost.Total > 0.8*over {
				cheaper++
			}
		}
	}
	require.Greater(t, cheaper, dearer/2)
}

// A mix of plans costs no more, with what it buys otherwise than ordered, than any of
// them; nor does what is searched for from there, which is often cheaper still.
func TestMixedFromPlansAndSearchedFor(t *testing.T) {
	t.Parallel()
	better, found := 0, 0
	for seed := range uint64(24) {
		b := instance.Random(seed, instance.Tiny, seed%2 == 0)
		packs, apart := order(t, b, seed)
		var plans []plan.Plan
		for s := range uint64(4) {
			plans = append(plans, solve(t, b, plan.Budget{Work: 300, Seed: seed + s}))
		}
		dear, err := plan.Toward(context.Background(), b, plans[0], packs, 1e9)
		require.NoError(t, err)
		plans = append(plans, dear)
		for _, lean := range []float64{0, 0.05, 0.5, 0.95} {
			counts := func(p plan.Plan) float64 { return p.Cost.Total + lean*apart(p) }
			least := math.Inf(1)
			for _, p := range plans {
				least = min(least, counts(p))
			}
			q, err := plan.Among(context.Background(), b, plans, packs, lean)
			require.NoError(t, err)
			require.NoError(t, plan.Verify(b, q))
			require.LessOrEqual(t, counts(q), least*(1+1e-6), "seed %d lean %v", seed, lean)
			if counts(q) < least*(1-1e-6) {
				better++
			}
			s, err := plan.Lean(context.Background(), b, append(plans, q), packs, lean, plan.Budget{Work: 5000})
			require.NoError(t, err)
			require.NoError(t, plan.Verify(b, s))
			require.LessOrEqual(t, counts(s), counts(q)*(1+1e-6), "seed %d lean %v", seed, lean)
			if counts(s) < counts(q)*(1-1e-6) {
				found++
			}
		}
	}
	require.Greater(t, better, 3)
	require.Greater(t, found, 10)
}
