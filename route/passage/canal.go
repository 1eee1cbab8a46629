package passage

import (
	"errors"

	"hardtack/route/geo"
)

// canal joins two seas for a yacht. Lengths are from memory, in round miles:
// Panama 80 km, Suez 193 km, Kiel 98 km.
type canal struct {
	name     string
	ends     [2]geo.Position
	lengthNM geo.NauticalMiles
}

var canals = []canal{
	{"Panama", [2]geo.Position{{Lat: 8.87, Lon: -79.52}, {Lat: 9.42, Lon: -79.92}}, 44},
	{"Suez", [2]geo.Position{{Lat: 31.36, Lon: 32.37}, {Lat: 29.85, Lon: 32.55}}, 104},
	{"Kiel", [2]geo.Position{{Lat: 53.88, Lon: 9.05}, {Lat: 54.44, Lon: 10.2}}, 53},
}

const (
	// worthCanal is how long the way by sea must be against the way through a
	// canal before the canal is taken for meant.
	worthCanal = 1.5
	// onTheWay is how much longer than the direct line a way through a canal
	// may be at best for the canal to be looked at.
	onTheWay = 2
	// endReach is how far a canal's end may lie from open water, in miles.
	endReach = 30
)

// shortest measures around the land or, if canals are open, through one that
// spares a third of the way. The canal is nil when none is taken.
func (s *settler) shortest(points []geo.Position, open bool) (geo.NauticalMiles, *canal, error) {
	if open {
		if c, through := s.byCanal(points[0], points[1]); c != nil {
			sea, _, err := s.coast.OverWaterWithin(points, worthCanal*through)
			if errors.Is(err, geo.ErrTooFar) || errors.Is(err, geo.ErrNoWay) || err == nil && sea > worthCanal*through {
				return through, c, nil
			}
			return sea, nil, err
		}
	}
	sea, _, err := s.coast.OverWater(points)
	return sea, nil, err
}

// byCanal finds the shortest way through a canal that lies more or less between.
func (s *settler) byCanal(a, b geo.Position) (*canal, geo.NauticalMiles) {
	var best *canal
	var nm geo.NauticalMiles
	for _, c := range canals {
		for _, ends := range [][2]geo.Position{c.ends, {c.ends[1], c.ends[0]}} {
			least := geo.Distance(a, ends[0]) + c.lengthNM + geo.Distance(ends[1], b)
			if least > onTheWay*geo.Distance(a, b)+c.lengthNM || best != nil && least >= nm {
				continue
			}
			if d, ok := s.through(a, b, ends); ok && (best == nil || d+c.lengthNM < nm) {
				best, nm = &c, d+c.lengthNM
			}
		}
	}
	return best, nm
}

// aside is how much longer than the direct line the way to a canal's end may
// be, beyond some miles of port: farther, and the canal's other end is nearer.
const aside = 3

// through is the sea way to one end and from the other; false when there is
// none that makes the canal worth while.
func (s *settler) through(a, b geo.Position, ends [2]geo.Position) (geo.NauticalMiles, bool) {
	var total geo.NauticalMiles
	for k, p := range []geo.Position{a, b} {
		end, ok := s.sea(ends[k], endReach)
		if !ok {
			return 0, false
		}
		nm, _, err := s.coast.OverWaterWithin([]geo.Position{p, end}, aside*geo.Distance(p, end)+50)
		if err != nil {
			return 0, false
		}
		total += nm
	}
	return total, true
}
