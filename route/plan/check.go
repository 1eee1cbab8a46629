package plan

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// ErrMalformed is the kind of every error about a brief or plan document that
// the contract does not allow; the error itself is a *MalformedError.
var ErrMalformed = errors.New("malformed")

// maxProblems is how many problems one error names.
const maxProblems = 20

// Problem is one value the contract does not allow.
type Problem struct {
	Path  string // as in needs[2].items[0].yield; empty for the whole document
	Found string // "is -1"
	Want  string // "a number above 0"
}

// String is path, finding and expectation in one line.
func (p Problem) String() string {
	where := p.Path
	if where == "" {
		where = "document"
	}
	return fmt.Sprintf("%s %s, expected %s", where, p.Found, p.Want)
}

// MalformedError lists what is wrong with a document.
type MalformedError struct {
	Document string // "brief" or "plan"
	Problems []Problem
	More     int // problems found beyond those listed
}

// Error names all listed problems and that nothing was done.
func (e *MalformedError) Error() string {
	lines := make([]string, len(e.Problems))
	for i, p := range e.Problems {
		lines[i] = p.String()
	}
	text := fmt.Sprintf("%s %v, nothing was done: %s", e.Document, ErrMalformed, strings.Join(lines, "; "))
	if e.More > 0 {
		text += fmt.Sprintf("; and %d more", e.More)
	}
	return text
}

// Unwrap makes errors.Is(err, ErrMalformed) hold.
func (e *MalformedError) Unwrap() error { return ErrMalformed }

// problems collects what is wrong, up to a limit.
type problems struct {
	list []Problem
	more int
}

// add keeps the first problem of a path and of what lies beneath it: a list
// that is not a list need not also be too short.
func (ps *problems) add(path, found, want string) {
	for _, p := range ps.list {
		if p.Path == path || strings.HasPrefix(path, p.Path+".") || strings.HasPrefix(path, p.Path+"[") {
			return
		}
	}
	if len(ps.list) == maxProblems {
		ps.more++
		return
	}
	ps.list = append(ps.list, Problem{path, found, want})
}

func (ps *problems) malformed(document string) error {
	if len(ps.list) == 0 {
		return nil
	}
	return &MalformedError{document, ps.list, ps.more}
}

func (ps *problems) atLeast0(x float64, path string, parts ...any) {
	if !(x >= 0) || math.IsInf(x, 0) {
		ps.add(join(path, parts...), isNumber(x), "a finite number of at least 0")
	}
}

func (ps *problems) above0(x float64, path string, parts ...any) {
	if !(x > 0) || math.IsInf(x, 0) {
		ps.add(join(path, parts...), isNumber(x), "a finite number above 0")
	}
}

func (ps *problems) finite(x float64, path string, parts ...any) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		ps.add(join(path, parts...), isNumber(x), "a finite number")
	}
}

func (ps *problems) id(id, path string, seen map[string]bool) {
	if id == "" {
		ps.add(join(path, "id"), "is empty", "an id")
	}
	if seen[id] {
		ps.add(join(path, "id"), fmt.Sprintf("is %q again", id), "an id of its own")
	}
	seen[id] = true
}

func (ps *problems) currency(code, path string) {
	upper := func(r rune) bool { return r < 'A' || r > 'Z' }
	if len(code) != 3 || strings.ContainsFunc(code, upper) {
		ps.add(path, fmt.Sprintf("is %q", code), "an ISO 4217 code of three capitals")
	}
}

func isNumber(x float64) string { return fmt.Sprintf("is %v", x) }
