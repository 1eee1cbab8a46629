package search

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// Packs shared out exactly cost what CBC says they cost when they are the only
// ones to be had, whether or not room has an end, and never more than shared out in
// any of the usual orders; so they do at other prices, gone on from there.
func TestPacksAreSharedOutAtLeastCost(t *testing.T) {
	t.Parallel()
	better, tried := 0, 0
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 41))
		m := drawNeed(r)
		if n := m.Needs[0]; !n.several() {
			continue
		}
		tried++
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			n, p := m.Needs[0], drawPrices(r, m)
			for i := range n.Sources {
				n.Sources[i].Line, n.Sources[i].Last = 0, 3+r.IntN(4)
			}
			clear(p.Open[0])
			for room := range m.Room {
				if seed%2 == 0 {
					m.Room[room] = math.Inf(1)
				} else {
					m.Room[room] /= 4
				}
			}
			p.settle()
			m.prepare()
			k := &seeker{allocator: newAllocator(m, newLoad(m), p), work: &Work{1_000_000, context.Background()}}
			s := newSchedule(m, n)
			for o := range n.Offers {
				s.Packs[o] = min(n.Offers[o].Limit, n.Offers[o].Min+r.IntN(3))
			}
			usual := math.Inf(1)
			for s.Mode = range modes {
				usual = min(usual, k.value(0, s))
			}
			for i := range n.Sources { // so that everything may be carried away; what is aboard is
				if n.Sources[i].Aboard < 0 && len(n.Sources[i].Ways) > 0 {
					s.Flows = append(s.Flows, Flow{Source: i, Segment: -1, To: m.Legs() - 1})
				}
			}
			before := k.work.Left
			shared, program := k.shareFrom(nil, 0, s)
			require.LessOrEqual(t, k.work.Left, before)
			require.True(t, k.load.fits(n, shared))
			got := p.cost(n, 0, shared)
			for o := range n.Offers {
				n.Offers[o].Min, n.Offers[o].Limit = s.Packs[o], s.Packs[o]
			}
			require.InEpsilon(t, needByCBC(t, m, p)+1, got+1, 1e-6)
			require.LessOrEqual(t, got, usual*(1+1e-9)+1e-9)
			for q := range p.Cell[0] {
				p.Cell[0][q], p.Cell[1][q] = r.Float64()/2, p.Cell[0][q]
			}
			p.settle()
			shared, _ = k.shareFrom(program, 0, s)
			require.True(t, k.load.fits(n, shared))
			require.InEpsilon(t, needByCBC(t, m, p)+1, p.cost(n, 0, shared)+1, 1e-6)
			if got < usual*(1-1e-6) {
				better++
			}
		})
	}
	require.Greater(t, tried, 30)
	require.Greater(t, better, tried/10, "the usual orders would do")
}
