package rest

import (
	"errors"
	"fmt"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/api/access"
	"hardtack/pricing"
)

// own holds entries to what the caller may report: under reporters of its own
// account, and correcting nobody else's. Somebody else's report is answered
// like one that is not there.
func (s *server) own(c echo.Context, prefix func(int) string, entries []api.Entry) error {
	who := caller(c)
	if who == nil {
		return nil
	}
	ctx := c.Request().Context()
	claimed := map[string]bool{"": true} // nobody is for Record to refuse
	for i, e := range entries {
		if !claimed[e.Reporter] {
			if err := s.svc.ClaimReporter(ctx, *who, e.Reporter); err != nil {
				return err
			}
			claimed[e.Reporter] = true
		}
		if e.Replaces == "" {
			continue
		}
		if _, err := s.ownReport(c, e.Replaces); errors.Is(err, api.ErrNotFound) && !earlier(entries[:i], e.Replaces) {
			return &api.InvalidError{What: "report", Faults: []api.Fault{{
				Path: prefix(i) + "replaces", Problem: "found " + quote(e.Replaces) + ", want the id of a report of yours",
			}}}
		} else if err != nil && !errors.Is(err, api.ErrNotFound) {
			return err
		}
	}
	return nil
}

func earlier(entries []api.Entry, id string) bool {
	for _, e := range entries {
		if e.ID == id {
			return true
		}
	}
	return false
}

// ownReport is a report the caller may see; any other is ErrNotFound.
func (s *server) ownReport(c echo.Context, id string) (pricing.Report, error) {
	ctx := c.Request().Context()
	r, err := s.svc.Report(ctx, id)
	who := caller(c)
	if err != nil || who == nil || who.Role == access.Moderator {
		return r, err
	}
	mine, err := s.svc.Owns(ctx, *who, r)
	if err == nil && !mine {
		err = fmt.Errorf("report %q: %w", id, api.ErrNotFound)
	}
	return r, err
}
