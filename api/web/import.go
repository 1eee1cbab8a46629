package web

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"sync"

	"github.com/google/uuid"

	"hardtack/api"
	"hardtack/pricing/dataset"
	"hardtack/pricing/wording"
)

// importPage takes a file of reports: first a look at it, then yes or no.
type importPage struct {
	Frame
	Faults   []string
	Refused  bool // the file as a whole, for the faults
	Preview  bool
	Token    string // of the file that was looked at
	File     string
	Verdict  api.Imported
	Rows     []verdictRow
	More     int // rows not shown
	Done     bool
	Undo     string
	TakenOut string
}

// verdictRow is one row of the file and what would become of it.
type verdictRow struct {
	Line           int
	Text           string
	Bad            bool
	Column, Reason string
}

// shownRows is how many rows a preview shows; those with a fault come first.
const shownRows = 100

func (s *site) getImport(q *request) error {
	p := &importPage{Done: q.text("new") != "", Undo: q.text("undo")}
	if p.Done {
		p.TakenOut = q.say("import.done", q.text("new"), q.text("same"))
	}
	if n := q.text("taken"); n != "" {
		p.TakenOut = q.say("import.taken", n)
	}
	return q.showImport(http.StatusOK, p)
}

func (q *request) showImport(status int, p *importPage) error {
	return q.show(status, "import", q.frame(q.say("import.title"), "prices", q.r.PathValue("voyage")), p)
}

// postImport looks at a file, takes the one looked at, or takes an import back.
func (s *site) postImport(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	switch q.text("do") {
	case "yes":
		return q.importFile()
	case "undo":
		n, err := q.svc.UndoImport(q.r.Context(), q.text("undo"))
		if err != nil {
			return err
		}
		return q.goTo("voyage", q.r.PathValue("voyage"), fmt.Sprintf("import?taken=%d", n))
	}
	return q.previewFile()
}

func (q *request) previewFile() error {
	f, name, ok := q.file("csv")
	if !ok {
		return q.showImport(http.StatusUnprocessableEntity, &importPage{Faults: []string{q.say("import.nothing")}})
	}
	body, err := io.ReadAll(f)
	if err != nil {
		return unreadable(err)
	}
	p := &importPage{File: name, Preview: true}
	p.Verdict, err = q.svc.Import(q.r.Context(), bytes.NewReader(body), api.ImportOptions{File: name, DryRun: true, SkipBad: true})
	var invalid *api.InvalidError
	if errors.As(err, &invalid) {
		p.Preview, p.Refused, p.Faults = false, true, q.faultLines(invalid)
		return q.showImport(http.StatusUnprocessableEntity, p)
	}
	if err != nil {
		return err
	}
	said := q.frame("", "", "")
	p.Rows, p.More = said.verdicts(string(body), p.Verdict.Rejected)
	p.Token = q.pending.keep(body, name)
	return q.showImport(http.StatusOK, p)
}

// verdicts are the rows of a file, those at fault first.
func (f *Frame) verdicts(body string, rejected []dataset.Rejection) ([]verdictRow, int) {
	lines := strings.Split(strings.TrimRight(body, "\n"), "\n")
	bad := map[int]dataset.Rejection{}
	for _, r := range rejected {
		bad[r.Line] = r
	}
	var first, rest []verdictRow
	for i, text := range lines[min(1, len(lines)):] {
		row := verdictRow{Line: i + 2, Text: clipped(text, 160)}
		if r, ok := bad[row.Line]; ok {
			row.Bad, row.Column, row.Reason = true, r.Column, f.Tell(wording.Say("fault.found", wording.Text(fmt.Sprintf("%q", clipped(r.Found, 60))), wording.Want(r.Expected)))
			first = append(first, row)
			continue
		}
		rest = append(rest, row)
	}
	all := append(first, rest...)
	n := min(len(all), shownRows)
	return all[:n], len(all) - n
}

func (q *request) importFile() error {
	body, name, ok := q.pending.take(q.text("token"))
	if !ok {
		return q.showImport(http.StatusUnprocessableEntity, &importPage{Faults: []string{q.say("import.gone")}})
	}
	done, err := q.svc.Import(q.r.Context(), bytes.NewReader(body), api.ImportOptions{File: name, SkipBad: true})
	if err != nil {
		return err
	}
	return q.goTo("voyage", q.r.PathValue("voyage"), fmt.Sprintf("import?new=%d&same=%d&undo=%s", done.New, done.Same, done.Undo))
}

// pending are the files looked at and not yet taken: the last few.
type pending struct {
	sync.Mutex
	order []string
	files map[string]pendingFile
}

type pendingFile struct {
	body []byte
	name string
}

// maxPending is how many files wait at once.
const maxPending = 4

func (p *pending) keep(body []byte, name string) string {
	p.Lock()
	defer p.Unlock()
	token := uuid.NewString()
	if p.files == nil {
		p.files = map[string]pendingFile{}
	}
	p.files[token] = pendingFile{body, name}
	p.order = append(p.order, token)
	if len(p.order) > maxPending {
		delete(p.files, p.order[0])
		p.order = p.order[1:]
	}
	return token
}

func (p *pending) take(token string) ([]byte, string, bool) {
	p.Lock()
	defer p.Unlock()
	f, ok := p.files[token]
	delete(p.files, token)
	return f.body, f.name, ok
}
