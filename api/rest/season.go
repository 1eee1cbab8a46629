package rest

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/route/plan"
)

// postRisk walks the season of the last plan; nothing is kept.
func (s *server) postRisk(c echo.Context) error {
	var in api.RiskOptions
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(c.Request().Context(), s.opts.PlanTime+30*time.Second)
	defer cancel()
	r, err := s.svc.Risk(ctx, c.Param("voyage"), in)
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, r)
}

type replanRequest struct {
	api.ReplanOptions
	Work int `json:"work,omitempty"` // schedules tried in each search; 0 = the usual
}

// mostWork is what a server searches at most for one who asks.
const mostWork = 5 * plan.DefaultWork

func workFault(what string, work int) error {
	if work < 0 || work > mostWork {
		return &api.InvalidError{What: what, Faults: []api.Fault{{Path: "work", Problem: fmt.Sprintf("want 0 to %d", mostWork)}}}
	}
	return nil
}

// postReplan plans the rest of a voyage; it is kept when accepted.
func (s *server) postReplan(c echo.Context) error {
	var in replanRequest
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	if err := workFault("replan", in.Work); err != nil {
		return err
	}
	in.Budget.Work = in.Work
	ctx, cancel := context.WithTimeout(c.Request().Context(), s.opts.PlanTime+30*time.Second)
	defer cancel()
	r, err := s.svc.Replan(ctx, c.Param("voyage"), in.ReplanOptions)
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, r)
}

func (s *server) getWorth(c echo.Context) error {
	q := params(c, "item", "stop")
	item, stop := q.text("item"), q.whole("stop", 0, 0, 10_000)
	if item == "" {
		q.bad("item", "want the id of an item")
	}
	if err := q.err(); err != nil {
		return err
	}
	w, err := s.svc.Worth(c.Request().Context(), c.Param("voyage"), item, stop)
	return orFail(c, w, err)
}

// getFed sets the last plan beside the crew's needs.
func (s *server) getFed(c echo.Context) error {
	f, err := s.svc.Feeding(c.Request().Context(), c.Param("voyage"))
	return orFail(c, struct {
		api.Feeding
		Cautions []string `json:"cautions"`
	}{f, english(f.Cautions)}, err)
}

type bindsRequest struct {
	Work int    `json:"work,omitempty"` // schedules tried for each; 0 = the usual
	Seed uint64 `json:"seed,omitempty"`
}

// postBinds says what limits the last plan; nothing is kept.
func (s *server) postBinds(c echo.Context) error {
	var in bindsRequest
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	if err := workFault("binds", in.Work); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(c.Request().Context(), s.opts.PlanTime+30*time.Second)
	defer cancel()
	x, err := s.svc.Binds(ctx, c.Param("voyage"), plan.Budget{Seed: in.Seed, Work: in.Work})
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, x)
}
