package rest

import (
	"context"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/route"
)

func (s *server) listVoyages(c echo.Context) error { return listAll(c, "voyages", s.svc.Voyages) }
func (s *server) getVoyage(c echo.Context) error   { return getOne(c, "voyage", s.svc.Voyage) }
func (s *server) deleteVoyage(c echo.Context) error {
	return deleteOne(c, "voyage", s.svc.DeleteVoyage)
}
func (s *server) putVoyage(c echo.Context) error {
	return putOne(s, c, "voyage", func(v *route.Voyage) *string { return &v.ID }, s.svc.PutVoyage)
}

type gpxVoyage struct {
	Voyage route.Voyage `json:"voyage"`
	Notes  []string     `json:"notes"`
}

// voyageFromGPX reads a route; nothing is kept until the voyage is put.
func (s *server) voyageFromGPX(c echo.Context) error {
	file, err := s.file(c, "application/gpx+xml", "application/xml", "text/xml")
	if err != nil {
		return err
	}
	v, notes, err := s.svc.ImportGPX(c.Request().Context(), file)
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, gpxVoyage{v, english(notes)})
}

func (s *server) getItinerary(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	it, err := s.svc.Itinerary(c.Request().Context(), c.Param("voyage"))
	if err != nil {
		return err
	}
	return hashed(c, itineraryOf(it))
}

func (s *server) getSettings(c echo.Context) error { return getOne(c, "voyage", s.svc.Settings) }

func (s *server) putSettings(c echo.Context) error {
	var in api.Settings
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	revision, err := expect(c)
	if err != nil {
		return err
	}
	k, err := s.svc.PutSettings(c.Request().Context(), c.Param("voyage"), in, revision)
	if err != nil {
		return conditional(c, err)
	}
	return kept(c, http.StatusOK, k)
}

func (s *server) getBrief(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	b, err := s.svc.Brief(c.Request().Context(), c.Param("voyage"))
	if err != nil {
		return err
	}
	return hashed(c, b)
}

func (s *server) getPlan(c echo.Context) error { return getOne(c, "voyage", s.svc.LastPlan) }

type planRequest struct {
	Seconds float64 `json:"seconds,omitempty"` // how long to look for better plans; 0 = the usual
	Careful bool    `json:"careful,omitempty"` // count in what may not be found ahead
	Seed    uint64  `json:"seed,omitempty"`    // of the random choices
	Work    int     `json:"work,omitempty"`    // schedules tried; 0 = the usual
}

// postPlan plans and keeps the plan. It answers when the plan is there.
func (s *server) postPlan(c echo.Context) error {
	var in planRequest
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	if most := s.opts.PlanTime.Seconds(); !(in.Seconds >= 0 && in.Seconds <= most) {
		return &api.InvalidError{What: "plan", Faults: []api.Fault{{Path: "seconds", Problem: "want 0 to " + s.opts.PlanTime.String()}}}
	}
	if err := workFault("plan", in.Work); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(c.Request().Context(), s.opts.PlanTime+30*time.Second)
	defer cancel()
	o := api.PlanOptions{Time: time.Duration(in.Seconds * float64(time.Second)), Careful: in.Careful}
	o.Seed, o.Work = in.Seed, in.Work
	if wantsEvents(c) {
		return s.streamPlan(ctx, c, o)
	}
	k, err := s.svc.Plan(ctx, c.Param("voyage"), o)
	if err != nil {
		return err
	}
	return kept(c, http.StatusOK, k)
}

// getList gives the shopping lists of the last plan: as JSON, as text, or as
// one page to carry, by the format asked for.
func (s *server) getList(c echo.Context) error {
	q := params(c, "stop", "format")
	stop, format := q.whole("stop", api.EveryStop, 0, 10_000), or(q.text("format"), "json")
	if err := q.err(); err != nil {
		return err
	}
	lists, err := s.svc.List(c.Request().Context(), c.Param("voyage"), stop)
	if err != nil {
		return err
	}
	switch format {
	case "json":
		return hashed(c, lists)
	case "text":
		return written(c, "text/plain; charset=utf-8", lists.WriteText)
	case "html":
		// One page that carries its own style and script.
		c.Response().Header().Set("Content-Security-Policy",
			"default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'")
		return written(c, "text/html; charset=utf-8", lists.WriteHTML)
	}
	return &api.InvalidError{What: "query", Faults: []api.Fault{{Path: "format", Problem: "found " + quote(format) + ", want json, text or html"}}}
}

func (s *server) getAhead(c echo.Context) error {
	q := params(c, "item", "need", "from")
	item, need, from := q.text("item"), q.text("need"), q.whole("from", 0, 0, 10_000)
	if (item == "") == (need == "") {
		q.bad("item", "want either an item or a need")
	}
	if err := q.err(); err != nil {
		return err
	}
	ctx := c.Request().Context()
	if need != "" {
		a, err := s.svc.AheadNeed(ctx, c.Param("voyage"), need, from)
		return orFail(c, a, err)
	}
	a, err := s.svc.AheadItem(ctx, c.Param("voyage"), pricing.ItemID(item), from)
	return orFail(c, a, err)
}

func orFail(c echo.Context, v any, err error) error {
	if err != nil {
		return err
	}
	return hashed(c, v)
}
