package web

import (
	"fmt"
	"strconv"

	"hardtack/pricing"
	"hardtack/route"
	"hardtack/route/port"
)

// rows reads the calls of the form, empty ones among them, so that nobody's
// rows jump.
func (q *request) rows() []routeRow {
	var out []routeRow
	for n := 0; n < maxRows && q.r.Form.Has(fmt.Sprintf("port%d", n)); n++ {
		key := strconv.Itoa(n)
		out = append(out, routeRow{N: n, Text: q.text("port" + key), ID: q.text("id" + key), Days: q.text("days" + key), Via: q.text("via" + key)})
	}
	if len(out) == 0 {
		out = emptyRows(nil, firstRows)
	}
	return out
}

// stopsOf finds the port each row means. A row that may mean several gets them
// to choose from; everything typed stays.
func (q *request) stopsOf(p *startPage) ([]route.Stop, error) {
	g, err := q.svc.Gazetteer(q.r.Context())
	if err != nil {
		return nil, err
	}
	unclear := false
	var stops []route.Stop
	for i := range p.Rows {
		r := &p.Rows[i]
		if r.Text == "" {
			continue
		}
		days, ok := q.number("days"+strconv.Itoa(r.N), defaultStay)
		if !ok || days < 0 || days > 400 {
			r.Fault, unclear = q.say("start.fault.days"), true
		}
		at, ok := q.meant(g, r)
		if !ok {
			unclear = true
			continue
		}
		stops = append(stops, route.Stop{Port: at.ID, StayDays: days, Leg: route.Leg{Via: viaOf(r.Via)}})
	}
	if unclear {
		p.Faults = append(p.Faults, q.say("start.fault.ports"))
	}
	return stops, nil
}

// defaultStay is how many days one stays where nothing was said.
const defaultStay = 5

// maxLike is how many ports a name may be chosen from.
const maxLike = 6

// meant is the port of a row: the one chosen before, as long as the text was
// not changed since, or the only one of that name.
func (q *request) meant(g *port.Gazetteer, r *routeRow) (port.Port, bool) {
	if at, ok := g.Port(pricing.PortID(r.ID)); ok {
		if q.text("asked"+strconv.Itoa(r.N)) == r.Text || at.Name == r.Text {
			return at, true
		}
	}
	if named := g.Named(r.Text); len(named) == 1 {
		r.ID = string(named[0].ID)
		return named[0], true
	}
	if at, ok := g.Port(pricing.PortID(r.Text)); ok {
		r.ID = string(at.ID)
		return at, true
	}
	like := g.Search(r.Text, maxLike)
	if len(like) == 0 {
		r.ID, r.Fault = "", q.say("start.fault.port", r.Text)
		return port.Port{}, false
	}
	r.Fault = q.say("start.fault.which", r.Text)
	for i, at := range like {
		r.Choices = append(r.Choices, portChoice{string(at.ID), portLabel(at), i == 0})
	}
	return port.Port{}, false
}

func portLabel(p port.Port) string {
	label := p.Name + ", " + p.Country
	if p.Island != "" {
		label += " (" + p.Island + ")"
	}
	return label
}
