package geo

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// What OverWater can say of a pair of places.
var (
	// ErrNotWater: a place is on land, or closer to it than the chart can tell.
	ErrNotWater = errors.New("not in open water")
	// ErrNoWay: water lies at both places, but no water joins them.
	ErrNoWay = errors.New("no way over water")
	// ErrTooFar: if there is a way, it is longer than asked for.
	ErrTooFar = errors.New("no way over water as short as that")
)

var inf = math.Inf(1)

// OverWater finds a short way over water through all the points and gives its
// length (sum of geodesics) and every place where it bends, the points
// included. The way is not shorter than the points' own geodesics and touches
// no land of the coastline; it goes round headlands at no particular distance
// and knows no depths, traffic, currents or rules; of ice only that the Arctic
// Ocean from 60°E to 90°W and the Antarctic coast are closed. The same way is
// found back. Points must be Navigable: ErrNotWater names the first that is not;
// ErrNoWay says which pair is not joined. Not for navigation.
func (c *Coast) OverWater(points []Position) (NauticalMiles, []Position, error) {
	return c.OverWaterWithin(points, NauticalMiles(inf))
}

// OverWaterWithin is OverWater that gives up with ErrTooFar as soon as it is
// plain that a pair's way is longer than most: so no ocean is searched in vain.
func (c *Coast) OverWaterWithin(points []Position, most NauticalMiles) (NauticalMiles, []Position, error) {
	for i, p := range points {
		if err := p.Check(); err != nil {
			return 0, nil, fmt.Errorf("point %d: %w: %w", i+1, ErrNotWater, err)
		}
		if _, ok := c.blockAt(cellAt(p)); !ok {
			return 0, nil, fmt.Errorf("point %d at %v: %w", i+1, p, ErrNotWater)
		}
	}
	if len(points) == 0 {
		return 0, nil, nil
	}
	way := []Position{points[0]}
	for i := 1; i < len(points); i++ {
		leg, err := c.between(points[i-1], points[i], float64(most))
		if err != nil {
			return 0, nil, fmt.Errorf("from point %d at %v to point %d at %v: %w", i, points[i-1], i+1, points[i], err)
		}
		way = append(way, leg[1:]...)
	}
	return Along(way), way, nil
}

// between finds the way always from the more southern end, so that there and
// back are the same.
func (c *Coast) between(a, b Position, most float64) ([]Position, error) {
	if b.Lat < a.Lat || b.Lat == a.Lat && b.Lon < a.Lon {
		way, err := c.between(b, a, most)
		slices.Reverse(way)
		return way, err
	}
	if v, w := a.vector(), b.vector(); c.clear(v, w) && !icy(v, w) {
		return []Position{a, b}, nil
	}
	start, _ := c.blockAt(cellAt(a))
	end, _ := c.blockAt(cellAt(b))
	if !c.joined(start, end) {
		return nil, ErrNoWay
	}
	bends, err := c.search(a, b, start, end, most)
	if err != nil {
		return nil, err
	}
	for _, round := range c.tighten(bends) {
		way := positions(round)
		way[0], way[len(way)-1] = a, b
		if !c.crossesAny(way) {
			return way, nil
		}
	}
	return nil, ErrNoWay
}

func positions(way []vector) []Position {
	out := make([]Position, len(way))
	for i, v := range way {
		out[i] = v.position()
	}
	return out
}

func (c *Coast) crossesAny(way []Position) bool {
	for i := 1; i < len(way); i++ {
		if c.Crosses(way[i-1], way[i]) {
			return true
		}
	}
	return false
}

// joined is false when one end lies in a small closed water, which would let
// the search run over all the oceans in vain.
func (c *Coast) joined(a, b block) bool {
	seenA, seenB := map[block]bool{}, map[block]bool{}
	oceanA, oceanB := c.reachesOcean(a, seenA), c.reachesOcean(b, seenB)
	if oceanA && oceanB {
		return true
	}
	return seenA[b] || seenB[a]
}

const (
	tightenRounds = 6
	tightenSteps  = 7
	enough        = 0.0003 // of the length; less gain ends the tightening
)

// tighten pulls the way straight like a string: leaves out bends that are not
// needed and cuts corners as far as the chart lets it. The tightest way comes
// first, the way as found last.
func (c *Coast) tighten(way []vector) [][]vector {
	rounds := [][]vector{way, c.straighten(way)}
	for range tightenRounds {
		last := rounds[len(rounds)-1]
		cut := []vector{last[0]}
		for i := 1; i < len(last)-1; i++ {
			cut = append(cut, c.cutCorner(cut[len(cut)-1], last[i], last[i+1])...)
		}
		cut = c.straighten(append(cut, last[len(last)-1]))
		rounds = append(rounds, cut)
		if length(last)-length(cut) < enough*length(last) {
			break
		}
	}
	slices.Reverse(rounds)
	return rounds
}

// straighten goes from each bend to the farthest one in sight.
func (c *Coast) straighten(way []vector) []vector {
	out := []vector{way[0]}
	for i := 0; i < len(way)-1; {
		j := len(way) - 1
		for j > i+1 && !c.inSight(way[i], way[j]) {
			j--
		}
		out = append(out, way[j])
		i = j
	}
	return out
}

// cutCorner replaces the bend v by the farthest pair of places on its two
// arms, equally far along each, that see each other.
func (c *Coast) cutCorner(u, v, w vector) []vector {
	lo, hi := 0.0, 1.0
	for range tightenSteps {
		mid := (lo + hi) / 2
		if c.inSight(v.between(u, mid), v.between(w, mid)) {
			lo = mid
		} else {
			hi = mid
		}
	}
	if lo == 0 {
		return []vector{v}
	}
	return []vector{v.between(u, lo), v.between(w, lo)}
}

func length(way []vector) float64 {
	sum := 0.0
	for i := 1; i < len(way); i++ {
		sum += way[i-1].nm(way[i])
	}
	return sum
}
