package rest

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"

	"hardtack/api"
)

// getShelf gives the quantity steps of a pack at a stop.
func (s *server) getShelf(c echo.Context) error {
	q := params(c, "item", "stop", "pack")
	ask := api.ShelfAsk{Item: q.text("item"), Stop: q.whole("stop", 0, 0, 10_000), Pack: q.text("pack")}
	if ask.Item == "" {
		q.bad("item", "want the id of an item")
	}
	if err := q.err(); err != nil {
		return err
	}
	x, err := s.svc.Shelf(c.Request().Context(), c.Param("voyage"), ask)
	return orFail(c, x, err)
}

type shelfRequest struct {
	api.MetOptions
	Work int `json:"work,omitempty"` // schedules tried for whole; 0 = the usual
}

// postShelf says what real prices change; nothing is kept.
func (s *server) postShelf(c echo.Context) error {
	var in shelfRequest
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	if err := workFault("shelf", in.Work); err != nil {
		return err
	}
	in.Budget.Work = in.Work
	ctx, cancel := context.WithTimeout(c.Request().Context(), s.opts.PlanTime)
	defer cancel()
	r, err := s.svc.Reprice(ctx, c.Param("voyage"), in.MetOptions)
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, r)
}
