package web

import (
	"net/http"

	"hardtack/api"
)

// fridgePage is the order in which to rescue what lies cold when the cold has
// failed.
type fridgePage struct {
	Frame
	Hours string
	Bad   bool
	Rows  []rescueRow
}

type rescueRow struct {
	Name, Much, Place, Do, Caution, To string
}

func (s *site) getFridge(q *request) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	hours, ok := q.number("hours", 0)
	if !ok || hours < 0 || hours > 1e4 {
		hours, ok = 0, false
	}
	order, err := q.svc.FridgeOff(q.r.Context(), v.ID, api.Where{Voyage: q.voyageHere()}, hours)
	if err != nil {
		return err
	}
	f := q.aboardFrame("fridge.title")
	p := &fridgePage{Hours: trim(hours, 1), Bad: !ok}
	for _, r := range order {
		lot := q.lotRow(&f, r.Lot)
		p.Rows = append(p.Rows, rescueRow{Name: q.words.Item(r.Lot.Item, r.Name), Much: lot.Much, Place: lot.Place, Do: f.Tell(r.Do), Caution: f.Tell(r.Caution), To: lot.To})
	}
	return q.show(http.StatusOK, "fridge", f, p)
}
