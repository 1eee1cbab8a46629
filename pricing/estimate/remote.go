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
	if ix.in.Apart == nil || ix.countries <= remoteLands || ix.countries > mostNear {
		return nil
	}
	marks := ix.landmarks()
	out := make([]float64, ix.ports)
	sum, n := 0.0, 0.0
	for p := range out {
		d := ix.lonely(int32(p), marks)
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

// lonely is the mean distance of a port to the nearest other countries, NaN when
// the port or too few others are placed.
func (ix *index) lonely(port int32, marks [][]int32) float64 {
	var nearest []float64
	for c, ports := range marks {
		if int32(c) == ix.countryOf[port] {
			continue
		}
		best := math.Inf(1)
		for _, q := range ports {
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
	slices.SortFunc(nearest, cmp.Compare)
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
