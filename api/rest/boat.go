package rest

import (
	"bytes"
	"context"
	"io"
	"net/http"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/route/inventory"
	"hardtack/route/inventory/usage"
	"hardtack/route/vessel"
)

func getOne[T any](c echo.Context, param string, get func(context.Context, string) (api.Kept[T], error)) error {
	if err := params(c).err(); err != nil {
		return err
	}
	k, err := get(c.Request().Context(), c.Param(param))
	if err != nil {
		return err
	}
	return kept(c, http.StatusOK, k)
}

// putOne reads a document whose id is that of the path and keeps it.
func putOne[T any](s *server, c echo.Context, param string, id func(*T) *string,
	put func(context.Context, T, int64) (api.Kept[T], error)) error {
	var v T
	if err := s.readPlain(c, &v); err != nil {
		return err
	}
	revision, err := expect(c)
	if err != nil {
		return err
	}
	switch at := id(&v); *at {
	case "":
		*at = c.Param(param)
	case c.Param(param):
	default:
		return &api.InvalidError{What: param, Faults: []api.Fault{{Path: "id", Problem: "found " + quote(*at) + ", want nothing or the id of the path"}}}
	}
	k, err := put(c.Request().Context(), v, revision)
	if err != nil {
		return conditional(c, err)
	}
	return kept(c, http.StatusOK, k)
}

func deleteOne(c echo.Context, param string, del func(context.Context, string, int64) error) error {
	if err := params(c).err(); err != nil {
		return err
	}
	revision, err := expect(c)
	if err != nil {
		return err
	}
	if err := del(c.Request().Context(), c.Param(param), revision); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

func listAll[T any](c echo.Context, name string, all func(context.Context) ([]api.Kept[T], error)) error {
	if err := params(c).err(); err != nil {
		return err
	}
	ks, err := all(c.Request().Context())
	if err != nil {
		return err
	}
	values := make([]T, len(ks))
	for i, k := range ks {
		values[i] = k.Value
	}
	return hashed(c, map[string]any{name: values})
}

func (s *server) listVessels(c echo.Context) error { return listAll(c, "vessels", s.svc.Vessels) }
func (s *server) getVessel(c echo.Context) error   { return getOne(c, "vessel", s.svc.Vessel) }
func (s *server) deleteVessel(c echo.Context) error {
	return deleteOne(c, "vessel", s.svc.DeleteVessel)
}
func (s *server) putVessel(c echo.Context) error {
	return putOne(s, c, "vessel", func(v *vessel.Vessel) *string { return &v.ID }, s.svc.PutVessel)
}

func (s *server) listCrews(c echo.Context) error  { return listAll(c, "crews", s.svc.Crews) }
func (s *server) getCrew(c echo.Context) error    { return getOne(c, "crew", s.svc.Crew) }
func (s *server) deleteCrew(c echo.Context) error { return deleteOne(c, "crew", s.svc.DeleteCrew) }
func (s *server) putCrew(c echo.Context) error {
	return putOne(s, c, "crew", func(v *vessel.Crew) *string { return &v.ID }, s.svc.PutCrew)
}

type aboard struct {
	Lots []api.LotEntry `json:"lots"`
}

func (s *server) aboard(c echo.Context, k api.Kept[[]inventory.Lot], err error) error {
	if err != nil {
		return conditional(c, err)
	}
	return tagged(c, http.StatusOK, tag(k.Revision), aboard{s.entries(k.Value)})
}

func (s *server) getAboard(c echo.Context) error {
	if err := params(c).err(); err != nil {
		return err
	}
	k, err := s.svc.Aboard(c.Request().Context(), c.Param("vessel"))
	return s.aboard(c, k, err)
}

func (s *server) putAboard(c echo.Context) error {
	var in aboard
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	revision, err := expect(c)
	if err != nil {
		return err
	}
	k, err := s.svc.PutAboard(c.Request().Context(), c.Param("vessel"), in.Lots, revision)
	return s.aboard(c, k, err)
}

func (s *server) changeAboard(c echo.Context) error {
	var in api.ChangeAboard
	if err := s.readPlain(c, &in); err != nil {
		return err
	}
	k, err := s.svc.Change(c.Request().Context(), c.Param("vessel"), in)
	return s.aboard(c, k, err)
}

// counted is what a count did, on the wire.
type counted struct {
	Lots    []api.LotEntry    `json:"lots"`
	Lines   []api.CountedLine `json:"lines"`
	Learned []usage.Line      `json:"learned"`
}

func (s *server) putCount(c echo.Context) error {
	q := params(c, "partial", "crew", "day")
	o := api.CountOptions{Partial: q.yes("partial"), Crew: q.text("crew"), Day: q.day("day")}
	if err := q.err(); err != nil {
		return err
	}
	file, err := s.fileWith(c, "text/csv")
	if err != nil {
		return err
	}
	revision, err := expect(c)
	if err != nil {
		return err
	}
	k, err := s.svc.Count(c.Request().Context(), c.Param("vessel"), bytes.NewReader(file), o, revision)
	if err != nil {
		return conditional(c, err)
	}
	return tagged(c, http.StatusOK, tag(k.Revision), counted{
		s.entries(k.Value.Lots), append([]api.CountedLine{}, k.Value.Lines...), append([]usage.Line{}, k.Value.Learned...),
	})
}

func (s *server) entries(lots []inventory.Lot) []api.LotEntry {
	out := make([]api.LotEntry, len(lots))
	for i, l := range lots {
		out[i] = s.svc.LotEntryOf(l)
	}
	return out
}

func (s *server) getCountSheet(c echo.Context) error {
	q := params(c, "form")
	form := q.yes("form")
	if err := q.err(); err != nil {
		return err
	}
	kind := "text/plain; charset=utf-8"
	if form {
		kind = "text/csv; charset=utf-8"
	}
	return written(c, kind, func(w io.Writer) error {
		return s.svc.CountSheet(c.Request().Context(), w, c.Param("vessel"), form)
	})
}
