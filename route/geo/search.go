package geo

import "container/heap"

// search looks for a short way over the blocks of the sea chart.
//
// Method: A* with any-angle parents checked late, after A. Nash, S. Koenig and
// C. Tovey, Lazy Theta*, Proc. AAAI 24 (2010) 147–154 (from memory), on blocks
// of unequal size. A node stands at its block's centre; the start is a node of
// its own, in sight of its block's centre as any place in a block is.
type search struct {
	c     *Coast
	goal  vector
	nodes []node
	byKey map[block]int32
	queue nodeQueue
	start vector
	least int // blocks smaller than this count only near the ends
}

type node struct {
	at     vector
	block  block
	parent int32
	gone   float64 // nautical miles from the start
	left   float64 // at least to the goal
	closed bool
}

const (
	// fineNodes and coarseNodes bound a search. An ocean crossing takes a few
	// thousand.
	fineNodes, coarseNodes = 160_000, 300_000
	// coarse is the least block, in cells, where a way round continents is
	// looked for: 1/16°, except within nearEnd miles of its ends.
	coarse  = cellsPerDegree / 16
	nearEnd = 100
	// slack is how much longer than it will be a way may look to the search.
	slack = 1.02
)

// search gives the places where the way bends, ends included; ErrTooFar when
// there is none of at most most nautical miles, ErrNoWay when none was found.
// What takes too long on the fine chart is looked for again on the coarse one.
func (c *Coast) search(from, to Position, start, end block, most float64) ([]vector, error) {
	s := &search{c: c, start: from.vector(), goal: to.vector(), byKey: map[block]int32{}}
	way, err := s.run(start, end, most, fineNodes)
	if len(s.nodes) < fineNodes {
		return way, err
	}
	s = &search{c: c, start: s.start, goal: s.goal, byKey: map[block]int32{}, least: coarse}
	return s.run(start, end, most, coarseNodes)
}

func (s *search) run(start, end block, most float64, maxNodes int) ([]vector, error) {
	s.nodes = append(s.nodes, node{at: s.start, block: start, parent: -1, closed: true})
	first := start.centre().vector()
	s.add(start, first, 0, s.start.nm(first))
	outcome := ErrNoWay
	for len(s.queue) > 0 && len(s.nodes) < maxNodes {
		i := heap.Pop(&s.queue).(entry).node
		if s.nodes[i].closed {
			continue
		}
		if s.nodes[i].gone+s.nodes[i].left > slack*most {
			outcome = ErrTooFar
			continue
		}
		s.settle(i)
		if s.nodes[i].block == end {
			return append(s.trace(i), s.goal), nil
		}
		s.expand(i)
	}
	return nil, outcome
}

func (s *search) add(b block, at vector, parent int32, gone float64) {
	i := int32(len(s.nodes))
	s.byKey[b] = i
	s.nodes = append(s.nodes, node{at: at, block: b, parent: parent, gone: gone, left: at.nm(s.goal)})
	heap.Push(&s.queue, entry{i, gone + s.nodes[i].left})
}

// settle closes node i. Its parent was taken on trust; when it is not in
// sight, the best closed neighbour takes its place, one in sight if there is
// one: blocks that share a side see each other but for the curve of a great
// circle.
func (s *search) settle(i int32) {
	n := &s.nodes[i]
	n.closed = true
	if s.c.inSight(s.nodes[n.parent].at, n.at) {
		return
	}
	n.parent, n.gone = -1, inf
	hidden, far := int32(-1), inf
	s.c.neighbours(n.block, func(b block) {
		k, ok := s.byKey[b]
		if !ok || !s.nodes[k].closed || k == i {
			return
		}
		d := s.nodes[k].gone + s.nodes[k].at.nm(n.at)
		if d < far {
			hidden, far = k, d
		}
		if d < n.gone && s.c.inSight(s.nodes[k].at, n.at) {
			n.parent, n.gone = k, d
		}
	})
	if n.parent < 0 {
		n.parent, n.gone = hidden, far
	}
}

// expand offers every neighbour of i the way through i's parent.
func (s *search) expand(i int32) {
	via := s.nodes[i].parent
	v := s.nodes[via]
	s.c.neighbours(s.nodes[i].block, func(b block) {
		k, ok := s.byKey[b]
		if ok && s.nodes[k].closed {
			return
		}
		if !ok {
			at := b.centre().vector()
			if b.size < s.least && at.nm(s.start) > nearEnd && at.nm(s.goal) > nearEnd {
				return
			}
			s.add(b, at, via, v.gone+v.at.nm(at))
			return
		}
		if d := v.gone + v.at.nm(s.nodes[k].at); d < s.nodes[k].gone {
			s.nodes[k].parent, s.nodes[k].gone = via, d
			heap.Push(&s.queue, entry{k, d + s.nodes[k].left})
		}
	})
}

func (s *search) trace(i int32) []vector {
	var way []vector
	for ; i >= 0; i = s.nodes[i].parent {
		way = append(way, s.nodes[i].at)
	}
	for a, b := 0, len(way)-1; a < b; a, b = a+1, b-1 {
		way[a], way[b] = way[b], way[a]
	}
	return way
}

type entry struct {
	node int32
	rank float64
}

// nodeQueue is a heap by rank, then by node, so that the same search always
// gives the same way.
type nodeQueue []entry

func (q nodeQueue) Len() int      { return len(q) }
func (q nodeQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q nodeQueue) Less(i, j int) bool {
	if q[i].rank != q[j].rank {
		return q[i].rank < q[j].rank
	}
	return q[i].node < q[j].node
}

func (q *nodeQueue) Push(x any) { *q = append(*q, x.(entry)) }

func (q *nodeQueue) Pop() any {
	last := len(*q) - 1
	e := (*q)[last]
	*q = (*q)[:last]
	return e
}
