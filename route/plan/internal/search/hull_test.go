package search

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawNeed makes a need of two items at four stops with stays of a day, legs
// of eight, and one or two spaces.
func drawNeed(r *rand.Rand) *Model {
	inf := math.Inf(1)
	m := &Model{Stops: 4, TripCost: []float64{5, 0, 8, 3}, Carry: []float64{inf, 9, 4, inf}, Room: []float64{20, 8, inf}}
	n := &Need{Miss: 30, ReserveMiss: 2}
	for leg := range 3 {
		n.Due = append(n.Due, r.Float64()*2)
		n.Until = append(n.Until, float64(9*leg+11))
	}
	for item := range 2 {
		for stop := range 4 {
			s := Source{Item: item, Stop: stop, Aboard: -1, Taste: r.Float64() * float64(item), Line: r.Float64(), Kg: 1, Last: 6}
			for room := range r.IntN(3) {
				s.Ways = append(s.Ways, Way{Room: room, Litres: 1 + r.Float64(), Expires: float64(9*stop+1) + r.Float64()*30})
			}
			if stop == 3 {
				s.Ways = nil
			}
			for range 1 + r.IntN(2) {
				size := 0.5 + r.Float64()*3
				s.Offers = append(s.Offers, len(n.Offers))
				n.Offers = append(n.Offers, Offer{Source: len(n.Sources), Size: size, Price: size * (1 + r.Float64()*4),
					Min: r.IntN(8) / 7, Limit: 2 + r.IntN(9)})
			}
			n.Sources = append(n.Sources, s)
		}
	}
	n.Sources = append(n.Sources, Source{Item: 0, Held: 2, Kg: 1, Last: 6, Ways: []Way{{Room: 1, Litres: 1, Expires: 15}}})
	for period := range 7 {
		days := []float64{1, 8}[period%2]
		for half := range 2 {
			n.Segments = append(n.Segments, Segment{Period: period, End: float64(9*(period/2)) + float64(period%2) + days*float64(half+1)/2,
				Amount: days / 4 * (0.5 + r.Float64())})
		}
	}
	m.Needs = []*Need{n}
	return m
}

func drawPrices(r *rand.Rand, m *Model) *Prices {
	p := newPrices(m)
	for q := range m.Legs() {
		for room := range m.Room {
			p.Cell[room][q] = max(0, r.Float64()-0.4)
		}
	}
	for stop := range m.Stops {
		p.Kg[stop] = r.Float64() * 0.5
		p.Open[0][stop] = r.Float64() * 3
	}
	return p
}

// Whatever is done about a need costs, with the room it takes, at least what
// the hull says, even when the hull strives for more than can be reached.
func TestNoScheduleCostsLessThanTheHull(t *testing.T) {
	t.Parallel()
	closest := math.Inf(1)
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 9))
		m := drawNeed(r)
		p := drawPrices(r, m)
		k := &seeker{allocator: newAllocator(m, nil, p), work: &Work{1e6, context.Background()}, depth: 9}
		best, value := k.fresh(0)
		best, value = k.polish(0, best, value)
		for range 300 {
			s := newSchedule(m, m.Needs[0])
			s.Mode = Mode(r.IntN(int(modes)))
			for o, offer := range m.Needs[0].Offers {
				s.Packs[o] = max(offer.Min, min(offer.Limit, best.Packs[o]+r.IntN(3)-1))
			}
			value = min(value, k.value(0, s))
		}
		h := newHull(m, p, 0)
		h.start(nil)
		bound := h.ascend(value*1.3+10, 400)
		require.LessOrEqual(t, bound, value*(1+1e-9), "seed %d", seed)
		closest = min(closest, value-bound)
	}
	require.Less(t, closest, 1e-2, "the hull is nowhere near")
}

// One item, one stop, one leg: 10 units in packs of 4 cost three packs; the
// shares alone would let two and a half do.
func TestTotalsCountWholePacks(t *testing.T) {
	t.Parallel()
	inf := math.Inf(1)
	n := &Need{Miss: 100, Due: []float64{0}, Until: []float64{9},
		Segments: []Segment{{Period: 1, End: 5, Amount: 6}, {Period: 2, End: 8, Amount: 4}},
		Sources: []Source{{Aboard: -1, Last: 2, Ways: []Way{{Room: 0, Litres: 1, Expires: 9}}, Offers: []int{0}},
			{Aboard: -1, Stop: 1, Last: 2, Offers: []int{1}}},
		Offers: []Offer{{Source: 0, Size: 4, Price: 4, Limit: MaxPacks}, {Source: 1, Size: 4, Price: 4, Limit: MaxPacks}}}
	m := &Model{Stops: 2, TripCost: []float64{0, 0}, Carry: []float64{inf, inf}, Room: []float64{inf, inf}, Needs: []*Need{n}}
	h := newHull(m, newPrices(m), 0)
	h.start(nil)
	require.InDelta(t, 10, h.evaluate(), 1e-9)
	require.InDelta(t, 2, h.gain(5), 1e-9)
}
