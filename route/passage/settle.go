// Package passage settles a voyage: every date, distance and passage time, or
// a clear error saying which stop contradicts what. Not for navigation.
//
// Units: nautical miles, knots, days. A passage lasts its median times a
// lognormal error: sd of the logarithm 0.10 on a coastal leg, 0.20 on an ocean
// one. Such errors are common practice; no source was found that settles the
// law or its spread.
package passage

import (
	"errors"
	"fmt"
	"math"

	"hardtack/pricing/calendar"
	"hardtack/pricing/wording"
	"hardtack/route"
	"hardtack/route/geo"
	"hardtack/route/port"
)

// Kinds of error Settle gives; the text names the stop.
var (
	ErrVoyage      = errors.New("voyage does not work out")
	ErrUnknownPort = errors.New("unknown port")
)

const (
	usualKn = 5.5 // speed made good when nobody says
	mostKn  = 40  // above it somebody meant something else

	// oceanNM is from where a leg counts as ocean: about a day and a half, past
	// what a forecast and a nearby harbour make short work of. Common practice,
	// no source.
	oceanNM = 200

	coastalSD = 0.10
	oceanSD   = 0.20
	z90       = 1.2815515655446004 // 90 % point of the standard normal law
)

// Settle gives the voyage every date and distance, or an error that names the
// stop: fewer than two stops, an unknown port (with the nearest names), a
// number out of range, an arrival before it is possible. Legs without a
// distance are measured over water from approach to approach, with the run
// between each port and its approach added; without a coast they are straight.
// Where neither arrival nor departure of the first stop is said, the voyage
// starts today. v is not changed. Not for navigation.
func Settle(v route.Voyage, today calendar.Day, g *port.Gazetteer, coast *geo.Coast) (route.Itinerary, error) {
	if err := check(v); err != nil {
		return route.Itinerary{}, err
	}
	s := &settler{voyage: v, coast: coast}
	s.it = route.Itinerary{Voyage: v.ID, Name: v.Name}
	for _, step := range []func() error{func() error { return s.findPorts(g) }, s.measure, func() error { return s.dates(today) }} {
		if err := step(); err != nil {
			return route.Itinerary{}, err
		}
	}
	return s.it, nil
}

type settler struct {
	voyage route.Voyage
	coast  *geo.Coast
	ports  []port.Port
	sail   []float64 // days under way on each leg, median
	it     route.Itinerary
}

func (s *settler) note(key string, facts ...wording.Fact) {
	s.it.Notes = append(s.it.Notes, wording.Say(key, facts...))
}

// leg names leg i as people do.
func (s *settler) leg(i int) string { return s.legRemark(i).String() }

func (s *settler) legFact(i int) wording.Fact { return wording.Said(s.legRemark(i)) }

func (s *settler) legRemark(i int) wording.Remark {
	return wording.Say("passage.leg", wording.Count(i+1), wording.Text(s.ports[i].Name), wording.Text(s.ports[i+1].Name))
}

func wrong(stop int, format string, args ...any) error {
	return fmt.Errorf("%w: stop %d: %w", ErrVoyage, stop+1, fmt.Errorf(format, args...))
}

// Long90 is the time nine passages in ten do not exceed, from the median in
// days.
func Long90(median float64, ocean bool) float64 {
	sd := coastalSD
	if ocean {
		sd = oceanSD
	}
	return median * math.Exp(z90*sd)
}

func (s *settler) findPorts(g *port.Gazetteer) error {
	for i, stop := range s.voyage.Stops {
		p, ok := g.Port(stop.Port)
		if !ok {
			return wrong(i, "%w %q%s", ErrUnknownPort, stop.Port, nearest(g, string(stop.Port)))
		}
		stop.Port = p.ID
		s.ports = append(s.ports, p)
		s.it.Calls = append(s.it.Calls, route.Call{Stop: stop})
	}
	return nil
}

// nearest offers the ports that may have been meant.
func nearest(g *port.Gazetteer, text string) string {
	like := g.Search(text, 3)
	if len(like) == 0 {
		return ": nothing is called like it; add it as a port of your own"
	}
	out := "; nearest names: "
	for i, p := range like {
		if i > 0 {
			out += ", "
		}
		out += fmt.Sprintf("%s (%s, %s)", p.ID, p.Name, p.Country)
	}
	return out
}
