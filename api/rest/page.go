package rest

import (
	"encoding/base64"
	"fmt"
	"net/url"
	"strings"

	"github.com/labstack/echo/v4"

	"hardtack/db"
	"hardtack/pricing/calendar"
)

// cursorText is a place in a listing as clients hand it back; what is in it is
// not theirs to know.
func cursorText(c db.Cursor) string {
	return base64.RawURLEncoding.EncodeToString([]byte(c.Day.String() + " " + c.ID))
}

func (q *query) cursor(name string) db.Cursor {
	text := q.text(name)
	if text == "" {
		return db.Cursor{}
	}
	plain, err := base64.RawURLEncoding.DecodeString(text)
	day, id, ok := strings.Cut(string(plain), " ")
	d, dayErr := calendar.Parse(day)
	if err != nil || !ok || dayErr != nil || id == "" {
		q.bad(name, "it is not a place this server gave out")
		return db.Cursor{}
	}
	return db.Cursor{Day: d, ID: id}
}

// next sets the Link header (RFC 8288) to the page after.
func next(c echo.Context, after string) {
	u := url.URL{Path: c.Request().URL.Path}
	v := c.Request().URL.Query()
	v.Set("after", after)
	u.RawQuery = v.Encode()
	c.Response().Header().Set("Link", fmt.Sprintf("<%s>; rel=\"next\"", u.String()))
}
