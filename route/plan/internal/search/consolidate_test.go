package search

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Three units of one purchase for two legs: a twentieth of it was shared out
// to the other of two equal spaces, and the second leg's lot to the first.
func TestConsolidateJoinsSpacesAndDraws(t *testing.T) {
	t.Parallel()
	inf := math.Inf(1)
	ways := []Way{{Room: 0, Litres: 1, Expires: 90}, {Room: 1, Litres: 1, Expires: 90}}
	n := &Need{Miss: 100, Due: []float64{0, 0}, Until: []float64{9, 19},
		Segments: []Segment{{Period: 1, End: 5, Amount: 2}, {Period: 3, End: 15, Amount: 1}},
		Sources: []Source{{Aboard: -1, Last: 4, Kg: 1, Ways: ways, Offers: []int{0}},
			{Aboard: 0, Held: 1, Last: 4, Kg: 1, Ways: ways[:1]}},
		Offers: []Offer{{Source: 0, Size: 1, Price: 4, Limit: MaxPacks}}}
	m := &Model{Stops: 3, TripCost: []float64{0, 0, 0}, Carry: []float64{inf, inf, inf}, Room: []float64{10, 10, inf}, Needs: []*Need{n}}
	s := newSeason(context.Background(), m, Options{Work: 1})
	split := newSchedule(m, n)
	split.Packs[0] = 2
	split.Flows = []Flow{{0, 0, 0, 0, 1.05}, {0, 1, 0, 0, 0.05}, {1, 0, 0, 0, 0.9}, {1, 0, 1, 1, 0.1}, {0, 0, 1, 1, 0.9}}
	s.last.recount(n, split)
	s.plan[0] = split
	s.load.add(n, split, 1)
	s.tell()
	cost := s.total()
	s.consolidate()
	require.InDelta(t, cost, s.total(), 1e-9)
	require.Len(t, s.plan[0].Flows, 2, "%v", s.plan[0].Flows)
	for _, f := range s.plan[0].Flows {
		require.Zero(t, f.Way, "one space")
	}
}
