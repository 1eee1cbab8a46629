package rest

import (
	"net/http"

	"github.com/labstack/echo/v4"
)

// alive says that the process answers.
func (s *server) alive(c echo.Context) error {
	return answer(c, http.StatusOK, map[string]string{"status": "alive"})
}

// ready says that the database answers too, and that the server will be there.
func (s *server) ready(c echo.Context) error {
	if s.opts.Leaving != nil && s.opts.Leaving() {
		return echo.NewHTTPError(http.StatusServiceUnavailable, "this server is about to stop")
	}
	if err := s.svc.Ready(c.Request().Context()); err != nil {
		return echo.NewHTTPError(http.StatusServiceUnavailable, "the database does not answer").SetInternal(err)
	}
	return answer(c, http.StatusOK, map[string]string{"status": "ready"})
}
