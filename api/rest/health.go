package rest

import (
	"net/http"

	"github.com/labstack/echo/v4"
)

// alive says that the process answers.
func (s *server) alive(c echo.Context) error {
	return answer(c, http.StatusOK, map[string]string{"status": "alive"})
}

// ready says that the database answers too.
func (s *server) ready(c echo.Context) error {
	if err := s.svc.Ready(c.Request().Context()); err != nil {
		return echo.NewHTTPError(http.StatusServiceUnavailable, "the database does not answer").SetInternal(err)
	}
	return answer(c, http.StatusOK, map[string]string{"status": "ready"})
}
