package search

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawModel makes a model of several needs that share little room.
func drawModel(r *rand.Rand, needs int) *Model {
	m := drawNeed(r)
	for len(m.Needs) < needs {
		m.Needs = append(m.Needs, drawNeed(r).Needs[0])
	}
	m.Room = []float64{12 * float64(needs), 5 * float64(needs), 20 * float64(needs)}
	for i := range m.Needs[0].Segments {
		m.Needs[0].Segments[i].Amount = 0 // held for emergencies only
	}
	return m
}

// However little is tried, no pack more that costs less than what lacks, shared
// out in any order into the room that others leave, lowers the cost of the
// plan.
func TestNoPackMoreWouldSave(t *testing.T) {
	t.Parallel()
	for seed := range uint64(25) {
		for _, work := range []int{1, 300, 3000} {
			t.Run(fmt.Sprintf("seed %d work %d", seed, work), func(t *testing.T) {
				m := drawModel(rand.New(rand.NewPCG(seed, 5)), 6)
				s := newSeason(context.Background(), m, Options{Work: work})
				r := s.run()
				load := newLoad(m)
				for i, p := range r.Schedules {
					load.add(m.Needs[i], p, 1)
				}
				a := newAllocator(m, load, newPrices(m))
				for i, n := range m.Needs {
					p := r.Schedules[i]
					load.add(n, p, -1)
					cost := p.Own() + load.more(p)
					for o := range n.Offers {
						for mode := range modes {
							more := p.clone()
							if more.Packs[o]++; more.Packs[o] > n.Offers[o].Limit || n.Offers[o].Price > p.Missing+p.Reserve {
								continue
							}
							more.Mode = mode
							a.allocate(i, more)
							require.GreaterOrEqual(t, more.Own()+load.more(more), cost-1e-5*(1+cost), "need %d offer %d mode %d", i, o, mode)
						}
					}
					load.add(n, p, 1)
				}
			})
		}
	}
}
