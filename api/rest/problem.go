package rest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/api/exchange"
)

// problem is an RFC 9457 problem document.
type problem struct {
	Type   string      `json:"type"`
	Title  string      `json:"title"`
	Status int         `json:"status"`
	Detail string      `json:"detail,omitempty"`
	Errors []api.Fault `json:"errors,omitempty"`
}

const problemType = "application/problem+json"

// kinds turns error kinds into status; the first that matches holds.
var kinds = []struct {
	kind   error
	status int
	name   string
	title  string
}{
	{errSyntax, http.StatusBadRequest, "syntax", "The request cannot be read"},
	{exchange.ErrUnreadable, http.StatusBadRequest, "syntax", "The request cannot be read"},
	{exchange.ErrVersion, http.StatusUnprocessableEntity, "version", "The other program is newer than this one"},
	{api.ErrQuestioned, http.StatusUnprocessableEntity, "questioned", "Look again: this is probably a slip"},
	{api.ErrNobody, http.StatusUnauthorized, "nobody", "No such key or password"},
	{api.ErrCode, http.StatusUnauthorized, "code", "The second factor is wanted"},
	{api.ErrDenied, http.StatusForbidden, "denied", "Not allowed"},
	{api.ErrInvalid, http.StatusUnprocessableEntity, "invalid", "Something given cannot be taken"},
	{api.ErrUnkept, http.StatusUnprocessableEntity, "invalid", "Something given cannot be taken"},
	{api.ErrNotFound, http.StatusNotFound, "not-found", "There is no such thing"},
	{api.ErrStale, http.StatusPreconditionFailed, "stale", "Someone else changed it meanwhile"},
	{api.ErrConflict, http.StatusConflict, "conflict", "It is already there with other content"},
	{api.ErrFull, http.StatusInsufficientStorage, "full", "The disk is full"},
	{api.ErrSchema, http.StatusServiceUnavailable, "schema", "The database does not fit this program"},
	{context.DeadlineExceeded, http.StatusServiceUnavailable, "late", "It took too long"},
	{context.Canceled, statusGone, "gone", "The client went away"},
}

// statusGone is never seen by a client: it is gone.
const statusGone = 499

func problemOf(err error) problem {
	var invalid *api.InvalidError
	var large *http.MaxBytesError
	var plain *echo.HTTPError
	var often *api.TooOftenError
	switch {
	case errors.As(err, &often):
		return bare(http.StatusTooManyRequests, often.Error())
	case errors.As(err, &large):
		return bare(http.StatusRequestEntityTooLarge, fmt.Sprintf("the body is larger than %d bytes", large.Limit))
	case errors.As(err, &plain):
		return bare(plain.Code, fmt.Sprint(plain.Message))
	}
	for _, k := range kinds {
		if !errors.Is(err, k.kind) {
			continue
		}
		p := problem{Type: "urn:hardtack:problem:" + k.name, Title: k.title, Status: k.status, Detail: err.Error()}
		if errors.As(err, &invalid) {
			p.Errors = invalid.Faults
		}
		return p
	}
	if api.Away(err) {
		return bare(http.StatusServiceUnavailable, "the database cannot be reached just now: ask again; a repeat does no harm")
	}
	return bare(http.StatusInternalServerError, "a fault of the program or the machine; nothing was changed")
}

func bare(status int, detail string) problem {
	return problem{Type: "about:blank", Title: http.StatusText(status), Status: status, Detail: detail}
}

// panicked is a fault with the place it came from.
type panicked struct {
	what  any
	stack []byte
}

func (p panicked) Error() string { return fmt.Sprintf("panic: %v\n%s", p.what, p.stack) }

// fail writes the problem; it is the only place that does.
func (s *server) fail(err error, c echo.Context) {
	p := problemOf(err)
	if p.Status >= http.StatusInternalServerError && s.opts.Fault != nil {
		s.opts.Fault(c.Request().Method, c.Request().URL.Path, err)
	}
	var often *api.TooOftenError
	if errors.As(err, &often) {
		c.Response().Header().Set("Retry-After", seconds(often.Wait))
	}
	if p.Status == http.StatusServiceUnavailable && c.Response().Header().Get("Retry-After") == "" {
		c.Response().Header().Set("Retry-After", "2")
	}
	if c.Response().Committed {
		return // a stream broke: the client sees it end early
	}
	body, err := json.Marshal(p)
	if err != nil {
		body = []byte(`{"type":"about:blank","title":"Internal Server Error","status":500}`)
	}
	if c.Request().Method == http.MethodHead {
		_ = c.NoContent(p.Status) // the connection's trouble, not ours
		return
	}
	_ = c.Blob(p.Status, problemType, body)
}
