package plan_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

// What is said at the shelf is held against planning the whole season anew at
// the real price: how much dearer is the season when exactly that many packs
// are taken, and how much dearer is the plan that came at once? Full plans are
// themselves found by search, so each side has the better of two seeds; the
// tolerances are shares of the season's cost.
func TestAtTheShelfAgainstFullPlans(t *testing.T) {
	t.Parallel()
	var count, once, whole []float64
	for seed := range uint64(12) {
		b := instance.Random(seed, instance.Tiny, seed%2 == 0)
		p := better(t, b)
		r := rand.New(rand.NewPCG(seed, 7))
		for range 4 {
			shelf, price, ok := anyShelf(r, b)
			if !ok {
				continue
			}
			again, q, steps, err := plan.Meet(context.Background(), b, p, shelf, price)
			require.NoError(t, err)
			anew, err := plan.Resume(context.Background(), again, q, plan.Budget{Work: 60_000})
			require.NoError(t, err)
			full := min(better(t, again).Cost.Total, anew.Cost.Total)
			forced := better(t, exactly(again, shelf, plan.At(steps, price))).Cost.Total
			count = append(count, forced/full-1)
			once = append(once, q.Cost.Total/full-1)
			whole = append(whole, anew.Cost.Total/full-1)
		}
	}
	for _, k := range []struct {
		what  string
		found []float64
		mean  float64 // at most
		near  float64 // share within 0.1 %, at least
	}{{"the count said", count, 0.002, 0.75}, {"the plan at once", once, 0.002, 0.75}, {"every need planned again from there", whole, 0.001, 0.85}} {
		t.Logf("%d shelves, %s: dearer by %.3f %% on average, %.2f %% at worst, within 0.1 %% in %.0f %%",
			len(k.found), k.what, 100*mean(k.found), 100*slices.Max(k.found), 100*within(k.found, 0.001))
		require.LessOrEqual(t, mean(k.found), k.mean, k.what)
		require.GreaterOrEqual(t, within(k.found, 0.001), k.near, k.what)
	}
}

func better(t *testing.T, b plan.Brief) plan.Plan {
	t.Helper()
	p := solve(t, b, plan.Budget{Seed: 1, Work: 60_000})
	if q := solve(t, b, plan.Budget{Seed: 2, Work: 60_000}); q.Cost.Total < p.Cost.Total {
		return q
	}
	return p
}

func anyShelf(r *rand.Rand, b plan.Brief) (plan.Shelf, float64, bool) {
	n := b.Needs[r.IntN(len(b.Needs))]
	it := n.Items[r.IntN(len(n.Items))]
	if len(it.Offers) == 0 {
		return plan.Shelf{}, 0, false
	}
	o := it.Offers[r.IntN(len(it.Offers))]
	return plan.Shelf{Need: n.ID, Item: it.ID, Stop: o.Stop, Pack: o.Pack}, o.Price * (0.5 + 1.5*r.Float64()), true
}

// exactly is the brief with so many packs of a shelf to be bought.
func exactly(b plan.Brief, shelf plan.Shelf, packs int) plan.Brief {
	return b.WithOffers(func(need, item string, o *plan.Offer) {
		if (plan.Shelf{Need: need, Item: item, Stop: o.Stop, Pack: o.Pack}) == shelf {
			o.Min, o.Limit = packs, ptr(packs)
		}
	})
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// within is the share of values up to a limit.
func within(x []float64, limit float64) float64 {
	n := 0
	for _, v := range x {
		if v <= limit {
			n++
		}
	}
	return float64(n) / float64(len(x))
}
