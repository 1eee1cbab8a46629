package rest

import (
	"bytes"
	"io"
	"net/http"

	"github.com/labstack/echo/v4"
)

// file reads a body that is a file of one of the content types.
func (s *server) file(c echo.Context, types ...string) (io.Reader, error) {
	if err := params(c).err(); err != nil {
		return nil, err
	}
	b, err := s.fileWith(c, types...)
	return bytes.NewReader(b), err
}

// fileWith is file for requests that take parameters.
func (s *server) fileWith(c echo.Context, types ...string) ([]byte, error) {
	return s.body(c, s.opts.MaxBody*filesTimes, types...)
}

// written answers with a text that is whole before any of it is sent, so that
// an error is still a problem document.
func written(c echo.Context, contentType string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	return c.Blob(http.StatusOK, contentType, b.Bytes())
}
