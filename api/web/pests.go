package web

import (
	"net/http"

	"hardtack/api"
	"hardtack/route/pest"
)

// pestsPage is where insects threaten the dry stores and what to do.
type pestsPage struct {
	Frame
	Neighbours []pestRow
	Risks      []pestRow
	Treatments []treatmentRow
	Hints      []string
	Done       string
}

type pestRow struct {
	Name, Place, Level, Why, Do, To, Beside string
	High                                    bool
}

type treatmentRow struct{ Name, How, Source, Caution string }

func (s *site) getPests(q *request) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	a, err := q.svc.Pests(q.r.Context(), v.ID, q.text("lot"), api.Where{Voyage: q.voyageHere()})
	if err != nil {
		return err
	}
	f := q.aboardFrame("pests.title")
	p := &pestsPage{Done: q.doneWords()}
	for _, r := range a.Neighbours {
		p.Neighbours = append(p.Neighbours, q.pestRow(&f, r))
	}
	for _, r := range a.Risks {
		p.Risks = append(p.Risks, q.pestRow(&f, r))
	}
	for n, t := range a.Treatments {
		p.Treatments = append(p.Treatments, treatmentRow{
			q.say(numbered("pests.treat.name", n)), q.say(numbered("pests.treat.how", n)), t.Source, q.say(numbered("pests.treat.caution", n)),
		})
	}
	for n := range a.Hints {
		p.Hints = append(p.Hints, q.say(numbered("pests.hint", n)))
	}
	return q.show(http.StatusOK, "pests", f, p)
}

func (q *request) pestRow(f *Frame, r pest.Risk) pestRow {
	lot := q.lotRow(f, r.Lot)
	return pestRow{
		Name: q.words.Item(r.Lot.Item, r.Name), Place: lot.Place, Level: q.say(numbered("pests.level", r.Level)), Why: f.Tell(r.Why), Do: f.Tell(r.Do), To: lot.To,
		Beside: q.at("aboard", "pests?lot="+r.Lot.ID), High: r.Level >= 3,
	}
}
