package api

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/dataset"
	"hardtack/pricing/wording"
)

// ImportOptions say how a file of reports is taken.
type ImportOptions struct {
	File    string // its name, for messages
	DryRun  bool   // give the verdict, write nothing
	SkipBad bool   // write the good rows although others are bad
	// Portion is how many rows are read and written at a time, for files larger
	// than memory; 0 is all. Each is taken whole or not at all, and there is no
	// Undo.
	Portion int
	Tell    func(Imported) // after every portion; nil: nobody
}

// Imported is the verdict on a file of reports.
type Imported struct {
	Rows     int                 `json:"rows"` // good ones; doubles count once
	New      int                 `json:"new"`
	Same     int                 `json:"same"` // there already, with the same content
	Written  bool                `json:"written"`
	Rejected []dataset.Rejection `json:"rejected"`       // in the order of lines
	Undo     string              `json:"undo,omitempty"` // what UndoImport takes; empty: nothing new was written
}

// Import reads reports.csv of the port price dataset. Every row gets a verdict;
// the good ones are written together or not at all. With bad rows, and without
// SkipBad, nothing is written and the error is ErrInvalid, naming each by line
// and column; a file with a bad header is dataset.ErrRefused as well. Of a file
// in portions those before a bad row stay; the same file again goes on.
func (s *Service) Import(ctx context.Context, r io.Reader, o ImportOptions) (Imported, error) {
	rd, err := s.reader(ctx)
	if err != nil {
		return Imported{}, err
	}
	im := importer{s: s, rd: rd, ctx: ctx, file: o.File}
	rows, err := dataset.NewReportReader(r, im.context())
	if err != nil {
		return Imported{}, im.refused(err)
	}
	if o.Portion == 0 {
		out, _, err := im.portion(rows, math.MaxInt, o)
		return out, err
	}
	all := Imported{Written: true}
	for more := true; more; {
		var part Imported
		part, more, err = im.portion(rows, o.Portion, o)
		all.Rejected = append(all.Rejected, part.Rejected...)
		if err != nil {
			return all, fmt.Errorf("%d rows before were taken; of the next %d: %w", all.Rows, o.Portion, err)
		}
		all.Rows, all.New, all.Same = all.Rows+part.Rows, all.New+part.New, all.Same+part.Same
		all.Written = all.Written && (part.Written || part.Rows == 0)
		if o.Tell != nil {
			o.Tell(all)
		}
	}
	return all, nil
}

// portion takes up to so many rows.
func (im *importer) portion(rows *dataset.ReportReader, most int, o ImportOptions) (out Imported, more bool, err error) {
	out, more, err = im.read(rows, most)
	if err != nil {
		return out, false, err
	}
	if bad := len(out.Rejected); bad > 0 && !o.SkipBad {
		return out, false, &InvalidError{What: fmt.Sprintf("%d of %d rows", bad, bad+out.Rows), Faults: told(out.Rejected)}
	}
	if o.DryRun || len(im.reports) == 0 {
		return out, more, nil
	}
	var undo string
	var with []db.With
	if o.Portion == 0 {
		if undo, with, err = im.s.undoing(im.fresh); err != nil {
			return out, false, err
		}
	}
	if _, err := im.s.db.AddReports(im.ctx, im.reports, with...); err != nil {
		return out, false, err
	}
	out.Written, out.Undo = true, undo
	return out, more, nil
}

// maxFaults is how many faults an error carries; Rejected has all.
const maxFaults = 1000

func told(rs []dataset.Rejection) []Fault {
	rs = rs[:min(len(rs), maxFaults)]
	fs := make([]Fault, len(rs))
	for i, r := range rs {
		said := wording.Say("fault.found", wording.Text(fmt.Sprintf("%q", r.Found)), wording.Want(r.Expected))
		fs[i] = Fault{Path: r.Column, Line: r.Line, Problem: said.String(), Said: said}
	}
	return fs
}

// importer is an import under way.
type importer struct {
	s        *Service
	ctx      context.Context
	rd       *reader
	file     string
	failed   error // of the database, while the file is read
	reports  []pricing.Report
	lines    []int
	rejected []dataset.Rejection
	there    map[string]pricing.Report // of those ids
	fresh    map[string]string         // ids of reports not there yet, with their reporters
}

// context is what the rows are held against.
func (im *importer) context() dataset.Context {
	return dataset.Context{
		File: im.file, Rates: im.rd.rates, Last: im.rd.today + 1, Known: im.known, Nearest: im.nearest,
		Port: func(id pricing.PortID) bool { p, ok := im.rd.gazetteer.Port(id); return ok && p.ID == id },
		Item: func(id pricing.ItemID) bool { _, ok := im.rd.catalogue.Items[id]; return ok },
	}
}

func (im *importer) refused(err error) error {
	if r, is := errors.AsType[*dataset.Refusal](err); is {
		return &InvalidError{What: cmp.Or(r.File, "file"), Faults: []Fault{{Line: r.Line, Problem: r.Why}}, Cause: err}
	}
	return fmt.Errorf("import: %w", errors.Join(err, im.failed))
}

func (im *importer) read(rows *dataset.ReportReader, most int) (_ Imported, more bool, err error) {
	p, more, err := rows.Next(most)
	if err != nil || im.failed != nil {
		return Imported{}, false, im.refused(err)
	}
	im.reports, im.lines, im.rejected = p.Reports, p.Lines, p.Rejected
	same, err := im.check()
	if err != nil {
		return Imported{}, false, err
	}
	slices.SortStableFunc(im.rejected, func(a, b dataset.Rejection) int { return a.Line - b.Line })
	n := len(im.reports)
	im.fresh = map[string]string{}
	for _, r := range im.reports {
		if _, is := im.there[r.ID]; !is && r.Found != pricing.Withdrawn {
			im.fresh[r.ID] = r.Reporter
		}
	}
	return Imported{Rows: n, New: n - same, Same: same, Rejected: im.rejected}, more, nil
}

func (im *importer) known(id string) (pricing.Report, bool) {
	r, err := im.s.db.Report(im.ctx, id)
	if err != nil && !isNotFound(err) {
		im.failed = err
	}
	return r, err == nil
}

func (im *importer) nearest(column, text string) []string {
	if column == "port" {
		return im.rd.portsLike(text)
	}
	return im.rd.itemsLike(text)
}

// check rejects what the file's format allows but not we: texts no one can
// read, ids that another report bears. It counts those that are there already.
func (im *importer) check() (same int, err error) {
	ids := make([]string, len(im.reports))
	for i, r := range im.reports {
		ids[i] = r.ID
	}
	there, err := im.s.db.ReportsByID(im.ctx, ids)
	if err != nil {
		return 0, err
	}
	im.there = there
	gone := map[string]bool{}
	im.keep(func(r pricing.Report, line int) bool {
		old, is := there[r.ID]
		ok := im.legible(r, line)
		if ok && is && old != r {
			ok = im.reject(line, "report", r.ID, "an id of its own: another report bears it already")
		}
		if ok && is {
			same++
		}
		if !ok && !is {
			gone[r.ID] = true
		}
		return ok
	})
	for n := -1; n != len(gone); { // what replaces one that is gone goes as well
		n = len(gone)
		im.keep(func(r pricing.Report, line int) bool {
			if !gone[r.Replaces] {
				return true
			}
			gone[r.ID] = true
			return im.reject(line, "replaces", r.Replaces, "the id of a report that is there and was taken")
		})
	}
	return same, nil
}

// keep drops the reports that f does not want.
func (im *importer) keep(f func(pricing.Report, int) bool) {
	kept := 0
	for i, r := range im.reports {
		if f(r, im.lines[i]) {
			im.reports[kept], im.lines[kept] = r, im.lines[i]
			kept++
		}
	}
	im.reports, im.lines = im.reports[:kept], im.lines[:kept]
}

func (im *importer) reject(line int, column, found, expected string) bool {
	im.rejected = append(im.rejected, dataset.Rejection{File: im.file, Line: line, Column: column, Found: found, Expected: expected})
	return false
}

// legible holds a report's texts to what an entry's are held to.
func (im *importer) legible(r pricing.Report, line int) bool {
	for _, t := range []struct {
		column, text string
		most         int
	}{{"shop", r.Shop, maxName}, {"reporter", r.Reporter, maxName}, {"note", r.Note, maxNote}} {
		if want := wantText(t.text, t.most); want != "" {
			return im.reject(line, t.column, fmt.Sprintf("%.40s", t.text), want)
		}
	}
	if r.Day < firstDay {
		return im.reject(line, "day", r.Day.String(), "a day after "+firstDay.String())
	}
	return true
}
