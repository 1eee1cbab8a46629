package rest

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"hardtack/api/exchange"
)

// exchangeType is that of messages between databases: CBOR in Zstandard.
const exchangeType = "application/vnd.hardtack.exchange"

func (s *server) postExchange(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	message, err := s.body(c, exchange.MaxMessage, exchangeType)
	if err != nil {
		return err
	}
	answer, err := s.svc.AnswerExchange(c.Request().Context(), message, caller(c))
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, exchangeType, answer)
}
