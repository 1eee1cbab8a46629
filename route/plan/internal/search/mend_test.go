package search

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// priced draws prices for a model and has a seeker look at them.
func priced(r *rand.Rand, m *Model) (*Prices, *seeker) {
	p := drawPrices(r, m)
	p.settle()
	m.prepare()
	return p, &seeker{allocator: newAllocator(m, newLoad(m), p), work: &Work{1_000_000, context.Background()}}
}

// What is mended costs no more than before, what it says it costs, and never
// less than the need can be had for; and where packs are taken away, so that
// something lacks, mending finds most of what they were worth.
func TestMendingFillsGaps(t *testing.T) {
	t.Parallel()
	gaps, filled := 0.0, 0.0
	for seed := range uint64(120) {
		r := rand.New(rand.NewPCG(seed, 53))
		m := drawNeed(r)
		n := m.Needs[0]
		if !n.several() {
			continue
		}
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			p, k := priced(r, m)
			full := newSchedule(m, n)
			k.value(0, full)
			full = k.mend(p, k.load, 0, full, nil, 100_000)
			lacking := full.clone()
			for o := range n.Offers {
				lacking.Packs[o] = max(n.Offers[o].Min, lacking.Packs[o]-1)
			}
			before := k.value(0, lacking)
			mended := k.mend(p, k.load, 0, lacking, nil, 100_000)
			got := p.cost(n, 0, mended)
			require.LessOrEqual(t, got, before+1e-9)
			again := mended.clone()
			k.recount(n, again)
			require.InDelta(t, mended.Own(), again.Own(), 1e-9)
			for o, packs := range mended.Packs {
				require.GreaterOrEqual(t, packs, n.Offers[o].Min)
				require.LessOrEqual(t, packs, n.Offers[o].Limit)
			}
			bound := newCloser(m, p, 0, nil).run(got, 5000)
			require.GreaterOrEqual(t, got, bound-1e-6*(1+got))
			gaps += max(0, before-p.cost(n, 0, full))
			filled += before - got
		})
	}
	require.Greater(t, gaps, 0.0)
	require.Greater(t, filled, 0.9*gaps)
}

// Of what schedules made in a simple way cost above the least, by CBC, mending leaves
// little.
func TestMendingComesNearTheLeast(t *testing.T) {
	t.Parallel()
	made, mended, least := 0.0, 0.0, 0.0
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 59))
		m := drawNeed(r)
		n := m.Needs[0]
		p, k := priced(r, m)
		s, before := k.fresh(0)
		h := newHull(m, p, 0)
		h.start(nil)
		h.ascend(n.nothing(), 200)
		got := p.cost(n, 0, k.mend(p, k.load, 0, s, h.worths(), 100_000))
		want := needByCBC(t, m, p)
		require.GreaterOrEqual(t, got, want*(1-1e-6)-1e-6)
		made, mended, least = made+before, mended+got, least+want
	}
	require.Less(t, mended-least, 0.2*(made-least))
	t.Logf("%.3f %% above, %.3f before", 100*(mended/least-1), 100*(made/least-1))
}

// A move that is tried says whether it gained; one that did not leaves all as it was.
func TestAMoveTriedSaysWhetherItGained(t *testing.T) {
	t.Parallel()
	gained, vain := 0, 0
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 67))
		m := drawNeed(r)
		p, k := priced(r, m)
		s := newSchedule(m, m.Needs[0])
		k.value(0, s)
		x := newMending(m, p, k.load, 0, s, nil)
		for range 200 {
			if x.next == len(x.moves) {
				break
			}
			packs, value := slices.Clone(x.packs), x.value
			x.next++
			if x.try(x.moves[x.next-1]) {
				gained++
				require.Less(t, x.value, value)
				x.list()
				continue
			}
			vain++
			require.Equal(t, packs, x.packs)
			require.Equal(t, value, x.value)
			require.InDelta(t, value, x.sharing.lp.Cost()+x.fixed(), 1e-6*(1+value))
		}
	}
	require.Greater(t, gained, 20)
	require.Greater(t, vain, 20)
}
