package rest

import (
	"bytes"
	"fmt"
	"net/http"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/pricing/dataset"
)

// rejection is a row that was not taken.
type rejection struct {
	Line     int    `json:"line"`
	Column   string `json:"column"`
	Found    string `json:"found"`
	Expected string `json:"expected"`
}

type imported struct {
	Rows     int         `json:"rows"`
	New      int         `json:"new"`
	Same     int         `json:"same"`
	Written  bool        `json:"written"`
	Rejected []rejection `json:"rejected"`
}

// maxRows bounds what one request may cost.
const maxRows = 200_000

func (s *server) postImport(c echo.Context) error {
	q := params(c, "dry_run", "skip_bad")
	o := api.ImportOptions{File: "body", DryRun: q.yes("dry_run"), SkipBad: q.yes("skip_bad")}
	if err := q.err(); err != nil {
		return err
	}
	file, err := s.fileWith(c, "text/csv")
	if err != nil {
		return err
	}
	if rows := bytes.Count(file, []byte("\n")); rows > maxRows {
		return echo.NewHTTPError(http.StatusRequestEntityTooLarge, fmt.Sprintf("%d rows: want at most %d, send the file in parts", rows, maxRows))
	}
	done, err := s.svc.Import(c.Request().Context(), bytes.NewReader(file), o)
	if err != nil {
		return err
	}
	return answer(c, http.StatusOK, imported{done.Rows, done.New, done.Same, done.Written, rejections(done.Rejected)})
}

func rejections(rs []dataset.Rejection) []rejection {
	out := make([]rejection, len(rs))
	for i, r := range rs {
		out[i] = rejection{r.Line, r.Column, r.Found, r.Expected}
	}
	return out
}
