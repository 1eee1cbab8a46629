package web

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/route/vessel"
)

// boatPage is the boat and who is aboard.
type boatPage struct {
	Frame
	Faults                []string
	Kept                  bool
	None                  bool // nothing is kept yet
	BoatRevision, CrewRev int64
	Payload, Tank, Maker  string
	Spaces                []spaceRow
	Bottles               []bottleRow
	Persons               []personRow
	Aboard                int // lots
	VesselName            string
}

type spaceRow struct {
	N          int
	ID, Litres string
	Kinds      []choice
}

type bottleRow struct {
	N        int
	Kg, Full string
}

type personRow struct {
	N                         int
	Name, Age, Eats, Appetite string
	From, To                  string
	Seasick                   bool
	Sexes                     []choice
}

// Rows left free for more.
const freeRows = 2

// vessel is the boat: the one changed last.
func (q *request) vessel() (vessel.Vessel, int64, error) {
	all, err := q.svc.Vessels(q.r.Context())
	return newest(all, err)
}

// crew is the crew changed last.
func (q *request) crew() (vessel.Crew, int64, error) {
	all, err := q.svc.Crews(q.r.Context())
	return newest(all, err)
}

func newest[T any](all []api.Kept[T], err error) (T, int64, error) {
	var best api.Kept[T]
	for _, k := range all {
		if k.Revision > best.Revision {
			best = k
		}
	}
	if err == nil && best.Revision == 0 {
		err = api.ErrNotFound
	}
	return best.Value, best.Revision, err
}

func (s *site) getBoat(q *request) error {
	p := boatPage{Kept: q.text("kept") != ""}
	v, revision, err := q.vessel()
	c, crewRevision, err2 := q.crew()
	if errors.Is(err, api.ErrNotFound) || errors.Is(err2, api.ErrNotFound) {
		p.None = true
		return q.showBoat(http.StatusOK, &p)
	}
	if err := errors.Join(err, err2); err != nil {
		return err
	}
	p.BoatRevision, p.CrewRev = revision, crewRevision
	p.fillBoat(q, v)
	p.fillCrew(q, c)
	lots, err := q.svc.Aboard(q.r.Context(), v.ID)
	if err != nil {
		return err
	}
	p.Aboard = len(lots.Value)
	return q.showBoat(http.StatusOK, &p)
}

func (q *request) showBoat(status int, p *boatPage) error {
	return q.show(status, "boat", q.frame(q.say("boat.title"), "aboard", q.voyageHere()), p)
}

func (p *boatPage) fillBoat(q *request, v vessel.Vessel) {
	p.VesselName, p.Tank, p.Maker = v.Name, trim(v.WaterTankL, 1), trim(v.WatermakerLPerDay, 1)
	if v.PayloadKg != nil {
		p.Payload = trim(*v.PayloadKg, 0)
	}
	for _, s := range v.Spaces {
		p.Spaces = append(p.Spaces, q.spaceRow(len(p.Spaces), s))
	}
	for range freeRows {
		p.Spaces = append(p.Spaces, q.spaceRow(len(p.Spaces), vessel.Space{Kind: vessel.Dry}))
	}
	for i, c := range v.Cylinders {
		p.Bottles = append(p.Bottles, bottleRow{i, trim(c.Kg, 2), trim(100*c.Full, 0)})
	}
	p.Bottles = append(p.Bottles, bottleRow{N: len(p.Bottles)})
}

func (q *request) spaceRow(n int, s vessel.Space) spaceRow {
	row := spaceRow{N: n, ID: s.ID}
	if s.Litres > 0 {
		row.Litres = trim(s.Litres, 1)
	}
	for _, k := range vessel.Kinds() {
		if k != vessel.Tank { // the tanks are asked for by their litres
			row.Kinds = append(row.Kinds, choice{string(k), q.say("space." + string(k)), k == s.Kind})
		}
	}
	return row
}

func (p *boatPage) fillCrew(q *request, c vessel.Crew) {
	for _, m := range c.Persons {
		row := personRow{N: len(p.Persons), Name: m.Name, Age: trim(m.Age, 1), Eats: strings.Join(m.NotEating, ", "), Seasick: m.Seasick, Sexes: q.sexes(m.Sex)}
		if m.Appetite > 0 {
			row.Appetite = trim(100*m.Appetite, 0)
		}
		if len(m.Aboard) > 0 {
			row.From, row.To = dayText(m.Aboard[0].From), dayText(m.Aboard[len(m.Aboard)-1].To)
		}
		p.Persons = append(p.Persons, row)
	}
	for range freeRows {
		p.Persons = append(p.Persons, personRow{N: len(p.Persons), Sexes: q.sexes(vessel.Unsaid)})
	}
}

func (q *request) sexes(on vessel.Sex) []choice {
	var out []choice
	for _, x := range []vessel.Sex{vessel.Unsaid, vessel.Female, vessel.Male} {
		out = append(out, choice{string(x), q.say("sex." + string(x)), x == on})
	}
	return out
}

// postBoat keeps the boat and the crew, or shows what is wrong with them.
func (s *site) postBoat(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	c, _, err := q.crew()
	if err != nil {
		return err
	}
	p := &boatPage{}
	p.BoatRevision, _ = strconv.ParseInt(q.text("boat_revision"), 10, 64)
	p.CrewRev, _ = strconv.ParseInt(q.text("crew_revision"), 10, 64)
	v, c = q.readBoat(p, v), q.readCrew(p, c)
	if len(p.Faults) == 0 {
		err := q.svc.PutBoat(q.r.Context(), v, p.BoatRevision, c, p.CrewRev)
		var invalid *api.InvalidError
		if err == nil {
			return q.goTo("boat?kept=1")
		}
		if !errors.As(err, &invalid) {
			return err
		}
		p.Faults = q.faultLines(invalid)
	}
	p.fillBoat(q, v)
	p.fillCrew(q, c)
	return q.showBoat(http.StatusUnprocessableEntity, p)
}

func dayText(d calendar.Day) string {
	if d.IsZero() {
		return ""
	}
	return d.String()
}
