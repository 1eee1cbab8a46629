package search

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// What CBC proves that random needs cost at least, the walk says at most, also
// where carrying costs so much that what is eaten in port had better be bought
// there.
func TestAChainEndsBelowCBC(t *testing.T) {
	t.Parallel()
	bounds, costs := 0.0, 0.0
	for seed := range uint64(60) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			r := rand.New(rand.NewPCG(seed, 23))
			m := drawItem(r)
			for g := range m.Needs[0].Segments {
				if m.Needs[0].Segments[g].Period%2 == 0 {
					m.Needs[0].Segments[g].Amount *= 4
				}
			}
			for i := range m.Needs[0].Sources {
				m.Needs[0].Sources[i].Line = 0
			}
			p := drawPrices(r, m)
			for stop := range p.Kg {
				p.Kg[stop] *= 4
			}
			clear(p.Open[0])
			p.settle()
			c := newChain(m, m.Needs[0], &slate{})
			require.NotNil(t, c)
			bound, cost := c.bound(p, 0), needByCBC(t, m, p)
			require.LessOrEqual(t, bound, cost*(1+1e-9))
			bounds, costs = bounds+bound, costs+cost
		})
	}
	require.Greater(t, bounds, 0.9*costs, "the walk is nowhere near")
}

// A pack of 10 at the second stop, of which 5 are eaten there, costs 12 and the
// carrying of 5, so that with a pack of 5 before the need costs 27; three packs
// of 5 from the first stop would cost 30, and 32 is what the second way seems
// to cost before what is eaten in port is taken off.
func TestWhatIsEatenInPortIsNotCarried(t *testing.T) {
	t.Parallel()
	inf := math.Inf(1)
	way := []Way{{Litres: 1, Expires: 99}}
	n := &Need{Miss: 100, Due: []float64{0, 0}, Until: []float64{2, 4},
		Segments: []Segment{{Period: 1, End: 2, Amount: 5}, {Period: 2, End: 3, Amount: 5}, {Period: 3, End: 4, Amount: 5}},
		Sources: []Source{{Aboard: -1, Kg: 1, Last: 4, Ways: way, Offers: []int{0}},
			{Stop: 1, Aboard: -1, Kg: 1, Last: 4, Ways: way, Offers: []int{1}}},
		Offers: []Offer{{Source: 0, Size: 5, Price: 10, Limit: MaxPacks}, {Source: 1, Size: 10, Price: 12, Limit: MaxPacks}}}
	m := &Model{Stops: 3, TripCost: make([]float64, 3), Carry: []float64{inf, inf, inf}, Room: []float64{inf, inf}, Needs: []*Need{n}}
	p := newPrices(m)
	p.Kg[1] = 1
	c := newChain(m, n, &slate{})
	bound := c.bound(p, 0)
	require.LessOrEqual(t, bound, 27.0)
	require.Greater(t, bound, 26.9)
	s := newSchedule(m, n)
	c.trace(s)
	require.Equal(t, []int{1, 1}, s.Packs)
}
