package rest

import (
	"context"
	"encoding/json"
	"fmt"
	"mime"
	"net/http"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/route/plan"
)

const eventStream = "text/event-stream"

// wantsEvents says whether a client asks to be told while a plan is made.
func wantsEvents(c echo.Context) bool {
	for _, kind := range strings.Split(c.Request().Header.Get(echo.HeaderAccept), ",") {
		if t, _, err := mime.ParseMediaType(kind); err == nil && t == eventStream {
			return true
		}
	}
	return false
}

// betterPlan is what is told of a plan on the way.
type betterPlan struct {
	Total   float64 `json:"total"`
	Bound   float64 `json:"bound"`
	Gap     float64 `json:"gap"`
	Goods   float64 `json:"goods"`
	Seconds float64 `json:"seconds"` // since planning began
}

// streamPlan plans and tells of each better plan as a server-sent event
// (WHATWG HTML, 9.2): "better", at the end "planned" with the plan as it is
// kept, or "problem" when there is none. A client that goes away ends the work.
func (s *server) streamPlan(ctx context.Context, c echo.Context, o api.PlanOptions) error {
	began := time.Now()
	e := &events{c: c}
	o.Better = func(p plan.Plan) {
		e.send("better", betterPlan{p.Cost.Total, p.Bound, p.Gap, p.Cost.Goods, time.Since(began).Seconds()})
	}
	k, err := s.svc.Plan(ctx, c.Param("voyage"), o)
	switch {
	case err != nil && !e.begun:
		return err
	case err != nil:
		if p := problemOf(err); p.Status != statusGone {
			e.send("problem", p)
		}
		return err
	}
	e.send("planned", k.Value)
	return e.err
}

// events writes server-sent events; the first one sends the head.
type events struct {
	c     echo.Context
	begun bool
	err   error
}

func (e *events) send(name string, v any) {
	w := e.c.Response()
	if !e.begun {
		e.begun = true
		w.Header().Set(echo.HeaderContentType, eventStream)
		w.WriteHeader(http.StatusOK)
	}
	body, err := json.Marshal(v)
	if err == nil && e.err == nil {
		_, err = fmt.Fprintf(w, "event: %s\ndata: %s\n\n", name, body)
	}
	if e.err == nil {
		e.err = err
	}
	w.Flush()
}
