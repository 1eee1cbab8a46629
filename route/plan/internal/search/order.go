package search

import (
	"cmp"
	"math"
	"slices"
)

// order lists what can serve one segment of a need, what expires first ahead.
type order []server

type server struct {
	source, to int
	direct     bool // eaten in the stay where it is bought
	ways       []pricedWay
}

// pricedWay is a way that lasts, with the price of a unit kept on it.
type pricedWay struct {
	way   int
	price float64
}

// reprice must follow every change of the prices.
func (a *allocator) reprice() {
	a.prices.settle()
	for _, i := range a.needs {
		n := a.m.Needs[i]
		for g, servers := range a.order[i] { // latest and cheap share the ways
			for _, sv := range servers {
				source := &n.Sources[sv.source]
				for k := range sv.ways {
					sv.ways[k].price = a.prices.hold(source, source.Ways[sv.ways[k].way], sv.to)
				}
				sortWays(source, sv.ways)
			}
			sortServers(n, a.cheap[i][g])
		}
	}
}

// sortServers puts those first that cost least to hold and eat.
func sortServers(n *Need, servers order) {
	cost := func(sv *server) float64 {
		if sv.direct || len(sv.ways) == 0 {
			return n.Sources[sv.source].Taste
		}
		return n.Sources[sv.source].Taste + sv.ways[0].price
	}
	for i := 1; i < len(servers); i++ {
		for k := i; k > 0 && cost(&servers[k-1]) > cost(&servers[k]); k-- {
			servers[k-1], servers[k] = servers[k], servers[k-1]
		}
	}
}

// sortWays puts the cheapest first, then the shortest life.
func sortWays(s *Source, ways []pricedWay) {
	for i := 1; i < len(ways); i++ {
		for k := i; k > 0; k-- {
			x, y := ways[k-1], ways[k]
			if x.price < y.price || x.price == y.price && s.Ways[x.way].Expires <= s.Ways[y.way].Expires {
				break
			}
			ways[k-1], ways[k] = y, x
		}
	}
}

// orders lists the servers per segment, by life and from the last bought.
func (n *Need) orders() (byLife, byStop []order) {
	lives := n.sorted(func(s, t *Source) int { return cmp.Compare(s.life(), t.life()) })
	stops := n.sorted(func(s, t *Source) int {
		return cmp.Or(cmp.Compare(t.Stop, s.Stop), cmp.Compare(s.Aboard, t.Aboard), cmp.Compare(s.Taste, t.Taste))
	})
	byLife, byStop = make([]order, len(n.Segments)), make([]order, len(n.Segments))
	servers := make([]server, len(n.Sources))
	for g, segment := range n.Segments {
		count := 0
		for _, i := range lives {
			s := &n.Sources[i]
			servers[i] = server{source: -1}
			if !s.Serves(segment) {
				continue
			}
			count++
			servers[i] = server{source: i, to: lastDeparture(segment.Period), direct: s.direct(segment.Period)}
			if !servers[i].direct {
				servers[i].ways = s.lasting(segment.End)
			}
		}
		byLife[g], byStop[g] = pick(servers, lives, count), pick(servers, stops, count)
	}
	return byLife, byStop
}

// sorted lists the sources in an order, else as they come.
func (n *Need) sorted(compare func(s, t *Source) int) []int {
	list := make([]int, len(n.Sources))
	for i := range list {
		list[i] = i
	}
	slices.SortStableFunc(list, func(a, b int) int { return compare(&n.Sources[a], &n.Sources[b]) })
	return list
}

// pick lists those servers that serve, in an order.
func pick(servers []server, sources []int, count int) order {
	list := make(order, 0, count)
	for _, i := range sources {
		if servers[i].source >= 0 {
			list = append(list, servers[i])
		}
	}
	return list
}

// life is the moment the source's last unit can be kept to.
func (s *Source) life() float64 {
	longest := math.Inf(-1)
	for _, w := range s.Ways {
		longest = max(longest, w.Expires)
	}
	return longest
}

func (s *Source) lasting(end float64) []pricedWay {
	var ways []pricedWay
	for i, w := range s.Ways {
		if w.keeps(end) {
			ways = append(ways, pricedWay{way: i})
		}
	}
	return ways
}
