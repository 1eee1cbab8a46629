package web

import (
	"net/http"
	"strconv"

	"hardtack/route"
	"hardtack/route/brief"
)

// chartPage is the chart of the route, larger around a stop. Each step closer
// or wider is a page, so that it works without script.
type chartPage struct {
	Frame
	Map           mapChart
	Stop          int
	Zoom          int
	Closer, Wider string // paths; empty: no further
	Before, After string
	Stops         []stopRow
}

// mostZoom is how close one gets: 2⁶ times. Beyond, the coastline is too coarse.
const mostZoom = 6

func (s *site) getChart(q *request) error {
	v, k, err := q.planned()
	if err != nil {
		return err
	}
	p := chartPage{Stops: stopRows(k.Value, brief.LevelsOf(k.Value.Brief, k.Value.Plan))}
	stop, _ := q.number("stop", 1)
	zoom, _ := q.number("zoom", 2)
	p.Stop, p.Zoom = min(max(int(stop), 1), len(p.Stops)), min(max(int(zoom), 0), mostZoom)
	if p.Map, err = q.chartOf(v, p.Stops, closer{p.Stop - 1, float64(int(1) << p.Zoom)}); err != nil {
		return err
	}
	to := func(stop, zoom int) string {
		return q.at("voyage", v.ID, "chart?stop="+strconv.Itoa(stop)+"&zoom="+strconv.Itoa(zoom))
	}
	if p.Zoom < mostZoom {
		p.Closer = to(p.Stop, p.Zoom+1)
	}
	if p.Zoom > 0 {
		p.Wider = to(p.Stop, p.Zoom-1)
	}
	if p.Stop > 1 {
		p.Before = to(p.Stop-1, p.Zoom)
	}
	if p.Stop < len(p.Stops) {
		p.After = to(p.Stop+1, p.Zoom)
	}
	return q.show(http.StatusOK, "chart", q.frame(q.say("map.title"), "season", v.ID), &p)
}

// chartOf draws the route of a voyage.
func (q *request) chartOf(v route.Voyage, rows []stopRow, look closer) (mapChart, error) {
	tracks, err := q.svc.Tracks(q.r.Context(), v)
	if err != nil {
		return mapChart{}, err
	}
	coast, err := q.svc.World().Coast()
	if err != nil {
		return mapChart{}, err
	}
	g, err := q.svc.Gazetteer(q.r.Context())
	if err != nil {
		return mapChart{}, err
	}
	return newMap(coast, g, tracks, rows, look), nil
}

// crowdedLinks lead to a closer look at where stops lie close together.
func (q *request) crowdedLinks(voyage string, c mapChart) []link {
	var out []link
	for _, i := range c.crowded() {
		p := c.Ports[i]
		out = append(out, link{q.at("voyage", voyage, "chart?stop="+p.first()+"&zoom=4"), q.say("map.closer", p.Label)})
	}
	return out
}
