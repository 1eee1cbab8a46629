package search

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

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
			p := drawPrices(r, m)
			p.settle()
			m.prepare()
			k := &seeker{allocator: newAllocator(m, newLoad(m), p), work: &Work{1_000_000, context.Background()}}
			full := newSchedule(m, n)
			k.value(0, full)
			full = k.mend(0, full)
			lacking := full.clone()
			for o := range n.Offers {
				lacking.Packs[o] = max(n.Offers[o].Min, lacking.Packs[o]-1)
			}
			before := k.value(0, lacking)
			mended := k.mend(0, lacking)
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
