package rest

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"hardtack/api/access"
	"hardtack/db"
)

func (s *server) listAccounts(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	all, err := s.svc.Accounts(c.Request().Context())
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, map[string]any{"accounts": all})
}

type accountState struct {
	State string `json:"state"`
}

func (s *server) putAccountState(c echo.Context) error {
	var in accountState
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	a, err := s.svc.SetState(c.Request().Context(), caller(c).Account, c.Param("account"), in.State)
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, a)
}

type newInvitation struct {
	Role access.Role `json:"role"`
	Days int         `json:"days"`
}

func (s *server) postInvitation(c echo.Context) error {
	in := newInvitation{Role: access.Boat, Days: 14}
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	text, err := s.svc.Invite(c.Request().Context(), caller(c).Account, in.Role, in.Days)
	if err != nil {
		return err
	}
	return answerOnce(c, http.StatusCreated, map[string]string{"invitation": text})
}

func (s *server) listDoubtful(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	all, err := s.svc.Doubtfuls(c.Request().Context())
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, map[string]any{"reports": all})
}

type verdict struct {
	Verdict string `json:"verdict"`
}

func (s *server) putVerdict(c echo.Context) error {
	var in verdict
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	if err := s.svc.Judge(c.Request().Context(), caller(c).Account, strings.ToLower(c.Param("report")), in.Verdict); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

func (s *server) listAudit(c echo.Context) error {
	q := params(c, "after", "limit")
	after, limit := q.long("after", 0, 0, 1<<53), q.whole("limit", 100, 1, 1000)
	if err := q.err(); err != nil {
		return err
	}
	all, err := s.svc.Audit(c.Request().Context(), after, limit)
	if err != nil {
		return err
	}
	if all == nil {
		all = []db.Audited{}
	}
	return answer(c, http.StatusOK, map[string]any{"audit": all})
}

// listStandouts names reporters whose prices are not those of the others.
func (s *server) listStandouts(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	all, err := s.svc.Standouts(c.Request().Context())
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, map[string]any{"standouts": all})
}
