package web

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"runtime/debug"
	"strconv"
	"strings"

	"hardtack/api"
	"hardtack/pricing/wording"
)

// Sizes of what people send, in bytes.
const (
	maxForm = 1 << 20
	maxFile = 40 << 20
)

// request is one request with what is known of the one who asks.
type request struct {
	*site
	w     http.ResponseWriter
	r     *http.Request
	prefs Prefs
	words *Words
}

func (s *site) request(w http.ResponseWriter, r *http.Request) *request {
	p := readPrefs(r)
	return &request{site: s, w: w, r: r, prefs: p, words: s.shown.words[p.Lang]}
}

// say is a text of the reader's language.
func (q *request) say(key string, args ...any) string { return q.words.Say(key, args...) }

// form reads the fields sent. Files are read by file.
func (q *request) form() error {
	q.r.Body = http.MaxBytesReader(q.w, q.r.Body, maxFile)
	if strings.HasPrefix(q.r.Header.Get("Content-Type"), "multipart/") {
		return unreadable(q.r.ParseMultipartForm(maxForm))
	}
	q.r.Body = http.MaxBytesReader(q.w, q.r.Body, maxForm)
	return unreadable(q.r.ParseForm())
}

var errUnreadable = errors.New("the form cannot be read")

func unreadable(err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%w: %w", errUnreadable, err)
}

// text is a field, trimmed.
func (q *request) text(name string) string { return strings.TrimSpace(q.r.FormValue(name)) }

// number is a field as a number, a comma taken for a point; false when it is
// there and is none.
func (q *request) number(name string, otherwise float64) (float64, bool) {
	text := q.text(name)
	if text == "" {
		return otherwise, true
	}
	x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	return x, err == nil && x == x && x < 1e9 && x > -1e9
}

// file is an uploaded file, or the text of a field of the same name with
// "_text" behind it; false when there is neither.
func (q *request) file(name string) (io.Reader, string, bool) {
	if q.r.MultipartForm != nil {
		if hs := q.r.MultipartForm.File[name]; len(hs) > 0 && hs[0].Size > 0 {
			if f, err := hs[0].Open(); err == nil {
				return f, hs[0].Filename, true
			}
		}
	}
	if text := q.r.FormValue(name + "_text"); strings.TrimSpace(text) != "" {
		return strings.NewReader(text), "", true
	}
	return nil, "", false
}

// goTo answers a form with the page to read next.
func (q *request) goTo(path ...string) error {
	http.Redirect(q.w, q.r, q.at(path...), http.StatusSeeOther)
	return nil
}

type panicError struct {
	value any
	stack []byte
}

func (p panicError) Error() string { return fmt.Sprintf("panic: %v\n%s", p.value, p.stack) }

func panicked(value any) error { return panicError{value, debug.Stack()} }

// problemPage says what went wrong and the way out.
type problemPage struct {
	Frame
	What   string
	Why    []string
	Way    string
	Status int
}

// fail answers with what went wrong. What the reader did not cause is told to
// the skipper's log, not to the reader.
func (q *request) fail(err error) {
	if q.r.Context().Err() != nil {
		return // the reader has gone: nobody hears the answer, and nothing is wrong
	}
	p := problemPage{Status: http.StatusInternalServerError}
	var invalid *api.InvalidError
	var large *http.MaxBytesError
	key := "problem.fault"
	switch {
	case errors.As(err, &invalid):
		p.Status, key = http.StatusUnprocessableEntity, "problem.invalid"
		p.Why = q.faultLines(invalid)
	case errors.Is(err, api.ErrNotFound):
		p.Status, key = http.StatusNotFound, "problem.not_found"
	case errors.Is(err, api.ErrStale), errors.Is(err, api.ErrConflict):
		p.Status, key = http.StatusConflict, "problem.stale"
	case errors.Is(err, api.ErrFull):
		p.Status, key = http.StatusInsufficientStorage, "problem.full"
	case errors.As(err, &large):
		p.Status, key = http.StatusRequestEntityTooLarge, "problem.large"
	case errors.Is(err, errUnreadable):
		p.Status, key = http.StatusBadRequest, "problem.unreadable"
	case q.opts.Fault != nil:
		q.opts.Fault(q.r.Method, q.r.URL.Path, err)
	}
	p.What, p.Way = q.say(key), q.say(key+".way")
	if err := q.show(p.Status, "problem", q.frame(p.What, "", ""), &p); err != nil {
		http.Error(q.w, p.What, p.Status)
	}
}

// faultLines are the faults in the reader's words. What is only known in
// English is told so.
func (q *request) faultLines(e *api.InvalidError) []string {
	f := q.frame("", "", "")
	var out []string
	for _, x := range e.Faults[:min(len(e.Faults), 20)] {
		out = append(out, f.fault(x))
	}
	return out
}

// field is what a field that is at fault is called; one of many, and one there
// is no word for, by its path.
func (f *Frame) field(path string) string {
	if key := "field." + path; f.Has(key) {
		return f.Say(key)
	}
	return path
}

func (f *Frame) fault(x api.Fault) string {
	if x.Said.IsZero() {
		return x.String()
	}
	said := f.Tell(x.Said)
	if len(x.Nearest) > 0 {
		said = f.Tell(wording.Say("fault.nearest", wording.Text(said), wording.Text(strings.Join(x.Nearest, ", "))))
	}
	if x.Path != "" {
		said = f.field(x.Path) + ": " + said
	}
	if x.Line > 0 {
		said = f.Tell(wording.Say("fault.line", wording.Text(strconv.Itoa(x.Line)))) + ", " + said
	}
	return said
}
