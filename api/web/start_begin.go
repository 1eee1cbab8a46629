package web

import (
	"errors"
	"net/http"
	"strconv"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
	"hardtack/route"
)

// begin keeps what was entered, plans, and shows the season; or shows the form
// again with what is not clear.
func (q *request) begin(p *startPage) error {
	b, ok, err := q.beginning(p)
	if err != nil {
		return err
	}
	if !ok {
		return q.showStart(http.StatusUnprocessableEntity, p)
	}
	_, err = q.svc.Begin(q.r.Context(), b)
	if err == nil {
		_, err = q.svc.Plan(q.r.Context(), b.Voyage.ID, q.opts.Plan)
	}
	var invalid *api.InvalidError
	if errors.As(err, &invalid) {
		p.Faults = q.faultLines(invalid)
		return q.showStart(http.StatusUnprocessableEntity, p)
	}
	if err != nil {
		return err
	}
	return q.goTo("voyage", b.Voyage.ID+"?begun=1")
}

// beginning reads the form; false when something must be asked again.
func (q *request) beginning(p *startPage) (api.Beginning, bool, error) {
	b := api.Beginning{Voyage: route.Voyage{Name: p.Name, Home: money.Currency(p.Home)}}
	if b.Voyage.Name == "" {
		b.Voyage.Name = q.say("start.unnamed")
	}
	id, err := q.freeID()
	if err != nil {
		return b, false, err
	}
	b.Voyage.ID = id
	if p.Boat {
		b.Vessel, b.Crew = q.newVessel(p), q.newCrew(p)
	} else if b.Settings, err = q.sameBoat(); err != nil {
		return b, false, err
	}
	day, err := calendar.Parse(p.Begin)
	if err != nil {
		p.Faults = append(p.Faults, q.say("start.fault.day"))
	}
	stops, err := q.stopsOf(p)
	if err != nil {
		return b, false, err
	}
	if len(stops) < 2 {
		p.Faults = append(p.Faults, q.say("start.fault.stops"))
	} else {
		stops[0].Arrive = day
	}
	b.Voyage.Stops = stops
	return b, len(p.Faults) == 0, nil
}

// sameBoat is the boat and crew kept last.
func (q *request) sameBoat() (api.Settings, error) {
	v, _, err := q.vessel()
	if err != nil {
		return api.Settings{}, err
	}
	c, _, err := q.crew()
	return api.Settings{Vessel: v.ID, Crew: c.ID}, err
}

// freeID is an id no voyage has yet.
func (q *request) freeID() (string, error) {
	for n := 1; ; n++ {
		id := "season-" + strconv.Itoa(n)
		_, err := q.svc.Voyage(q.r.Context(), id)
		if errors.Is(err, api.ErrNotFound) {
			return id, nil
		}
		if err != nil {
			return "", err
		}
	}
}
