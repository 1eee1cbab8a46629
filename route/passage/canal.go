package passage

import "hardtack/route/geo"

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

// worthCanal is how long the way by sea must be against the way through a
// canal before the canal is taken for meant.
const worthCanal = 1.5

// endReach is how far a canal's end may lie from open water.
const endReach = 30

// throughCanal finds a canal that spares a third of the way; never when the
// skipper gave via points.
func (s *settler) throughCanal(i int, points []geo.Position, sea geo.NauticalMiles) (canal, geo.NauticalMiles, bool) {
	if len(points) != 2 || sea < worthCanal*geo.Along(points) {
		return canal{}, 0, false
	}
	best, through, found := sea/worthCanal, canal{}, false
	for _, c := range canals {
		for _, ends := range [][2]geo.Position{c.ends, {c.ends[1], c.ends[0]}} {
			if nm, ok := s.through(points, ends, c.lengthNM, best); ok {
				best, through, found = nm, c, true
			}
		}
	}
	return through, best, found
}

// through measures the way by one canal in one direction, if it can be below most.
func (s *settler) through(points []geo.Position, ends [2]geo.Position, length, most geo.NauticalMiles) (geo.NauticalMiles, bool) {
	if geo.Distance(points[0], ends[0])+length+geo.Distance(ends[1], points[1]) >= most {
		return 0, false
	}
	total := length
	for k := range 2 {
		end, ok := s.sea(ends[k], endReach)
		if !ok {
			return 0, false
		}
		nm, _, err := s.coast.OverWater([]geo.Position{points[k], end})
		if err != nil {
			return 0, false
		}
		total += nm
	}
	return total, total < most
}
