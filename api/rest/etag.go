package rest

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"hardtack/api"
	"hardtack/api/guard"
)

// tag is the entity tag of a revision.
func tag(revision int64) string { return `"` + strconv.FormatInt(revision, 10) + `"` }

// expect reads If-Match and If-None-Match into the revision a writer expects:
// a number read before, any, or none there yet.
func expect(c echo.Context) (int64, error) {
	match, none := c.Request().Header.Get("If-Match"), c.Request().Header.Get("If-None-Match")
	switch {
	case match == "" && none == "":
		return api.AnyRevision, nil
	case match == "" && none == "*":
		return api.Absent, nil
	case none == "" && match != "*":
		n, err := strconv.ParseInt(strings.Trim(match, `"`), 10, 64)
		if err == nil && n >= 0 && match == tag(n) {
			return n, nil
		}
		return 0, fmt.Errorf("If-Match %q %w: want an ETag of this server", match, errSyntax)
	case none == "":
		return 0, fmt.Errorf("If-Match %q %w: want the ETag that was read", match, errSyntax)
	}
	return 0, fmt.Errorf("If-None-Match %q %w: with a write only * alone has a meaning", none, errSyntax)
}

// conditional is the error of a write under a condition of the client's: what
// it wanted absent is there (RFC 9110, 13.1.2: 412).
func conditional(c echo.Context, err error) error {
	h := c.Request().Header
	if errors.Is(err, api.ErrConflict) && (h.Get("If-Match") != "" || h.Get("If-None-Match") != "") {
		return fmt.Errorf("%w: %w", api.ErrStale, err)
	}
	return err
}

// kept answers with a value and the tag of its revision.
func kept[T any](c echo.Context, status int, k api.Kept[T]) error {
	return tagged(c, status, tag(k.Revision), k.Value)
}

// tagged answers with a value under a tag, or 304 when the client has it.
func tagged(c echo.Context, status int, etag string, v any) error {
	c.Response().Header().Set("ETag", etag)
	if status == http.StatusOK && guard.Safe(c.Request().Method) && matches(c.Request().Header.Get("If-None-Match"), etag) {
		return c.NoContent(http.StatusNotModified)
	}
	return answer(c, status, v)
}

// hashed is tagged with a tag made from the answer itself.
func hashed(c echo.Context, v any) error {
	body, err := encode(v)
	if err != nil {
		return err
	}
	sum := sha256.Sum256(body)
	etag := `"` + hex.EncodeToString(sum[:16]) + `"`
	c.Response().Header().Set("ETag", etag)
	if matches(c.Request().Header.Get("If-None-Match"), etag) {
		return c.NoContent(http.StatusNotModified)
	}
	return c.Blob(http.StatusOK, jsonType, body)
}

const jsonType = "application/json"

func matches(header, etag string) bool {
	for _, t := range strings.Split(header, ",") {
		t = strings.TrimPrefix(strings.TrimSpace(t), "W/")
		if t == etag || t == "*" {
			return true
		}
	}
	return false
}

func answer(c echo.Context, status int, v any) error {
	body, err := encode(v)
	if err != nil {
		return err
	}
	return c.Blob(status, jsonType, body)
}

func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
