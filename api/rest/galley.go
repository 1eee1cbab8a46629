package rest

import (
	"context"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/route/inventory"
	"hardtack/route/keeping"
	"hardtack/route/logbook"
)

// whereabouts reads where and when the boat is.
func whereabouts(q *query) api.Where {
	return api.Where{Day: q.day("day"), Port: q.text("port"), Voyage: q.text("voyage")}
}

func (s *server) getUseFirst(c echo.Context) error {
	q := params(c, "day", "port", "voyage", "days", "crew")
	at, days, crew := whereabouts(q), q.number("days", 4, 0, 400), q.text("crew")
	if err := q.err(); err != nil {
		return err
	}
	due, err := s.svc.UseFirst(c.Request().Context(), c.Param("vessel"), crew, at, days)
	if err != nil {
		return err
	}
	return hashed(c, map[string]any{"due": each(due, dueOf), "caution": keeping.Caution.String()})
}

func (s *server) getFridgeOff(c echo.Context) error {
	q := params(c, "day", "port", "voyage", "hours")
	at, hours := whereabouts(q), q.number("hours", 0, 0, 10_000)
	if err := q.err(); err != nil {
		return err
	}
	order, err := s.svc.FridgeOff(c.Request().Context(), c.Param("vessel"), at, hours)
	if err != nil {
		return err
	}
	return hashed(c, map[string]any{"rescue": each(order, rescueOf), "caution": keeping.Caution.String()})
}

func (s *server) getArrival(c echo.Context) error {
	q := params(c, "from", "to", "on", "voyage", "crew")
	x := api.Crossing{From: q.text("from"), To: q.text("to"), Arrive: q.day("on"), Voyage: q.text("voyage"), Crew: q.text("crew")}
	if err := q.err(); err != nil {
		return err
	}
	l, err := s.svc.Arrival(c.Request().Context(), c.Param("vessel"), x)
	if err != nil {
		return err
	}
	l.Lines, l.EatDown = some(l.Lines), some(l.EatDown)
	l.Sealed.Lines, l.Sealed.Litres, l.Sealed.Allowance = some(l.Sealed.Lines), some(l.Sealed.Litres), some(l.Sealed.Allowance)
	return hashed(c, l)
}

func (s *server) getWater(c echo.Context) error { return s.tank(c, s.svc.Water) }
func (s *server) getGas(c echo.Context) error   { return s.tank(c, s.svc.Gas) }

func (s *server) tank(c echo.Context, get func(context.Context, string, api.TankOptions) (api.Tank, error)) error {
	q := params(c, "crew", "voyage", "days", "ocean", "made")
	o := api.TankOptions{
		Crew: q.text("crew"), Voyage: q.text("voyage"), Days: q.number("days", 0, 0, 1000), Ocean: q.yes("ocean"), Made: q.number("made", 0, 0, 20_000),
	}
	if err := q.err(); err != nil {
		return err
	}
	t, err := get(c.Request().Context(), c.Param("vessel"), o)
	if err != nil {
		return err
	}
	return hashed(c, t)
}

func (s *server) getPests(c echo.Context) error {
	q := params(c, "day", "port", "voyage", "lot")
	at, lot := whereabouts(q), q.text("lot")
	if err := q.err(); err != nil {
		return err
	}
	a, err := s.svc.Pests(c.Request().Context(), c.Param("vessel"), lot, at)
	if err != nil {
		return err
	}
	return hashed(c, struct {
		api.PestAdvice
		Risks      []wireRisk `json:"risks"`
		Neighbours []wireRisk `json:"neighbours"`
	}{a, each(a.Risks, riskOf), each(a.Neighbours, riskOf)})
}

func (s *server) getStow(c echo.Context) error {
	q := params(c, "voyage", "stop")
	voyage, stop := q.text("voyage"), q.whole("stop", 0, 0, 10_000)
	if err := q.err(); err != nil {
		return err
	}
	p, err := s.svc.Stow(c.Request().Context(), c.Param("vessel"), voyage, stop)
	if err != nil {
		return err
	}
	return hashed(c, struct {
		inventory.Proposal
		Placed   []wirePlacement `json:"placed"`
		Homeless []wirePlacement `json:"homeless"`
		Said     []string        `json:"said"`
	}{p, each(p.Placed, placementOf), each(p.Homeless, placementOf), english(p.Said)})
}

func (s *server) getHints(c echo.Context) error {
	q := params(c, "voyage", "stop")
	voyage, stop := q.text("voyage"), q.whole("stop", 0, 0, 10_000)
	if err := q.err(); err != nil {
		return err
	}
	hints, err := s.svc.Hints(c.Request().Context(), c.Param("vessel"), voyage, stop)
	if err != nil {
		return err
	}
	return hashed(c, map[string][]logbook.Hint{"hints": some(hints)})
}
