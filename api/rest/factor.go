package rest

import (
	"net/http"

	"github.com/labstack/echo/v4"
)

type proof struct {
	Password string `json:"password"`
	Code     string `json:"code"`
}

// guess counts a try of the caller's own password.
func (s *server) guess(c echo.Context) error {
	return s.gate.take(c, s.gate.guesses, "account "+caller(c).Account)
}

func (s *server) postFactor(c echo.Context) error {
	var in struct {
		Password string `json:"password"`
	}
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	if err := s.guess(c); err != nil {
		return err
	}
	f, err := s.svc.OfferFactor(c.Request().Context(), *caller(c), in.Password)
	if err != nil {
		return err
	}
	return answerOnce(c, http.StatusCreated, f)
}

func (s *server) putFactor(c echo.Context) error {
	var in struct {
		Code string `json:"code"`
	}
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	done, err := s.svc.ConfirmFactor(c.Request().Context(), *caller(c), in.Code)
	if err != nil {
		return err
	}
	return answerOnce(c, http.StatusCreated, done)
}

func (s *server) postFactorRemoval(c echo.Context) error {
	var in proof
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	if err := s.guess(c); err != nil {
		return err
	}
	if err := s.svc.RemoveFactor(c.Request().Context(), *caller(c), in.Password, in.Code); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}
