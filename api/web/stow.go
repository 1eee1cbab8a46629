package web

import (
	"cmp"
	"net/http"
	"strconv"

	"hardtack/api"
	"hardtack/pricing/wording"
	"hardtack/route/logbook"
)

// stowPage says which locker takes what was bought, the bottom first, and what
// to think of before the shopping.
type stowPage struct {
	Frame
	Stops       []choice
	NoLockers   bool
	Lockers     []stowLocker
	Homeless    []stowRow
	Said        []string
	Port, Other string // kilograms to either side
	Hints       []hintRow
}

type stowLocker struct {
	Name, Sum string
	Rows      []stowRow
}

type stowRow struct{ Name, Much, Why string }

type hintRow struct {
	What, Name, Place, Note string
	Day                     string
}

func (s *site) getStow(q *request) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	voyage := q.voyageHere()
	plan, err := q.svc.LastPlan(q.r.Context(), voyage)
	if err != nil {
		return err
	}
	stop, _ := strconv.Atoi(q.text("stop"))
	if q.text("stop") == "" {
		stop = q.stopNow(plan.Value)
	}
	p := &stowPage{}
	for n, x := range plan.Value.Notes.Stops {
		p.Stops = append(p.Stops, choice{strconv.Itoa(n), x.Name, n == stop})
	}
	lockers, err := q.svc.Lockers(q.r.Context(), v.ID)
	if err != nil {
		return err
	}
	f := q.aboardFrame("stow.title")
	if p.NoLockers = len(lockers.Value) == 0; !p.NoLockers {
		if err := q.proposal(&f, p, v.ID, voyage, stop); err != nil {
			return err
		}
	}
	hints, err := q.svc.Hints(q.r.Context(), v.ID, voyage, stop)
	if err != nil {
		return err
	}
	for _, h := range hints {
		p.Hints = append(p.Hints, q.hintRow(&f, h))
	}
	return q.show(http.StatusOK, "stow", f, p)
}

// stopNow is the stop of a plan the boat is at, or comes to next.
func (q *request) stopNow(p api.Planned) int {
	day := float64(q.svc.Today() - p.Notes.Start)
	for n, x := range p.Brief.Stops {
		if x.Depart >= day {
			return n
		}
	}
	return 0
}

func (q *request) proposal(f *Frame, p *stowPage, boat, voyage string, stop int) error {
	r, err := q.svc.Stow(q.r.Context(), boat, voyage, stop)
	if err != nil {
		return err
	}
	row := func(name, much string, why wording.Remark) stowRow { return stowRow{name, much, f.Tell(why)} }
	litres, kg := 0.0, 0.0
	for _, x := range r.Placed {
		if k := len(p.Lockers) - 1; k < 0 || p.Lockers[k].Name != x.Locker {
			p.Lockers, litres, kg = append(p.Lockers, stowLocker{Name: x.Locker}), 0, 0
		}
		k := &p.Lockers[len(p.Lockers)-1]
		litres, kg = litres+x.Litres, kg+x.Kg
		k.Sum = f.Volume(litres) + ", " + f.Mass(kg)
		k.Rows = append(k.Rows, row(q.words.Item(x.Item, x.Name), q.muchOf(f, x.Item, x.Amount), x.Why))
	}
	for _, x := range r.Homeless {
		p.Homeless = append(p.Homeless, row(q.words.Item(x.Item, x.Name), q.muchOf(f, x.Item, x.Amount), x.Why))
	}
	p.Said, p.Port, p.Other = f.TellAll(r.Said), f.Mass(r.PortKg), f.Mass(r.StarboardKg)
	return nil
}

func (q *request) hintRow(f *Frame, h logbook.Hint) hintRow {
	row := hintRow{What: q.say("log." + kindKeys[h.Kind]), Place: q.placeName(h.Place), Note: h.Note, Day: f.Date(h.Day)}
	if i, err := q.svc.Item(h.Item); err == nil {
		row.Name = q.words.Item(h.Item, i.Name)
	}
	row.Name = cmp.Or(row.Name, string(h.Item))
	return row
}
