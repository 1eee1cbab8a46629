package search

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawFiller fills a random need, with all sources open, of which what is aboard
// has to be held where room is dear.
func drawFiller(seed uint64) (f *filler, n *Need, open []bool) {
	r := rand.New(rand.NewPCG(seed, 61))
	m := drawNeed(r)
	p := drawPrices(r, m)
	for q := range p.Cell[1] {
		p.Cell[1][q] = 4
	}
	p.settle()
	m.prepare()
	n = m.Needs[0]
	f = newFiller(newAllocator(m, newLoad(m), p), 0)
	for range n.Sources {
		open = append(open, true)
	}
	return f, n, open
}

// What is aboard is used before anything is bought, however dear the room it is held
// in: it is there, and going without it saves nothing.
func TestWhatIsAboardIsUsedFirst(t *testing.T) {
	t.Parallel()
	for seed := range uint64(50) {
		f, n, open := drawFiller(seed)
		aboard := slices.IndexFunc(n.Sources, func(s Source) bool { return s.Aboard >= 0 })
		use := 0.0
		for _, g := range n.Segments {
			if n.Sources[aboard].Serves(g) {
				use += g.Amount
			}
		}
		f.spread(n, open)
		require.InDelta(t, min(use, n.Sources[aboard].Held), f.want[aboard], 1e-6, "seed %d", seed)
	}
}

// What is bought to be held for a reserve is no more than the reserve lacks on each
// leg that it is bought for, and all that one of them lacks.
func TestReservesGetWhatTheyLack(t *testing.T) {
	t.Parallel()
	bought := 0
	for seed := range uint64(200) {
		f, n, open := drawFiller(seed)
		f.spread(n, open)
		r := rand.New(rand.NewPCG(seed, 62))
		lack := make([]float64, len(n.Due))
		for leg := range lack {
			lack[leg] = max(0, 4*r.Float64()-1)
		}
		n.ReserveMiss = 10
		flow, saved := f.saving(n, lack, open)
		if saved <= 0 {
			continue
		}
		bought++
		s := &n.Sources[flow.Source]
		var lacking []float64
		for leg := s.Stop; leg <= flow.To; leg++ {
			if lack[leg] > 0 && s.Ways[flow.Way].Expires >= n.Until[leg] {
				lacking = append(lacking, lack[leg])
			}
		}
		require.Equal(t, slices.Min(lacking), flow.Amount, "seed %d", seed)
	}
	require.Greater(t, bought, 50)
}
