package rest

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/api/access"
)

func (s *server) postAccount(c echo.Context) error {
	var a api.Applicant
	if err := s.readPlain(c, &a); err != nil {
		return err
	}
	if err := s.gate.take(c, s.gate.guesses, c.RealIP()); err != nil { // of invitations and names
		return err
	}
	done, err := s.svc.Register(c.Request().Context(), a, s.gate.Registration)
	if err != nil {
		return err
	}
	return answerOnce(c, http.StatusCreated, done)
}

// answerOnce is answer for what is shown this once.
func answerOnce(c echo.Context, status int, v any) error {
	c.Response().Header().Set("Cache-Control", "no-store")
	return answer(c, status, v)
}

type login struct {
	Name     string `json:"name"`
	Password string `json:"password"`
	Code     string `json:"code"`
}

func (s *server) postLogin(c echo.Context) error {
	var in login
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	for _, name := range []string{c.RealIP(), "name " + in.Name} {
		if err := s.gate.take(c, s.gate.guesses, name); err != nil {
			return err
		}
	}
	done, err := s.svc.Login(c.Request().Context(), api.Credentials{Name: in.Name, Password: in.Password, Code: in.Code, Follows: *caller(c)})
	if err != nil {
		return err
	}
	return answerOnce(c, http.StatusCreated, done)
}

type newPassword struct {
	Old      string `json:"old"`
	Password string `json:"password"`
	Code     string `json:"code"`
}

func (s *server) putPassword(c echo.Context) error {
	var in newPassword
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	who := caller(c)
	if err := s.guess(c); err != nil {
		return err
	}
	done, err := s.svc.ChangePassword(c.Request().Context(), *who, api.NewPassword(in))
	if err != nil {
		return err
	}
	return answerOnce(c, http.StatusCreated, done)
}

func (s *server) getAccount(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	a, err := s.svc.AccountOf(c.Request().Context(), *caller(c))
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, a)
}

func (s *server) deleteAccount(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	who := caller(c)
	if err := s.svc.Erase(c.Request().Context(), who.Account, who.Account); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

func (s *server) listKeys(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	keys, err := s.svc.Keys(c.Request().Context(), *caller(c))
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, map[string]any{"keys": keys})
}

type newKey struct {
	Label  string         `json:"label"`
	Scopes []access.Scope `json:"scopes"`
	Days   int            `json:"days"`
}

func (s *server) postKey(c echo.Context) error {
	var in newKey
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	key, err := s.svc.NewKey(c.Request().Context(), *caller(c), in.Label, in.Scopes, in.Days)
	if err != nil {
		return err
	}
	return answerOnce(c, http.StatusCreated, map[string]string{"key": key})
}

func (s *server) deleteKey(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	if err := s.svc.RevokeKey(c.Request().Context(), *caller(c), c.Param("key")); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}
