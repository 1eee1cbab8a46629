package web

import (
	"cmp"
	"errors"
	"net/http"
	"slices"
	"strings"

	"hardtack/api"
	"hardtack/pricing/calendar"
	"hardtack/route/inventory"
	"hardtack/route/vessel"
)

func compare(a, b string) int { return cmp.Compare(strings.ToLower(a), strings.ToLower(b)) }

// lotPage is one lot and what can happen to it.
type lotPage struct {
	Frame
	Lot    lotRow
	Bought calendar.Day
	Port   string
	Note   string
	Amount string // as typed
	Party  string
	Loan   bool
	Into   []choice
	Causes []choice
	Unit   string // an amount as it is written
	Faults []string
}

func (s *site) getLot(q *request) error { return q.showLot(http.StatusOK, &lotPage{}) }

// lot is the one named in the path, by its id or as the first of an item.
func (q *request) lot(v vessel.Vessel) (inventory.Lot, error) {
	lots, err := q.svc.Aboard(q.r.Context(), v.ID)
	if err != nil {
		return inventory.Lot{}, err
	}
	name := q.r.PathValue("lot")
	k := slices.IndexFunc(lots.Value, func(l inventory.Lot) bool { return l.ID == name })
	if k < 0 {
		k = slices.IndexFunc(lots.Value, func(l inventory.Lot) bool { return string(l.Item) == name })
	}
	if k < 0 {
		return inventory.Lot{}, api.ErrNotFound
	}
	return lots.Value[k], nil
}

func (q *request) showLot(status int, p *lotPage) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	l, err := q.lot(v)
	if err != nil {
		return err
	}
	f := q.aboardFrame("aboard.title")
	p.Lot, p.Bought, p.Note, p.Port = q.lotRow(&f, l), l.Bought, l.Note, string(l.Port)
	f.Title = p.Lot.Name
	if i, err := q.svc.Item(l.Item); err == nil {
		p.Unit = packExample[i.Unit]
	}
	if p.Into, err = q.places(v, l.Place()); err != nil {
		return err
	}
	p.Causes = q.causes(inventory.Overdue)
	return q.show(status, "lot", f, p)
}

func (q *request) causes(on inventory.Cause) []choice {
	var out []choice
	for _, c := range inventory.Causes() {
		out = append(out, choice{string(c), q.say("cause." + string(c)), c == on})
	}
	return out
}

// acts are what the buttons of a lot's page do.
var acts = map[string]inventory.MoveKind{
	"used": inventory.Used, "opened": inventory.Opened, "spoilt": inventory.Spoilt, "moved": inventory.Moved, "given": inventory.Given,
}

// postLot does something with the lot and leads back to the lockers. An empty
// amount is all of it.
func (s *site) postLot(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	kind, ok := acts[q.text("do")]
	if !ok {
		return q.showLot(http.StatusUnprocessableEntity, &lotPage{Faults: []string{q.say("lot.which")}})
	}
	l, err := q.lot(v)
	if err != nil {
		return err
	}
	e := api.ActEntry{Kind: kind, Lot: l.ID, Amount: decimal(q.text("amount"))}
	e.All = e.Amount == "" && kind != inventory.Opened
	switch kind {
	case inventory.Spoilt:
		e.Cause = inventory.Cause(q.text("cause"))
	case inventory.Moved:
		e.To = q.text("to")
	case inventory.Given:
		e.Party, e.Loan = q.text("party"), q.text("loan") != ""
	}
	_, err = q.svc.Act(q.r.Context(), v.ID, e)
	var invalid *api.InvalidError
	switch {
	case errors.As(err, &invalid):
		return q.showLot(http.StatusUnprocessableEntity, &lotPage{Amount: e.Amount, Party: e.Party, Loan: e.Loan, Faults: q.faultLines(invalid)})
	case err != nil:
		return err
	}
	return q.goTo("aboard?did=" + q.text("do"))
}
