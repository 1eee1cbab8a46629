package passage

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/twpayne/go-gpx"

	"hardtack/pricing/wording"
	"hardtack/route"
	"hardtack/route/geo"
	"hardtack/route/port"
)

// ErrGPX marks a GPX file that cannot be made a voyage.
var ErrGPX = errors.New("GPX file cannot be read as a voyage")

const (
	maxGPXBytes  = 12 << 20
	maxGPXPoints = 50_000 // a track of fourteen hours by the second
	maxRoute     = 2000   // points of a route, each looked up among all ports

	// snapNM is how near a port a point counts as a call there, endNM for the
	// first and the last point, namedNM when it bears the port's name.
	snapNM, endNM, namedNM = 3, 15, 30

	// restHours is how long a track must rest near a port to be a call.
	restHours = 6
)

// ReadGPX makes a voyage of a GPX 1.1 file: of its first route; without routes
// of its tracks, which call where they begin, end or rest for hours near a
// port; without tracks of its waypoints in file order. A route point near a
// port is a call there, any other a via point of its leg. Nothing is dated.
// The notes say what was taken for what. A file that cannot be used is ErrGPX,
// which says why and at which point.
func ReadGPX(r io.Reader, g *port.Gazetteer) (route.Voyage, []wording.Remark, error) {
	whole, err := io.ReadAll(io.LimitReader(r, maxGPXBytes+1))
	if err == nil && len(whole) > maxGPXBytes {
		err = fmt.Errorf("longer than %d bytes", maxGPXBytes)
	}
	if err == nil {
		err = shape(whole)
	}
	if err != nil {
		return route.Voyage{}, nil, fmt.Errorf("%w: %w", ErrGPX, err)
	}
	file, err := gpx.Read(bytes.NewReader(whole))
	if err != nil {
		return route.Voyage{}, nil, fmt.Errorf("%w: %w", ErrGPX, err)
	}
	m := &reader{g: g}
	name, points, calls := m.choose(file)
	most := maxRoute
	if calls != nil {
		most = maxGPXPoints
	}
	if err := checkPoints(points, most); err != nil {
		return route.Voyage{}, nil, err
	}
	v := route.Voyage{Name: name}
	if v.Stops, err = m.stops(points, calls); err != nil {
		return route.Voyage{}, nil, err
	}
	return v, m.notes, nil
}

type reader struct {
	g     *port.Gazetteer
	notes []wording.Remark
}

func (m *reader) note(key string, facts ...wording.Fact) {
	m.notes = append(m.notes, wording.Say(key, facts...))
}

// choose picks what the file is about. calls says which points may be calls;
// nil means any.
func (m *reader) choose(file *gpx.GPX) (name string, points []*gpx.WptType, calls map[int]bool) {
	if file.Metadata != nil {
		name = file.Metadata.Name
	}
	switch {
	case len(file.Rte) > 0:
		if len(file.Rte) > 1 {
			m.note("gpx.routes", wording.Count(len(file.Rte)))
		}
		return firstText(file.Rte[0].Name, name), file.Rte[0].RtePt, nil
	case len(file.Trk) > 0:
		for _, t := range file.Trk {
			for _, seg := range t.TrkSeg {
				points = append(points, seg.TrkPt...)
			}
		}
		m.note("gpx.track")
		return firstText(file.Trk[0].Name, name), points, rests(points)
	}
	m.note("gpx.waypoints")
	return name, file.Wpt, nil
}

func firstText(texts ...string) string {
	for _, t := range texts {
		if t = strings.TrimSpace(t); t != "" {
			return t
		}
	}
	return ""
}

// rests are the points of a track from which it does not get away for hours,
// and its ends.
func rests(points []*gpx.WptType) map[int]bool {
	calls := map[int]bool{0: true, len(points) - 1: true}
	for i, from := 0, 0; i < len(points); i++ {
		if geo.Distance(place(points[from]), place(points[i])) > snapNM {
			from = i
		}
		if !points[from].Time.IsZero() && points[i].Time.Sub(points[from].Time) >= restHours*time.Hour {
			calls[i] = true
		}
	}
	return calls
}

func place(p *gpx.WptType) geo.Position { return geo.Position{Lat: p.Lat, Lon: p.Lon} }

func checkPoints(points []*gpx.WptType, most int) error {
	if len(points) < 2 {
		return fmt.Errorf("%w: it has %d points: want a route of two or more", ErrGPX, len(points))
	}
	if len(points) > most {
		return fmt.Errorf("%w: it has %d points: want at most %d", ErrGPX, len(points), most)
	}
	for i, p := range points {
		if err := place(p).Check(); err != nil {
			return fmt.Errorf("%w: point %d %q: %w", ErrGPX, i+1, p.Name, err)
		}
		if (place(p) == geo.Position{}) { // what a missing lat and lon come out as
			return fmt.Errorf("%w: point %d %q: want attributes lat and lon", ErrGPX, i+1, p.Name)
		}
	}
	return nil
}

func (m *reader) stops(points []*gpx.WptType, calls map[int]bool) ([]route.Stop, error) {
	var stops []route.Stop
	for i, p := range points {
		if calls != nil && !calls[i] {
			continue
		}
		end := i == 0 || i == len(points)-1
		at, ok := m.port(p, end)
		switch {
		case ok && len(stops) > 0 && stops[len(stops)-1].Port == at.ID && len(stops[len(stops)-1].Leg.Via) == 0:
			continue // still the same call
		case ok:
			m.note("gpx.call", wording.Text(strconv.Itoa(i+1)), wording.Text(p.Name), wording.Text(at.Name), wording.Text(string(at.ID)), wording.Number(float64(off(place(p), at)), 1))
			stops = append(stops, route.Stop{Port: at.ID})
		case end:
			near := m.g.Near(place(p), 1)
			return nil, fmt.Errorf("%w: point %d %q at %v is no port known%s", ErrGPX, i+1, p.Name, place(p), nearestTo(place(p), near))
		case calls == nil:
			last := &stops[len(stops)-1]
			last.Leg.Via = append(last.Leg.Via, place(p))
		}
	}
	if len(stops) < 2 {
		return nil, fmt.Errorf("%w: all its points are one call, at %s: want two ports or more", ErrGPX, stops[0].Port)
	}
	return stops, nil
}

func nearestTo(at geo.Position, near []port.Port) string {
	if len(near) == 0 {
		return ""
	}
	return fmt.Sprintf(": the nearest, %s (%s), is %.0f nm off; want one within %d nm, or add it as a port of your own",
		near[0].Name, near[0].ID, geo.Distance(at, near[0].Position), endNM)
}

// port finds the port a point means: the nearest one if near enough, or one a
// little farther off whose name it bears.
func (m *reader) port(p *gpx.WptType, end bool) (port.Port, bool) {
	reach := geo.NauticalMiles(snapNM)
	if end {
		reach = endNM
	}
	near := m.g.Near(place(p), 5)
	for _, q := range near {
		if off(place(p), q) <= snapNM {
			return q, true
		}
	}
	for _, q := range m.g.Named(p.Name) {
		if off(place(p), q) <= namedNM {
			return q, true
		}
	}
	if len(near) > 0 && off(place(p), near[0]) <= reach {
		return near[0], true
	}
	return port.Port{}, false
}

// off is how far a place is from a port or from its approach, the nearer.
func off(at geo.Position, p port.Port) geo.NauticalMiles {
	return min(geo.Distance(at, p.Position), geo.Distance(at, p.Approach))
}
