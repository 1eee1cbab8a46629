package search

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawFiller fills a random need, with all sources open; what is aboard has to be held where room is dear.
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
	return f, n, slices.Repeat([]bool{true}, len(n.Sources))
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

// What is eaten in port is bought there day by day; what is eaten under way is
// bought as it finds room.
func TestWhatIsEatenInPortIsBought(t *testing.T) {
	t.Parallel()
	for seed := range uint64(50) {
		f, n, open := drawFiller(seed)
		n.ReserveMiss = 0
		f.spread(n, open)
		lacking := make([]float64, len(n.Segments))
		for g, segment := range n.Segments {
			lacking[g] = segment.Amount
		}
		stowed := 0.0
		for _, flow := range f.flows {
			lacking[flow.Segment] -= flow.Amount
			stowed += flow.Amount
		}
		inPort, want := 0.0, 0.0
		for g, segment := range n.Segments {
			if segment.Period%2 == 0 {
				inPort += lacking[g]
			}
		}
		for _, x := range f.want {
			want += x
		}
		require.Positive(t, inPort)
		require.InDelta(t, stowed+inPort, want, 1e-6, "seed %d", seed)
	}
}

// Of all that could be held for reserves the one that saves most is taken, and so on
// until nothing that has room saves anything.
func TestReservesAreProvidedForUntilNothingSaves(t *testing.T) {
	t.Parallel()
	provided, full := 0, 0
	for seed := range uint64(200) {
		f, n, open := drawFiller(seed)
		n.ReserveMiss = 0
		f.spread(n, open)
		r := rand.New(rand.NewPCG(seed, 63))
		for leg := range n.Due {
			n.Due[leg] = max(0, 12*r.Float64()-6)
		}
		n.ReserveMiss = 2 + 9*r.Float64()
		for i := range open {
			open[i] = n.Sources[i].Aboard >= 0 || r.IntN(4) > 0
		}
		f.a.lift[1+r.IntN(2)] = 0 // nothing more can be carried away there
		lack := n.lacking(f.flows)
		most := 0.0
		for i := range n.Sources {
			for w := range n.Sources[i].Ways {
				for to := range lack {
					most = max(most, f.worthHolding(n, lack, open, i, w, to))
				}
			}
		}
		_, saved := f.saving(n, lack, open)
		require.InDelta(t, most, saved, 1e-9, "seed %d", seed)
		before := len(f.flows)
		f.provide(n, open)
		provided += len(f.flows) - before
		_, saved = f.saving(n, n.lacking(f.flows), open)
		require.LessOrEqual(t, saved, 0.0, "seed %d", seed)
		for i := range f.full {
			if f.full[i] {
				full++
			}
		}
	}
	require.Greater(t, provided, 50)
	require.Greater(t, full, 10)
}

// worthHolding is what a unit of a source saves that is held in one way for the
// reserves of all legs up to one; nothing where that leg has no use for it.
func (f *filler) worthHolding(n *Need, lack []float64, open []bool, source, way, to int) float64 {
	s := &n.Sources[source]
	if !open[source] || s.Aboard >= 0 && f.a.left[source] <= Slack || f.full[source] {
		return 0
	}
	var helped []float64
	for leg, l := range lack {
		if l > Slack && leg >= s.Stop && leg <= to && 2*leg+1 <= s.Last && s.Ways[way].Expires >= n.Until[leg]-1e-9 {
			helped = append(helped, l)
		}
	}
	cost := f.a.prices.hold(s, s.Ways[way], to)
	if s.Aboard < 0 {
		cost += n.UnitPrice(source)
	}
	if s.Aboard < 0 && len(helped) > 0 {
		cost += f.fixed(s, source) / slices.Max(helped)
	}
	return float64(len(helped))*n.ReserveMiss - cost
}
