package rest

import (
	"io"
	"net/http"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/pricing/money"
	"hardtack/route/inventory"
	"hardtack/route/logbook"
	"hardtack/route/review"
	"hardtack/route/vessel"
)

// some is a list that is never null on the wire.
func some[T any](list []T) []T { return append([]T{}, list...) }

type lockers struct {
	Lockers []vessel.Locker `json:"lockers"`
}

func (s *server) getLockers(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	k, err := s.svc.Lockers(c.Request().Context(), c.Param("vessel"))
	if err != nil {
		return err
	}
	return tagged(c, http.StatusOK, tag(k.Revision), lockers{some(k.Value)})
}

func (s *server) putLockers(c echo.Context) error {
	var in lockers
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	revision, err := expect(c)
	if err != nil {
		return err
	}
	k, err := s.svc.PutLockers(c.Request().Context(), c.Param("vessel"), in.Lockers, revision)
	if err != nil {
		return conditional(c, err)
	}
	return tagged(c, http.StatusOK, tag(k.Revision), lockers{some(k.Value)})
}

func (s *server) findAboard(c echo.Context) error {
	q := params(c, "q")
	word := q.text("q")
	if err := q.err(); err != nil {
		return err
	}
	spots, err := s.svc.Find(c.Request().Context(), c.Param("vessel"), word)
	if err != nil {
		return err
	}
	return hashed(c, map[string]any{"spots": some(spots)})
}

type acted struct {
	Moves []inventory.Move `json:"moves"`
	Lots  []api.LotEntry   `json:"lots"`
}

func (s *server) postMove(c echo.Context) error {
	var in api.ActEntry
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	k, err := s.svc.Act(c.Request().Context(), c.Param("vessel"), in)
	if err != nil {
		return err
	}
	return tagged(c, http.StatusOK, tag(k.Revision), acted{some(k.Value.Moves), s.entries(k.Value.Lots)})
}

func (s *server) listMoves(c echo.Context) error {
	q := params(c, "from", "to")
	from, to := q.day("from"), q.day("to")
	if err := q.err(); err != nil {
		return err
	}
	moves, err := s.svc.Moves(c.Request().Context(), c.Param("vessel"), from, to)
	if err != nil {
		return err
	}
	return hashed(c, map[string]any{"moves": some(moves)})
}

func (s *server) getUsage(c echo.Context) error {
	q := params(c, "crew", "person_days")
	crew, days := q.text("crew"), q.number("person_days", 0, 0, 1e6)
	if err := q.err(); err != nil {
		return err
	}
	used, err := s.svc.Usage(c.Request().Context(), c.Param("vessel"), crew, days)
	if err != nil {
		return err
	}
	used.Learned = some(used.Learned)
	return hashed(c, used)
}

func (s *server) listLog(c echo.Context) error {
	q := params(c, "from", "to")
	from, to := q.day("from"), q.day("to")
	if err := q.err(); err != nil {
		return err
	}
	log, err := s.svc.Log(c.Request().Context(), c.Param("vessel"), from, to)
	if err != nil {
		return err
	}
	return hashed(c, map[string]any{"log": some(log)})
}

func (s *server) postLog(c echo.Context) error {
	var in logbook.Entry
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	e, err := s.svc.AddLog(c.Request().Context(), c.Param("vessel"), in)
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, e)
}

// lookback reads which stretch is meant.
func lookback(q *query) api.ReviewOptions {
	return api.ReviewOptions{From: q.day("from"), To: q.day("to"), Crew: q.text("crew"), Home: money.Currency(q.text("home"))}
}

func (s *server) getReview(c echo.Context) error {
	q := params(c, "from", "to", "crew", "home")
	o := lookback(q)
	if err := q.err(); err != nil {
		return err
	}
	r, err := s.svc.Review(c.Request().Context(), c.Param("vessel"), o)
	if err != nil {
		return err
	}
	r.Needs, r.Lost, r.Bargains, r.Ledger, r.Marks, r.Words = some(r.Needs), some(r.Lost), some(r.Bargains), some(r.Ledger), some(r.Marks), some(r.Words)
	return hashed(c, r)
}

func (s *server) getLedger(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	l, err := s.svc.Ledger(c.Request().Context(), c.Param("vessel"))
	if err != nil {
		return err
	}
	return hashed(c, map[string][]review.Account{"ledger": some(l)})
}

const workbook = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

func (s *server) exportAboard(c echo.Context) error {
	q := params(c, "from", "to", "crew", "home", "table")
	o, name := lookback(q), q.text("table")
	if err := q.err(); err != nil {
		return err
	}
	tables, err := s.svc.Tables(c.Request().Context(), c.Param("vessel"), o)
	if err != nil {
		return err
	}
	if name == "" {
		return written(c, workbook, func(w io.Writer) error { return api.WriteXLSX(w, tables) })
	}
	for _, t := range tables {
		if t.Name == name {
			return written(c, "text/csv; charset=utf-8", t.WriteCSV)
		}
	}
	q.bad("table", "want aboard, book, counts, usage, log, needs, lost or ledger")
	return q.err()
}
