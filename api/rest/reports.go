package rest

import (
	"fmt"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/api/access"
	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

type reportPage struct {
	Reports []api.Entry `json:"reports"`
	Next    string      `json:"next,omitempty"` // give it as after
}

func (s *server) listReports(c echo.Context) error {
	q := params(c, "port", "item", "reporter", "since", "standing", "limit", "after")
	f := db.Filter{
		Port: pricing.PortID(q.text("port")), Item: pricing.ItemID(q.text("item")), Reporter: q.text("reporter"),
		Since: q.day("since"), Standing: q.yes("standing"),
	}
	if who := caller(c); who != nil && who.Role != access.Moderator {
		f.Account = who.Account
	}
	limit, after := q.whole("limit", 100, 1, 1000), q.cursor("after")
	if err := q.err(); err != nil {
		return err
	}
	rs, more, err := s.svc.Reports(c.Request().Context(), f, after, limit)
	if err != nil {
		return err
	}
	page := reportPage{Reports: make([]api.Entry, len(rs))}
	for i, r := range rs {
		page.Reports[i] = s.svc.EntryOf(r)
	}
	if more {
		last := rs[len(rs)-1]
		page.Next = cursorText(db.Cursor{Day: last.Day, ID: last.ID})
		next(c, page.Next)
	}
	return hashed(c, page)
}

type reportsRequest struct {
	Reports []api.Entry `json:"reports"`
}

func (s *server) postReports(c echo.Context) error {
	var in reportsRequest
	ask, err := s.readAsking(c, &in)
	if err != nil {
		return err
	}
	if err := s.own(c, func(i int) string { return fmt.Sprintf("reports[%d].", i) }, in.Reports); err != nil {
		return err
	}
	if ask {
		if err := s.svc.AskAll(c.Request().Context(), in.Reports); err != nil {
			return err
		}
	}
	done, err := s.svc.RecordAll(c.Request().Context(), in.Reports)
	if err != nil {
		return err
	}
	return answer(c, statusOf(done), done)
}

// statusOf is 201 when something is new, 200 when all of it was there.
func statusOf(r api.Recorded) int {
	if r.New > 0 {
		return http.StatusCreated
	}
	return http.StatusOK
}

func (s *server) getReport(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	r, err := s.ownReport(c, strings.ToLower(c.Param("report")))
	if err != nil {
		return err
	}
	return hashed(c, s.svc.EntryOf(r))
}

// putReport may be repeated: the same report again is answered by 200.
func (s *server) putReport(c echo.Context) error {
	var e api.Entry
	if err := s.readPlain(c, &e); err != nil {
		return err
	}
	id := c.Param("report")
	if e.ID != "" && !strings.EqualFold(e.ID, id) {
		return &api.InvalidError{What: "report", Faults: []api.Fault{{Path: "id", Problem: "found " + quote(e.ID) + ", want nothing or the id of the path"}}}
	}
	e.ID = id
	if err := s.own(c, func(int) string { return "" }, []api.Entry{e}); err != nil {
		return err
	}
	done, err := s.svc.Record(c.Request().Context(), e)
	if err != nil {
		return err
	}
	r, err := s.svc.Report(c.Request().Context(), done.IDs[0])
	if err != nil {
		return err
	}
	return answer(c, statusOf(done), s.svc.EntryOf(r))
}

type withdrawal struct {
	Reporter string       `json:"reporter"`
	Day      calendar.Day `json:"day"`
}

func (s *server) withdrawReport(c echo.Context) error {
	var w withdrawal
	if err := s.readPlain(c, &w); err != nil {
		return err
	}
	if _, err := s.ownReport(c, strings.ToLower(c.Param("report"))); err != nil {
		return err
	}
	done, err := s.svc.Withdraw(c.Request().Context(), strings.ToLower(c.Param("report")), w.Reporter, w.Day)
	if err != nil {
		return err
	}
	return answer(c, statusOf(done), done)
}

func (s *server) postReceipt(c echo.Context) error {
	var r api.Receipt
	ask, err := s.readAsking(c, &r)
	if err != nil {
		return err
	}
	if err := s.own(c, func(int) string { return "" }, []api.Entry{{Reporter: r.Reporter}}); err != nil {
		return err
	}
	if ask {
		if err := s.svc.AskReceipt(c.Request().Context(), r); err != nil {
			return err
		}
	}
	done, err := s.svc.RecordReceipt(c.Request().Context(), r)
	if err != nil {
		return err
	}
	return answer(c, statusOf(done), done)
}

// readAsking is read for requests that may ask to be asked: with ask=true what
// looks like a slip is not recorded but answered by a problem.
func (s *server) readAsking(c echo.Context, v any) (ask bool, err error) {
	q := params(c, "ask")
	ask = q.yes("ask")
	if err := q.err(); err != nil {
		return false, err
	}
	return ask, s.read(c, v)
}

// readPlain is read for requests that take no parameters.
func (s *server) readPlain(c echo.Context, v any) error {
	if err := params(c).err(); err != nil {
		return err
	}
	return s.read(c, v)
}
