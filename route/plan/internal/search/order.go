package search

import (
	"cmp"
	"math"
	"slices"
	"sync"
)

// lay says which segments each source of a need can serve, whatever the packs
// and prices: from its first one to before its last, those of the stay where it
// is bought first.
type lay struct {
	byLife, byStop []int32            // sources: what expires first ahead; what was bought last ahead
	spans          []span             // per source
	to             []int32            // per segment: the last departure over which what it uses has been held
	starts         []int32            // per segment: how many serve those before it, all added up
	ways           int                // most ways of a source
	used           []float64          // per segment: what those before it use
	due            bool               // a reserve is due at all
	most           func() [][]float64 // per room and departure: no more of it can be of use
}

// span counts segments.
type span struct {
	from, stay, till int32       // stay: the end of those served in port, what is bought being eaten day by day
	ways             []int32     // per way: the end of those it lasts for
	counts           [][]float64 // per way and leg: 1 where what is held then counts for the reserve, else 0
}

// prepare finds what the needs can be served by, once.
func (m *Model) prepare() {
	for _, n := range m.Needs {
		if n.lay == nil {
			n.lay = n.laid()
			n.lay.most = sync.OnceValue(func() [][]float64 { return n.most(m) })
		}
	}
}

func (n *Need) laid() *lay {
	l := &lay{}
	for _, g := range n.Segments {
		l.to = append(l.to, int32(lastDeparture(g.Period)))
	}
	for i := range n.Sources {
		l.spans = append(l.spans, n.span(&n.Sources[i]))
		l.ways = max(l.ways, len(n.Sources[i].Ways))
	}
	l.starts, l.used = make([]int32, len(n.Segments)+1), make([]float64, len(n.Segments)+1)
	for g := range n.Segments {
		l.used[g+1] = l.used[g] + n.Segments[g].Amount
		l.starts[g+1] = l.starts[g]
		for i := range l.spans {
			if l.spans[i].serves(g) {
				l.starts[g+1]++
			}
		}
	}
	l.due = slices.ContainsFunc(n.Due, func(due float64) bool { return due > Slack })
	l.byLife = n.sorted(func(s, t *Source) int { return cmp.Compare(s.life(), t.life()) })
	l.byStop = n.sorted(func(s, t *Source) int {
		return cmp.Or(cmp.Compare(t.Stop, s.Stop), cmp.Compare(s.Aboard, t.Aboard), cmp.Compare(s.Taste, t.Taste))
	})
	return l
}

// most is, per room and departure, what all that can still be of use would take up
// there: as much as is used within the longest life, and the largest reserve, of
// what is bulkiest.
func (n *Need) most(m *Model) [][]float64 {
	due := 0.0
	for _, d := range n.Due {
		due = max(due, d)
	}
	first := func(q int) int { // segment after a departure
		g, _ := slices.BinarySearchFunc(n.Segments, 2*q+1, func(g Segment, period int) int { return cmp.Compare(g.Period, period) })
		return g
	}
	most := make([][]float64, len(m.Room))
	for r := range most {
		most[r] = make([]float64, m.Legs())
	}
	for q := range m.Legs() {
		used, bulk := make([]float64, len(m.Room)), make([]float64, len(m.Room))
		count := func(room, end int, unit float64) {
			used[room] = max(used[room], n.lay.used[max(end, first(q))]-n.lay.used[first(q)])
			bulk[room] = max(bulk[room], unit)
		}
		for i := range n.Sources {
			s := &n.Sources[i]
			if s.Stop > q {
				continue
			}
			for w, way := range s.Ways {
				end := int(n.lay.spans[i].ways[w])
				count(way.Room, end, way.Litres)
				count(m.Payload(), end, s.Kg)
			}
		}
		for r := range most {
			most[r][q] = bulk[r] * (used[r] + due)
		}
	}
	return most
}

func (n *Need) span(s *Source) span {
	// first is the first segment of which something holds for all after it too.
	first := func(holds func(Segment) bool) int32 {
		for g, segment := range n.Segments {
			if holds(segment) {
				return int32(g)
			}
		}
		return int32(len(n.Segments))
	}
	x := span{from: first(func(g Segment) bool { return g.Period >= 2*s.Stop })}
	x.stay = first(func(g Segment) bool { return g.Period >= 2*s.Stop && !s.direct(g.Period) })
	x.till = x.stay
	for _, w := range s.Ways {
		end := first(func(g Segment) bool { return g.Period > s.Last || !w.keeps(g.End) })
		x.ways = append(x.ways, end)
		x.till = max(x.till, end)
		counts := make([]float64, len(n.Until))
		for leg := range counts {
			if leg >= s.Stop && w.Expires >= n.Until[leg]-1e-9 {
				counts[leg] = 1
			}
		}
		x.counts = append(x.counts, counts)
	}
	return x
}

// sorted lists the sources in an order, else as they come.
func (n *Need) sorted(compare func(s, t *Source) int) []int32 {
	list := make([]int32, len(n.Sources))
	for i := range list {
		list[i] = int32(i)
	}
	slices.SortStableFunc(list, func(a, b int32) int { return compare(&n.Sources[a], &n.Sources[b]) })
	return list
}

// serves says whether a source can serve a segment at all.
func (x *span) serves(g int) bool { return g >= int(x.from) && g < int(x.till) }

// direct says whether a segment is served in port.
func (x *span) direct(g int) bool { return g < int(x.stay) }

// life is the moment the source's last unit can be kept to.
func (s *Source) life() float64 {
	longest := math.Inf(-1)
	for _, w := range s.Ways {
		longest = max(longest, w.Expires)
	}
	return longest
}

// turns lists what of a need is left over, in the order of a mode.
func (a *allocator) turns(n *Need, mode Mode) {
	order := n.lay.byLife
	if mode == Backward {
		order = n.lay.byStop
	}
	a.turn = a.turn[:0]
	for _, i := range order {
		if a.left[i] > 0 {
			a.turn = append(a.turn, i)
		}
	}
}
