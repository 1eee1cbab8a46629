package estimate

import (
	"math"
	"strings"

	"hardtack/pricing"
)

// Availability: found and not found are counted, fading with age, and each
// level's count starts from the next's belief, as if it were this many
// reports: all, then items and ports, then category at port, then the item in
// the group of islands, which one ship supplies, then the cell.
const (
	foundHalfLife = 90.0  // days
	freshHalfLife = 45.0  // what comes and goes with every ship
	groupHalfLife = 360.0 // of a port or an item as a whole
	noneWeight    = 0.7   // "none" may mean "not seen"
	startFound    = 9.0   // of startAsked: most that is asked for is there
	startAsked    = 10.0
	itemStrength  = 6.0
	portStrength  = 6.0
	groupStrength = 4.0
	shipStrength  = 3.0
	cellStrength  = 3.0

	shipNM = 150 // ports of one country so near have their goods by one ship
	// mostPorts bounds the distances worked out in one country.
	mostPorts = 60
)

// tally counts reports that found something, and all.
type tally struct{ found, asked float64 }

func (t *tally) add(found, w float64) {
	t.found += found * w
	t.asked += w
}

// from is the mean of the Beta belief that starts as strength reports with the
// share p found.
func (t tally) from(p, strength float64) float64 {
	return (p*strength + t.found) / (strength + t.asked)
}

// odds of finding, by level.
type supply struct {
	*index
	all         tally
	item, port  []tally
	group, cell map[[2]int32]tally // category at port, item at port
	ship        map[[2]int32]tally // item at island group
	islands     []int32            // group of each port: the first port in it
}

func newSupply(ix *index) *supply {
	return &supply{
		index: ix, all: tally{startFound, startAsked}, item: make([]tally, ix.items), port: make([]tally, ix.ports),
		group: map[[2]int32]tally{}, cell: map[[2]int32]tally{}, ship: map[[2]int32]tally{}, islands: ix.islandGroups(),
	}
}

// count adds a report. Every price and every remark says "found".
func (s *supply) count(r *pricing.Report) {
	i, p := s.itemAt[r.Item], s.portAt[r.Port]
	age := float64(s.in.Day - r.Day)
	found, w := 1.0, 1.0
	if r.Found == pricing.FoundNone {
		found, w = 0, noneWeight
	}
	slow, quick := w*math.Exp2(-age/groupHalfLife), w*math.Exp2(-age/s.halfLife(i))
	s.all.add(found, slow)
	s.item[i].add(found, slow)
	s.port[p].add(found, slow)
	g, c := [2]int32{p, s.categoryOf[i]}, [2]int32{p, i}
	group, cell := s.group[g], s.cell[c]
	group.add(found, slow)
	cell.add(found, quick)
	s.group[g], s.cell[c] = group, cell
	if w := [2]int32{s.islands[p], i}; w[0] >= 0 {
		ship := s.ship[w]
		ship.add(found, quick)
		s.ship[w] = ship
	}
}

// fresh says whether an item is of a category that is called fresh.
func (ix *index) fresh(item int32) bool {
	return strings.Contains(strings.ToLower(ix.itemOf[item].Category), "fresh")
}

func (s *supply) halfLife(item int32) float64 {
	if s.fresh(item) {
		return freshHalfLife
	}
	return foundHalfLife
}

// expected is the probability as long as nobody has looked for the item there.
func (s *supply) expected(port, item int32) float64 {
	all := s.all.found / s.all.asked
	p := all
	if item >= 0 {
		p = s.item[item].from(all, itemStrength)
	}
	if port >= 0 {
		p = combine(p, s.port[port].from(all, portStrength), all)
	}
	if item < 0 || port < 0 {
		return p
	}
	p = s.group[[2]int32{port, s.categoryOf[item]}].from(p, groupStrength)
	if g := s.islands[port]; g >= 0 {
		// The cell's own reports are among the group's: what they say twice is
		// bounded by the group's strength.
		p = s.ship[[2]int32{g, item}].from(p, shipStrength+s.cell[[2]int32{port, item}].asked)
	}
	return p
}

// islandGroups joins ports of a country that are near each other; -1 for a port
// that is alone or whose place is not known.
func (ix *index) islandGroups() []int32 {
	out := make([]int32, ix.ports)
	byCountry := make([][]int32, ix.countries)
	for p, c := range ix.countryOf {
		out[p] = -1
		byCountry[c] = append(byCountry[c], int32(p))
	}
	if ix.in.Apart == nil {
		return out
	}
	for _, ports := range byCountry {
		if len(ports) <= mostPorts {
			ix.join(ports, out)
		}
	}
	return out
}

// join gives ports within reach of each other, from one to the next, the
// number of the first of them.
func (ix *index) join(ports, out []int32) {
	var near [][2]int32
	for k, a := range ports {
		for _, b := range ports[:k] {
			if d, ok := ix.in.Apart(ix.portOf[a].ID, ix.portOf[b].ID); ok && d <= shipNM {
				near = append(near, [2]int32{b, a})
				out[a], out[b] = a, b
			}
		}
	}
	for moved := true; moved; {
		moved = false
		for _, n := range near {
			first := min(out[n[0]], out[n[1]])
			moved = moved || out[n[0]] != first || out[n[1]] != first
			out[n[0]], out[n[1]] = first, first
		}
	}
}

// at is the probability of finding an item at a port some days later; either
// may be unknown, below 0.
func (s *supply) at(port, item int32, later float64) float64 {
	p := s.expected(port, item)
	if item < 0 || port < 0 {
		return p
	}
	c := s.cell[[2]int32{port, item}]
	fade := math.Exp2(-later / s.halfLife(item))
	return tally{c.found * fade, c.asked * fade}.from(p, cellStrength)
}

// combine moves p by as much, in log odds, as q differs from the common base.
func combine(p, q, base float64) float64 {
	odds := func(x float64) float64 { return x / (1 - x) }
	o := odds(p) * odds(q) / odds(base)
	return o / (1 + o)
}
