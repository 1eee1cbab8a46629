package rest

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strings"
	"unicode/utf8"

	"github.com/labstack/echo/v4"
)

// errSyntax is a request that cannot be read at all.
var errSyntax = errors.New("cannot be read")

// maxDepth is how deep a document may nest; none of ours needs ten.
const maxDepth = 32

// maxObjects is how many objects a document may hold: a long list of empty ones
// would take two hundred times its size.
const maxObjects = 20_000

// read reads the body as JSON into v: UTF-8, one value, no unknown or repeated
// key, not nested beyond maxDepth.
func (s *server) read(c echo.Context, v any) error {
	body, err := s.body(c, s.opts.MaxBody, "application/json")
	if err != nil {
		return err
	}
	return decodeStrict(body, v)
}

// body reads the whole body of one of the content types, up to a size.
func (s *server) body(c echo.Context, limit int64, types ...string) ([]byte, error) {
	if err := wantType(c.Request(), types); err != nil {
		return nil, err
	}
	r := c.Request()
	if r.ContentLength > limit { // told beforehand: not a byte is read
		c.Response().Header().Set("Connection", "close")
		return nil, &http.MaxBytesError{Limit: limit}
	}
	var whole bytes.Buffer
	whole.Grow(int(max(r.ContentLength, 0)) + bytes.MinRead)
	_, err := whole.ReadFrom(http.MaxBytesReader(c.Response(), r.Body, limit))
	var large *http.MaxBytesError
	if err != nil && !errors.As(err, &large) { // the link broke: no fault of ours
		return nil, fmt.Errorf("body %w: it ended early: %w", errSyntax, err)
	}
	if err != nil {
		return nil, err
	}
	return whole.Bytes(), nil
}

func wantType(r *http.Request, types []string) error {
	if e := r.Header.Get("Content-Encoding"); e != "" && e != "identity" {
		return echo.NewHTTPError(http.StatusUnsupportedMediaType, "content encoding "+quote(e)+": want none")
	}
	given, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err == nil {
		for _, t := range types {
			if given == t && (params["charset"] == "" || strings.EqualFold(params["charset"], "utf-8")) {
				return nil
			}
		}
	}
	return echo.NewHTTPError(http.StatusUnsupportedMediaType,
		"content type "+quote(r.Header.Get("Content-Type"))+": want "+strings.Join(types, " or ")+" in UTF-8")
}

func decodeStrict(body []byte, v any) error {
	if !utf8.Valid(body) {
		return fmt.Errorf("body %w: it is not UTF-8", errSyntax)
	}
	if err := checkKeys(body); err != nil {
		return err
	}
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return fmt.Errorf("body %w: %s", errSyntax, sayJSON(err))
	}
	return nil
}

// sayJSON words an error of encoding/json for the one who sent the text.
func sayJSON(err error) string {
	var kind *json.UnmarshalTypeError
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &kind):
		return fmt.Sprintf("%s: found %s, want %s", or(kind.Field, "the whole"), kind.Value, kindName(kind.Type.Kind().String()))
	case errors.As(err, &syntax):
		return fmt.Sprintf("byte %d: %v", syntax.Offset, err)
	}
	return strings.TrimPrefix(err.Error(), "json: ")
}

func kindName(k string) string {
	switch {
	case strings.HasPrefix(k, "int"), strings.HasPrefix(k, "uint"):
		return "a whole number within range"
	case strings.HasPrefix(k, "float"):
		return "a number within range"
	}
	return map[string]string{"slice": "a list", "struct": "an object", "map": "an object", "string": "a text", "bool": "true or false"}[k]
}

// checkKeys walks the text once for what encoding/json lets pass: keys given
// twice (in any case, since it matches them in any), deep nesting, and a
// second value after the first.
func checkKeys(body []byte) error {
	d := json.NewDecoder(bytes.NewReader(body))
	d.UseNumber()
	var open []level
	objects := 0
	for n := 0; ; n++ {
		token, err := d.Token()
		if errors.Is(err, io.EOF) && n > 0 && len(open) == 0 {
			return nil
		}
		if err != nil {
			return fmt.Errorf("body %w: byte %d: %s", errSyntax, d.InputOffset(), sayEnd(err))
		}
		if n > 0 && len(open) == 0 {
			return fmt.Errorf("body %w: byte %d: a second value", errSyntax, d.InputOffset())
		}
		if token == json.Delim('{') {
			if objects++; objects > maxObjects {
				return echo.NewHTTPError(http.StatusRequestEntityTooLarge, fmt.Sprintf("more than %d objects: send them in parts", maxObjects))
			}
		}
		if open, err = step(open, token); err != nil {
			return fmt.Errorf("body %w: byte %d: %w", errSyntax, d.InputOffset(), err)
		}
	}
}

func sayEnd(err error) string {
	if errors.Is(err, io.EOF) {
		return "it ends too early"
	}
	return err.Error()
}

// level is an object or list that is still open.
type level struct {
	keys   map[string]bool // nil in a list
	inside bool            // a key was read, its value comes
}

func step(open []level, token json.Token) ([]level, error) {
	if end, ok := token.(json.Delim); ok && (end == '}' || end == ']') {
		return done(open[:len(open)-1]), nil
	}
	if n := len(open); n > 0 && open[n-1].keys != nil && !open[n-1].inside {
		key, _ := token.(string)
		folded := strings.ToLower(key)
		if open[n-1].keys[folded] {
			return nil, fmt.Errorf("key %q is given twice", key)
		}
		open[n-1].keys[folded], open[n-1].inside = true, true
		return open, nil
	}
	switch token {
	case json.Delim('{'):
		open = append(open, level{keys: map[string]bool{}})
	case json.Delim('['):
		open = append(open, level{})
	default:
		return done(open), nil
	}
	if len(open) > maxDepth {
		return nil, fmt.Errorf("nested deeper than %d", maxDepth)
	}
	return open, nil
}

// done notes that a value has ended.
func done(open []level) []level {
	if n := len(open); n > 0 {
		open[n-1].inside = false
	}
	return open
}

func quote(s string) string { return fmt.Sprintf("%q", s) }

func or(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}
