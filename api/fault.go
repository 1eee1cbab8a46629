package api

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"hardtack/db"
	"hardtack/pricing/wording"
)

// What callers may test for with errors.Is. Everything else is a fault of the
// program or the machine. Whichever it is, nothing was changed.
var (
	ErrInvalid  = errors.New("invalid") // an *InvalidError, with place and expectation
	ErrNotFound = db.ErrNotFound
	ErrConflict = db.ErrConflict
	ErrStale    = db.ErrStale
	ErrSchema   = db.ErrSchema
	ErrFull     = db.ErrFull
	ErrUnkept   = db.ErrInvalid // a text no database keeps as it is
)

// Fault is one thing that is wrong with what was given.
type Fault struct {
	Path    string   `json:"path"`              // as in lines[3].port; empty for the whole
	Line    int      `json:"line,omitzero"`     // of a file
	Problem string   `json:"problem"`           // what was found and what was expected
	Nearest []string `json:"nearest,omitempty"` // what may have been meant
	Meant   []Meant  `json:"meant,omitempty"`   // the same of figures, likeliest first

	Said wording.Remark `json:"-"` // the problem as facts; nothing when it is only known in English
}

// String is place, finding and expectation in one line.
func (f Fault) String() string {
	var b strings.Builder
	if f.Line > 0 {
		fmt.Fprintf(&b, "line %d", f.Line)
		if f.Path != "" {
			b.WriteString(", ")
		}
	}
	b.WriteString(f.Path)
	if b.Len() > 0 {
		b.WriteString(": ")
	}
	b.WriteString(f.Problem)
	if len(f.Nearest) > 0 {
		fmt.Fprintf(&b, " (nearest: %s)", strings.Join(f.Nearest, ", "))
	}
	return b.String()
}

// InvalidError is input that cannot be taken. It is an ErrInvalid.
type InvalidError struct {
	What   string // "report", "voyage demo"
	Faults []Fault
	Cause  error // what the core called it; may be nil
}

// maxTold is how many faults one message spells out.
const maxTold = 20

// Error names the faults and that nothing was changed.
func (e *InvalidError) Error() string {
	faults, more := e.Faults, ""
	if len(faults) > maxTold {
		faults, more = faults[:maxTold], fmt.Sprintf("; and %d more", len(e.Faults)-maxTold)
	}
	lines := make([]string, len(faults))
	for i, f := range faults {
		lines[i] = f.String()
	}
	return fmt.Sprintf("%s %v, nothing was changed: %s%s", e.What, ErrInvalid, strings.Join(lines, "; "), more)
}

// Unwrap makes errors.Is hold for ErrInvalid and for the cause.
func (e *InvalidError) Unwrap() []error {
	if e.Cause == nil {
		return []error{ErrInvalid}
	}
	return []error{ErrInvalid, e.Cause}
}

// faults collects what is wrong.
type faults []Fault

func (fs *faults) add(path, found, want string, nearest ...string) {
	fs.say(path, wording.Say("fault.found", wording.Text(found), wording.Want(want)), nearest...)
}

func (fs *faults) say(path string, said wording.Remark, nearest ...string) {
	*fs = append(*fs, Fault{Path: path, Problem: said.String(), Nearest: nearest, Said: said})
}

func (fs faults) err(what string) error {
	if len(fs) == 0 {
		return nil
	}
	return &InvalidError{What: what, Faults: fs}
}

// invalid makes faults of what a core package says of its input: one for each
// error it joined.
func invalid(what string, err error) error {
	each := joined(err)
	if each == nil {
		each = []error{err}
	}
	var fs faults
	for _, e := range each {
		f := faultOf(e.Error())
		if t := (wording.Trouble{}); errors.As(e, &t) {
			f.placed(e.Error())
			f.Said = t.Remark
		}
		fs = append(fs, f)
	}
	return &InvalidError{what, fs, err}
}

// faultOf takes a leading path off a message.
func faultOf(message string) Fault {
	path, rest, ok := strings.Cut(message, ": ")
	if ok && path != "" && !strings.ContainsAny(path, " \"") {
		return Fault{Path: path, Problem: rest}
	}
	return Fault{Problem: message}
}

// cell is how a core package says where in a file a fault is.
var cell = regexp.MustCompile(`^line (\d+)(?:,|:) (?:(?:column )?(\w+): )?`)

// placed takes line and column off a message, when it has them.
func (f *Fault) placed(message string) {
	m := cell.FindStringSubmatch(message)
	if m == nil {
		return
	}
	f.Line, _ = strconv.Atoi(m[1]) // digits are a number
	f.Path, f.Problem = m[2], strings.TrimPrefix(message, m[0])
}

// joined finds the errors that errors.Join put together, nil if nobody did.
func joined(err error) []error {
	many, ok := err.(interface{ Unwrap() []error })
	if !ok {
		if inner := errors.Unwrap(err); inner != nil {
			return joined(inner)
		}
		return nil
	}
	parts := many.Unwrap()
	lines := make([]string, len(parts))
	for i, p := range parts {
		lines[i] = p.Error()
	}
	if err.Error() == strings.Join(lines, "\n") {
		return parts
	}
	for _, p := range parts {
		if found := joined(p); found != nil {
			return found
		}
	}
	return nil
}

func quote(s string) string { return fmt.Sprintf("%q", shorten(s)) }

func isNotFound(err error) bool { return errors.Is(err, ErrNotFound) }
