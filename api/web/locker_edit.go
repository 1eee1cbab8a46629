package web

import (
	"errors"
	"net/http"
	"strconv"

	"hardtack/api"
	"hardtack/route/vessel"
)

// lockerEditPage is the lockers to change.
type lockerEditPage struct {
	Frame
	Revision int64
	Rows     []lockerForm
	Faults   []string
}

// lockerForm is a locker as it is typed.
type lockerForm struct {
	N                              int
	Name, Litres, Kg, Temp         string
	Wet, Hot, Low, AtSea, Sealable bool
	Spaces, Sides                  []choice
}

func (s *site) getLockerEdit(q *request) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	kept, err := q.svc.Lockers(q.r.Context(), v.ID)
	if err != nil {
		return err
	}
	p := &lockerEditPage{Revision: kept.Revision}
	for _, k := range kept.Value {
		p.Rows = append(p.Rows, q.lockerForm(v, len(p.Rows), k))
	}
	for range freeRows {
		p.Rows = append(p.Rows, q.lockerForm(v, len(p.Rows), vessel.Locker{}))
	}
	return q.show(http.StatusOK, "locker_edit", q.aboardFrame("locker.title"), p)
}

func (q *request) lockerForm(v vessel.Vessel, n int, k vessel.Locker) lockerForm {
	row := lockerForm{N: n, Name: k.ID, Wet: k.Wet, Hot: k.Hot, Low: k.Low, AtSea: k.AtSea, Sealable: k.Sealed}
	if k.Litres > 0 {
		row.Litres = trim(k.Litres, 1)
	}
	if k.MaxKg > 0 {
		row.Kg = trim(k.MaxKg, 1)
	}
	if k.TempC != nil {
		row.Temp = trim(*k.TempC, 1)
	}
	for _, sp := range v.Spaces {
		row.Spaces = append(row.Spaces, choice{sp.ID, q.placeName(sp.ID), sp.ID == k.Space})
	}
	for _, side := range []vessel.Side{"", vessel.Port, vessel.Starboard} {
		row.Sides = append(row.Sides, choice{string(side), q.say("side." + string(side)), side == k.Side})
	}
	return row
}

func (s *site) postLockerEdit(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	old, err := q.svc.Lockers(q.r.Context(), v.ID)
	if err != nil {
		return err
	}
	p := &lockerEditPage{}
	p.Revision, _ = strconv.ParseInt(q.text("revision"), 10, 64)
	var lockers []vessel.Locker
	for n := 0; q.r.Form.Has("name" + strconv.Itoa(n)); n++ {
		k, named := q.readLockerForm(p, n, old.Value)
		p.Rows = append(p.Rows, q.lockerForm(v, n, k))
		if named {
			lockers = append(lockers, k)
		}
	}
	if len(p.Faults) == 0 {
		_, err := q.svc.PutLockers(q.r.Context(), v.ID, lockers, p.Revision)
		var invalid *api.InvalidError
		if err == nil {
			return q.goTo("aboard?did=lockers")
		}
		if !errors.As(err, &invalid) {
			return err
		}
		p.Faults = q.faultLines(invalid)
	}
	return q.show(http.StatusUnprocessableEntity, "locker_edit", q.aboardFrame("locker.title"), p)
}

// readLockerForm reads one locker; false without a name. The day of a
// temperature is kept as long as the temperature is.
func (q *request) readLockerForm(p *lockerEditPage, n int, old []vessel.Locker) (vessel.Locker, bool) {
	field := func(name string) string { return name + strconv.Itoa(n) }
	k := vessel.Locker{
		ID: q.text(field("name")), Space: q.text(field("space")), Side: vessel.Side(q.text(field("side"))),
		Wet: q.text(field("wet")) != "", Hot: q.text(field("hot")) != "", Low: q.text(field("low")) != "",
		AtSea: q.text(field("sea")) != "", Sealed: q.text(field("sealed")) != "",
	}
	ok := true
	number := func(name string) float64 {
		x, good := q.number(field(name), 0)
		ok = ok && good
		return x
	}
	k.Litres, k.MaxKg = number("litres"), number("kg")
	if q.text(field("temp")) != "" {
		t := number("temp")
		k.TempC, k.ReadOn = &t, q.svc.Today().String()
		if was, there := vessel.FindLocker(old, k.ID); there && was.TempC != nil && *was.TempC == t {
			k.ReadOn = was.ReadOn
		}
	}
	if !ok {
		p.Faults = append(p.Faults, q.say("locker.fault", k.ID))
	}
	return k, k.ID != ""
}
