package rest

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/pricing/calendar"
)

// query reads the parameters of a request; what is wrong is found at the end.
type query struct {
	values url.Values
	faults []api.Fault
}

// params reads the query string. Parameters that nobody asked for, or that are
// given twice where one has a meaning, are faults: a misspelt filter must not
// answer with everything.
func params(c echo.Context, known ...string) *query {
	q := &query{}
	values, err := url.ParseQuery(c.Request().URL.RawQuery)
	if err != nil {
		q.bad("query", "it is not escaped as the query of a URL is")
		return q
	}
	q.values = values
	for name, given := range values {
		switch {
		case !slices.Contains(known, name):
			q.bad(name, "unknown parameter: want "+or(strings.Join(known, ", "), "none"))
		case slices.ContainsFunc(given, func(s string) bool { return !utf8.ValidString(s) || strings.ContainsRune(s, 0) }):
			q.bad(name, "it is not UTF-8 text")
		}
	}
	return q
}

func (q *query) bad(name, problem string) {
	q.faults = append(q.faults, api.Fault{Path: name, Problem: problem})
}

func (q *query) err() error {
	if len(q.faults) == 0 {
		return nil
	}
	return &api.InvalidError{What: "query", Faults: q.faults}
}

// text is a parameter that may be given once.
func (q *query) text(name string) string {
	given := q.values[name]
	if len(given) > 1 {
		q.bad(name, "it is given more than once")
	}
	if len(given) == 0 {
		return ""
	}
	return given[0]
}

// texts is a parameter that may be given several times.
func (q *query) texts(name string) []string { return q.values[name] }

func (q *query) day(name string) calendar.Day {
	text := q.text(name)
	if text == "" {
		return 0
	}
	d, err := calendar.Parse(text)
	if err != nil {
		q.bad(name, fmt.Sprintf("found %q, want a day, YYYY-MM-DD", text))
	}
	return d
}

func (q *query) whole(name string, otherwise, lo, hi int) int {
	return int(q.long(name, int64(otherwise), int64(lo), int64(hi)))
}

// long is a whole number that an int of 32 bits may not hold.
func (q *query) long(name string, otherwise, lo, hi int64) int64 {
	text := q.text(name)
	if text == "" {
		return otherwise
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < lo || n > hi {
		q.bad(name, fmt.Sprintf("found %q, want a whole number from %d to %d", text, lo, hi))
		return otherwise
	}
	return n
}

func (q *query) number(name string, otherwise, lo, hi float64) float64 {
	text := q.text(name)
	if text == "" {
		return otherwise
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || !(x >= lo && x <= hi) {
		q.bad(name, fmt.Sprintf("found %q, want a number from %g to %g", text, lo, hi))
		return otherwise
	}
	return x
}

func (q *query) yes(name string) bool {
	switch text := q.text(name); text {
	case "", "false":
		return false
	case "true":
		return true
	default:
		q.bad(name, fmt.Sprintf("found %q, want true or false", text))
		return false
	}
}
