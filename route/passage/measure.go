package passage

import (
	"fmt"
	"hardtack/pricing/wording"
	"hardtack/route"
	"hardtack/route/geo"
	"hardtack/route/port"
)

const (
	// approachReach is how far a port without approach of its own may lie from
	// open water, viaReach how far a via point may.
	approachReach = 60
	viaReach      = 15
	// notedRun is a run from port to approach worth a word: a river, a fjord.
	notedRun = 12
	// detour is how much longer the way over water must be to be spoken of.
	detour = 1.02
)

// measure settles distance and sailing time of every leg.
func (s *settler) measure() error {
	for i := range len(s.ports) - 1 {
		way, err := s.way(i)
		if err != nil {
			return err
		}
		way.Ocean = way.DistanceNM >= oceanNM
		s.it.Ways = append(s.it.Ways, way)
		leg := s.voyage.Stops[i].Leg
		kn := firstSet(leg.SpeedKn, s.voyage.SpeedKn, usualKn)
		s.sail = append(s.sail, firstSet(leg.Days, float64(way.DistanceNM)/kn/24))
		if kn := float64(way.DistanceNM) / s.sail[i] / 24; !(kn <= mostKn) {
			return wrong(i, "%w", wording.Fail("fault.knots", s.legFact(i), wording.Number(float64(way.DistanceNM), 0),
				wording.Number(s.sail[i], 1), wording.Number(kn, 0), wording.Number(mostKn, 0)))
		}
	}
	return nil
}

func firstSet(values ...float64) float64 {
	for _, v := range values {
		if v > 0 {
			return v
		}
	}
	return 0
}

func (s *settler) way(i int) (route.Way, error) {
	from, to, leg := s.ports[i], s.ports[i+1], s.voyage.Stops[i].Leg
	direct := append(append([]geo.Position{from.Position}, leg.Via...), to.Position)
	way := route.Way{DirectNM: geo.Along(direct), DistanceNM: leg.DistanceNM}
	if way.DirectNM == 0 && leg.DistanceNM == 0 && leg.Days == 0 {
		return way, wrong(i+1, "%w", wording.Fail("fault.again", wording.Text(to.Name)))
	}
	if leg.DistanceNM > 0 && leg.DistanceNM < 0.9*way.DirectNM {
		return way, wrong(i, "%w", wording.Fail("fault.short_way", s.legFact(i), wording.Number(float64(leg.DistanceNM), 0), wording.Number(float64(way.DirectNM), 0)))
	}
	if s.coast == nil {
		way.DistanceNM = max(way.DistanceNM, way.DirectNM)
		s.note("passage.no_coast", s.legFact(i))
		return way, nil
	}
	return s.overWater(i, way)
}

// overWater measures around the land, unless the skipper gave the distance.
func (s *settler) overWater(i int, way route.Way) (route.Way, error) {
	points, run, err := s.seaPoints(i)
	if err == nil {
		way.CrossesLand = s.crosses(points)
	}
	if way.DistanceNM > 0 {
		return way, nil // the skipper knows better
	}
	if err != nil {
		return way, err
	}
	sea, c, err := s.shortest(points, way.CrossesLand && len(points) == 2)
	if err != nil {
		return way, wrong(i, "%s: %w; give the distance as leg.distance_nm", s.leg(i), err)
	}
	if c != nil {
		s.note("passage.canal", s.legFact(i), wording.Text(c.name), wording.Number(float64(c.lengthNM), 0))
	}
	way.DistanceNM = max(sea+run, way.DirectNM)
	if way.CrossesLand && way.DistanceNM > detour*way.DirectNM {
		s.note("passage.land", s.legFact(i), wording.Number(float64(way.DirectNM), 0), wording.Number(float64(way.DistanceNM), 0))
	}
	return way, nil
}

func (s *settler) crosses(points []geo.Position) bool {
	for k := 1; k < len(points); k++ {
		if s.coast.Crosses(points[k-1], points[k]) {
			return true
		}
	}
	return false
}

// seaPoints are approach, via points, approach, all in open water, and the
// miles between the ports and their approaches.
func (s *settler) seaPoints(i int) ([]geo.Position, geo.NauticalMiles, error) {
	from, to := s.ports[i], s.ports[i+1]
	start, err := s.approach(i, from)
	if err != nil {
		return nil, 0, err
	}
	end, err := s.approach(i+1, to)
	if err != nil {
		return nil, 0, err
	}
	points := []geo.Position{start}
	for k, p := range s.voyage.Stops[i].Leg.Via {
		sea, ok := s.sea(p, viaReach)
		if !ok {
			return nil, 0, wrong(i, "%s: leg.via[%d] at %v: no open water within %d nm", s.leg(i), k, p, viaReach)
		}
		if d := geo.Distance(p, sea); d > 2 {
			s.note("passage.via", s.legFact(i), wording.Text(fmt.Sprint(p)), wording.Text(fmt.Sprint(sea)), wording.Number(float64(d), 0))
		}
		points = append(points, sea)
	}
	run := geo.Distance(from.Position, start) + geo.Distance(to.Position, end)
	if run > notedRun {
		s.note("passage.river", s.legFact(i), wording.Number(float64(run), 0))
	}
	return append(points, end), run, nil
}

func (s *settler) approach(stop int, p port.Port) (geo.Position, error) {
	if (p.Approach != geo.Position{}) && s.coast.Navigable(p.Approach) {
		return p.Approach, nil
	}
	at, ok := s.sea(p.Position, approachReach)
	if !ok {
		return at, wrong(stop, "%s lies more than %d nm from open water; give the distances to and from it", p.Name, approachReach)
	}
	return at, nil
}

func (s *settler) sea(p geo.Position, reach geo.NauticalMiles) (geo.Position, bool) {
	if s.coast.Navigable(p) {
		return p, true
	}
	return s.coast.OpenWater(p, reach)
}
