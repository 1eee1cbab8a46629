package web

import (
	"strconv"
	"strings"

	"hardtack/route/vessel"
)

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
