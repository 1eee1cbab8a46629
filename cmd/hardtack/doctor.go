package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"hardtack/api"
	"hardtack/db"
)

type doctorCmd struct {
	Backups []string `arg:"" optional:"" name:"file" help:"Backups to check too." placeholder:"FILE"`
}

// Help implements kong's HelpProvider.
func (doctorCmd) Help() string {
	return `Looks the database over and says in words what is wrong and what to do: schema,
pages, every row, change log, clock, room on the disk, backups. Nothing is
changed, whatever is found. Exit code 9 when there is something to see to.

Example:
  hardtack doctor season.backup`
}

// examined is what the doctor says.
type examined struct {
	Program  string       `json:"program"`
	Place    string       `json:"place"`
	Findings []db.Finding `json:"findings"`
}

// Run examines, and fails when something is wrong.
func (c *doctorCmd) Run(sh *shell) error {
	where, err := sh.database()
	if err != nil {
		return err
	}
	now, err := sh.clock()
	if err != nil {
		return err
	}
	bar := sh.progress("looking the database over")
	e := examined{Program: version(), Place: db.Redact(where), Findings: db.Examine(sh.ctx, where, now())}
	if n := wrongs(e.Findings); n == 0 && thereIs(e.Findings) {
		e.Findings = append(e.Findings, sh.documents()...)
	}
	for _, name := range c.Backups {
		e.Findings = append(e.Findings, examineBackup(name))
	}
	bar.done()
	if err := sh.emit(e, e.words); err != nil {
		return err
	}
	if n := wrongs(e.Findings); n > 0 {
		return fmt.Errorf("%w: %d", errWrong, n)
	}
	return nil
}

func (e examined) words(w io.Writer) error {
	p := printer{w: w}
	p.f("Database %s, program %s\n\n", e.Place, e.Program)
	for _, f := range e.Findings {
		p.f("%-5s  %s: %s.\n", f.Grade, f.About, f.Found)
		if f.Do != "" {
			p.f("       What to do: %s.\n", f.Do)
		}
	}
	if wrongs(e.Findings) == 0 {
		p.f("\nNothing is wrong.\n")
	}
	return p.err
}

func wrongs(all []db.Finding) (n int) {
	for _, f := range all {
		if f.Grade == db.Wrong {
			n++
		}
	}
	return n
}

// thereIs says whether a database was found at all: a single note says not.
func thereIs(all []db.Finding) bool { return len(all) > 1 }

// documents reads boats, crews and voyages the way every command does.
func (sh *shell) documents() []db.Finding {
	var out []db.Finding
	err := sh.service(func(s *api.Service) error {
		for _, kind := range []struct {
			name string
			read func(context.Context) error
		}{
			{"boats", func(ctx context.Context) error { _, err := s.Vessels(ctx); return err }},
			{"crews", func(ctx context.Context) error { _, err := s.Crews(ctx); return err }},
			{"voyages", func(ctx context.Context) error { _, err := s.Voyages(ctx); return err }},
		} {
			if err := kind.read(sh.ctx); err != nil {
				out = append(out, db.Finding{About: kind.name, Grade: db.Wrong, Found: err.Error(), Do: "enter it anew, or restore a backup into a new file"})
			}
		}
		return nil
	})
	if err != nil {
		out = append(out, db.Finding{About: "opening", Grade: db.Wrong, Found: err.Error(), Do: "restore a backup into a new file"})
	}
	if len(out) == 0 {
		out = append(out, db.Finding{About: "boats, crews, voyages", Grade: db.Well, Found: "each can be read"})
	}
	return out
}

func examineBackup(name string) db.Finding {
	about := "backup " + name
	f, err := os.Open(name)
	if err != nil {
		return db.Finding{About: about, Grade: db.Wrong, Found: err.Error(), Do: "name a file that is there"}
	}
	defer f.Close()
	info, err := db.CheckBackup(f)
	switch {
	case errors.Is(err, db.ErrSchema):
		return db.Finding{About: about, Grade: db.Wrong, Found: err.Error(), Do: "restore it with the newer program"}
	case err != nil:
		return db.Finding{About: about, Grade: db.Wrong, Found: err.Error(), Do: "make another (\"hardtack backup save FILE\"); do not count on this one"}
	}
	return db.Finding{About: about, Grade: db.Well, Found: fmt.Sprintf("whole, %s", backupWords(info))}
}

// backupWords says what a backup holds.
func backupWords(i db.BackupInfo) string {
	if i.Changes == 0 {
		return fmt.Sprintf("%d rows, nothing was ever changed", i.Rows)
	}
	return fmt.Sprintf("%d rows up to change %d of %s UTC", i.Rows, i.Changes, i.Last.Format(time.DateTime))
}
