package estimate

import (
	"cmp"
	"math"
	"slices"
)

// Goods come dearer to remote islands: a port's level goes up with the log of
// how far the nearest other countries are. How much is learned; nothing is
// taken for granted, so that without reports it makes no difference.
const (
	remoteSD    = 0.05 // of the slope
	remoteNM    = 100  // distance that is felt
	remoteLands = 3    // nearest countries that count
)

// remoteness is by port ln(1 + d / remoteNM), d the mean distance to the nearest
// other countries in nautical miles, against the mean of all ports; that mean
// for ports that are not placed. It is nil where distances are not known.
func (ix *index) remoteness() []float64 {
	if ix.apart == nil {
		return nil
	}
	marks := ix.landmarks()
	out := make([]float64, ix.ports)
	sum, n := 0.0, 0.0
	near := make([][]int32, ix.countries)
	for p := range out {
		c := ix.countryOf[p]
		if near[c] == nil {
			near[c] = ix.nearestLands(c)
		}
		d := ix.lonely(int32(p), near[c], marks)
		out[p] = math.Log1p(d / remoteNM)
		if !math.IsNaN(d) {
			sum += out[p]
			n++
		}
	}
	if n == 0 {
		return nil
	}
	for p, x := range out {
		if out[p] = x - sum/n; math.IsNaN(x) {
			out[p] = 0
		}
	}
	return out
}

// landmarks are up to a few ports of each country.
func (ix *index) landmarks() [][]int32 {
	const few = 5
	ports := make([][]int32, ix.countries)
	for p, c := range ix.countryOf {
		ports[c] = append(ports[c], int32(p))
	}
	for c, all := range ports {
		var some []int32
		for k := 0; k < len(all); k += 1 + len(all)/few {
			some = append(some, all[k])
		}
		ports[c] = some
	}
	return ports
}

// nearestLands are the countries nearest to one, among which are those nearest
// to its ports; an empty list, not nil, where none is placed.
func (ix *index) nearestLands(country int32) []int32 {
	const among = 12
	lands := []int32{}
	far := ix.apart[int(country)*ix.countries:][:ix.countries]
	for c, d := range far {
		if int32(c) != country && !math.IsNaN(d) {
			lands = append(lands, int32(c))
		}
	}
	slices.SortFunc(lands, func(a, b int32) int { return cmp.Or(cmp.Compare(far[a], far[b]), cmp.Compare(a, b)) })
	return lands[:min(among, len(lands))]
}

// lonely is the mean distance of a port to the nearest of some countries, NaN
// when the port or too few others are placed.
func (ix *index) lonely(port int32, lands []int32, marks [][]int32) float64 {
	var nearest []float64
	for _, c := range lands {
		best := math.Inf(1)
		for _, q := range marks[c] {
			if d, ok := ix.in.Apart(ix.portOf[port].ID, ix.portOf[q].ID); ok {
				best = min(best, d)
			}
		}
		if !math.IsInf(best, 1) {
			nearest = append(nearest, best)
		}
	}
	if len(nearest) < remoteLands {
		return math.NaN()
	}
	slices.Sort(nearest)
	return mean(nearest[:remoteLands])
}

// aloneAt is a port's remoteness.
func (l *layout) aloneAt(port int32) float64 {
	if l.alone == nil {
		return 0
	}
	return l.alone[port]
}

// steepen makes of what distribute adds to the slope of remoteness the
// diagonal's: the square of the port's.
func (s *system) steepen(out []float64, port int32, a float64) {
	x := s.aloneAt(port)
	out[s.remote] += (x*x - x) * a
}
