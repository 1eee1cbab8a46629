package rest

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"hardtack/api"
)

func TestKindsBecomeStatus(t *testing.T) {
	t.Parallel()
	for status, err := range map[int]error{
		http.StatusBadRequest:          errSyntax,
		http.StatusUnprocessableEntity: &api.InvalidError{What: "x", Faults: []api.Fault{{Path: "a", Problem: "b"}}},
		http.StatusNotFound:            api.ErrNotFound,
		http.StatusConflict:            api.ErrConflict,
		http.StatusPreconditionFailed:  errors.Join(api.ErrConflict, api.ErrStale),
		http.StatusInsufficientStorage: api.ErrFull,
		http.StatusServiceUnavailable:  context.DeadlineExceeded,
		http.StatusTeapot:              echo.NewHTTPError(http.StatusTeapot, "short and stout"),
		http.StatusInternalServerError: errors.New("disk on fire"),
	} {
		p := problemOf(fmt.Errorf("do it: %w", err))
		require.Equal(t, status, p.Status, err)
		require.NotEmpty(t, p.Title)
		require.NotContains(t, p.Detail, "fire")
	}
	require.Equal(t, http.StatusServiceUnavailable, problemOf(api.ErrSchema).Status)
}

func TestAPanicIsAProblem(t *testing.T) {
	t.Parallel()
	var told error
	s := &server{opts: Options{Fault: func(_, _ string, err error) { told = err }}}
	e := echo.New()
	e.HTTPErrorHandler = s.fail
	e.Use(s.recovered)
	e.GET("/", func(echo.Context) error { panic("no such locker") })
	w := httptest.NewRecorder()
	e.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/", nil))
	require.Equal(t, http.StatusInternalServerError, w.Code)
	require.Equal(t, problemType, w.Header().Get("Content-Type"))
	require.NotContains(t, w.Body.String(), "locker")
	require.ErrorContains(t, told, "no such locker")
	require.ErrorContains(t, told, "problem_test.go", "where it came from")
}
