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
	return q.show(status, "boat", q.frame(q.say("boat.title"), "boat", q.voyageHere()), p)
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
		p.Faults = faultLines(invalid)
	}
	p.fillBoat(q, v)
	p.fillCrew(q, c)
	return q.showBoat(http.StatusUnprocessableEntity, p)
}

// readBoat is the vessel as the form has it; what it does not ask for stays.
func (q *request) readBoat(p *boatPage, v vessel.Vessel) vessel.Vessel {
	v.Name = q.text("name")
	num := func(name, label string) float64 {
		x, ok := q.number(name, 0)
		if !ok || x < 0 {
			p.Faults = append(p.Faults, q.say("start.fault.number", label))
		}
		return x
	}
	v.WaterTankL, v.WatermakerLPerDay = num("tank", q.say("hold.water")), num("maker", q.say("hold.watermaker"))
	v.PayloadKg = nil
	if q.text("payload") != "" {
		kg := num("payload", q.say("boat.payload"))
		v.PayloadKg = &kg
	}
	was := v.Spaces
	v.Spaces, v.Cylinders = nil, nil
	for n := 0; n < 60 && q.r.Form.Has("space"+strconv.Itoa(n)); n++ {
		key := strconv.Itoa(n)
		if q.text("space"+key) == "" {
			continue
		}
		s := vessel.Space{}
		if n < len(was) {
			s = was[n]
		}
		s.ID, s.Kind, s.Litres = q.text("space"+key), vessel.SpaceKind(q.text("kind"+key)), num("litres"+key, q.text("space"+key))
		v.Spaces = append(v.Spaces, s)
	}
	for n := 0; n < 20 && q.r.Form.Has("kg"+strconv.Itoa(n)); n++ {
		key := strconv.Itoa(n)
		if kg := num("kg"+key, q.say("hold.cylinder_kg")); kg > 0 {
			v.Cylinders = append(v.Cylinders, vessel.Cylinder{Kg: kg, Full: num("full"+key, q.say("boat.full")) / 100})
		}
	}
	return v
}

// readCrew is the crew as the form has it; a name taken out is a person gone.
func (q *request) readCrew(p *boatPage, c vessel.Crew) vessel.Crew {
	was := c.Persons
	c.Persons = nil
	for n := 0; n < 60 && q.r.Form.Has("person"+strconv.Itoa(n)); n++ {
		key := strconv.Itoa(n)
		if q.text("person"+key) == "" {
			continue
		}
		m := vessel.Person{ID: q.freePerson(was, n)}
		if n < len(was) {
			m = was[n]
		}
		m.Name, m.Sex, m.Seasick = q.text("person"+key), vessel.Sex(q.text("sex"+key)), q.text("seasick"+key) != ""
		age, ok := q.number("age"+key, adultAge)
		appetite, ok2 := q.number("appetite"+key, 0)
		span := vessel.Span{}
		if len(m.Aboard) > 0 {
			span = vessel.Span{From: m.Aboard[0].From, To: m.Aboard[len(m.Aboard)-1].To}
		}
		if !ok || !ok2 || !readDay(&span.From, q.text("from"+key)) || !readDay(&span.To, q.text("to"+key)) {
			p.Faults = append(p.Faults, q.say("boat.fault", m.Name))
		}
		m.Age, m.Appetite, m.NotEating = age, appetite/100, splitWords(q.text("eats"+key))
		m.Aboard = aboardIn(m.Aboard, span)
		c.Persons = append(c.Persons, m)
	}
	return c
}

// aboardIn keeps stretches in between when only the ends were asked for.
func aboardIn(was []vessel.Span, s vessel.Span) []vessel.Span {
	if s.From.IsZero() && s.To.IsZero() && len(was) < 2 {
		return nil
	}
	if len(was) < 2 {
		return []vessel.Span{s}
	}
	out := append([]vessel.Span{}, was...)
	out[0].From, out[len(out)-1].To = s.From, s.To
	return out
}

// freePerson is an id nobody of the crew has.
func (q *request) freePerson(was []vessel.Person, n int) string {
	for k := n + 1; ; k++ {
		id, taken := "p"+strconv.Itoa(k), false
		for _, m := range was {
			taken = taken || m.ID == id
		}
		if !taken {
			return id
		}
	}
}

func splitWords(text string) []string {
	var out []string
	for w := range strings.SplitSeq(text, ",") {
		if w = strings.TrimSpace(w); w != "" {
			out = append(out, w)
		}
	}
	return out
}

func dayText(d calendar.Day) string {
	if d.IsZero() {
		return ""
	}
	return d.String()
}
