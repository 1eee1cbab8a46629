package web

import (
	"errors"
	"net/http"
	"slices"
	"strconv"

	"hardtack/api"
	"hardtack/pricing/money"
)

// askedPage is what looks like slips, to be answered by one tap each.
type askedPage struct {
	Frame
	Done   string
	Own    []askedRow // wait for an answer
	Stand  []askedRow // were answered: they are right
	Others []askedRow // of other reporters
}

// askedRow is one report and what was asked about it.
type askedRow struct {
	ID, Port, Item, Name string
	What, Why            string
	Meant                []string // what may have been meant, likeliest first
}

// askedAnswers are what can have come of an answer.
var askedAnswers = []string{"stands", "meant", "withdraw", "late"}

func (s *site) getAsked(q *request) error {
	v, err := q.voyage()
	if err != nil {
		return err
	}
	asked, err := q.svc.Asked(q.r.Context())
	if err != nil {
		return err
	}
	f := q.frame(q.say("asked.title"), "prices", v.ID)
	p := askedPage{}
	if done := q.text("done"); slices.Contains(askedAnswers, done) {
		p.Done = q.say("answered." + done)
	}
	if n, err := strconv.Atoi(q.text("recorded")); err == nil {
		p.Done = q.words.Count("report.done", n)
	}
	for _, a := range asked {
		row, err := q.askedRow(&f, a)
		if err != nil {
			return err
		}
		to := &p.Others
		switch {
		case a.Own && a.Stands:
			to = &p.Stand
		case a.Own:
			to = &p.Own
		}
		*to = append(*to, row)
	}
	return q.show(http.StatusOK, "asked", f, &p)
}

func (q *request) askedRow(f *Frame, a api.Asked) (askedRow, error) {
	r := a.Report
	it, err := q.svc.Item(r.Item)
	if err != nil {
		return askedRow{}, err
	}
	at, err := q.svc.Port(q.r.Context(), r.Port)
	if err != nil {
		return askedRow{}, err
	}
	paid := func(m money.Amount) string { return f.point(m.Decimal()) + " " + string(m.Currency) }
	row := askedRow{ID: r.ID, Port: string(r.Port), Item: string(r.Item), Name: q.words.goods(it)}
	row.What = q.say("asked.what", paid(r.Paid), f.Much(r.Pack.Units(), it.Unit), at.Name, f.Date(r.Day))
	if times := a.Doubt.Times; times < 1 {
		row.Why = q.say("asked.less", f.point(trim(1/times, 1)), paid(a.Doubt.Usual))
	} else {
		row.Why = q.say("asked.more", f.point(trim(times, 1)), paid(a.Doubt.Usual))
	}
	for _, c := range a.Doubt.Corrections {
		row.Meant = append(row.Meant, q.say("asked.meant", paid(c.Paid), f.Much(c.Pack.Units(), it.Unit)))
	}
	return row, nil
}

// postAsked takes an answer: it stands, it was meant otherwise, or it is taken
// back. An answer that comes too late changes nothing.
func (s *site) postAsked(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	id, done := q.text("report"), ""
	var err error
	switch answer := q.text("answer"); answer {
	case "stands":
		_, err = q.svc.Stands(q.r.Context(), id)
		done = answer
	case "withdraw":
		var me string
		if me, err = q.svc.Me(q.r.Context()); err == nil {
			_, err = q.svc.Withdraw(q.r.Context(), id, me, q.svc.Today())
		}
		done = answer
	default:
		place, bad := strconv.Atoi(answer)
		if bad != nil {
			return api.ErrNotFound
		}
		_, err = q.svc.Corrected(q.r.Context(), id, place)
		done = "meant"
	}
	if errors.Is(err, api.ErrStale) || errors.Is(err, api.ErrConflict) {
		done = "late"
	} else if err != nil {
		return err
	}
	return q.goTo("voyage", q.r.PathValue("voyage"), "asked?done="+done)
}
