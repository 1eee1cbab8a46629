package api

import (
	"context"
	"fmt"

	"github.com/google/uuid"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Recorded is what came of entries.
type Recorded struct {
	IDs  []string `json:"ids"`  // in the order of the entries
	New  int      `json:"new"`  // recorded now
	Same int      `json:"same"` // there already, with the same content
	// Questions are asked of what looks like a slip. It is recorded, but held
	// back from estimates until it is put right by a report that replaces it.
	Questions []Fault `json:"questions,omitempty"`
}

// maxEntries is how many entries one call may bring; a file may bring more.
const maxEntries = 1000

// Record records a report. Without an id it gets one; a retry must bring the
// id, and then changes nothing. Errors: ErrInvalid naming every fault,
// ErrConflict for an id that is there with other content.
func (s *Service) Record(ctx context.Context, e Entry) (Recorded, error) {
	return s.record(ctx, "report", func(int) string { return "" }, []Entry{e})
}

// RecordAll records reports, all or none; errors as Record.
func (s *Service) RecordAll(ctx context.Context, entries []Entry) (Recorded, error) {
	return s.record(ctx, "reports", reportPath, entries)
}

func (s *Service) record(ctx context.Context, what string, prefix func(int) string, entries []Entry) (Recorded, error) {
	reports, err := s.readEntries(ctx, what, prefix, entries)
	if err != nil {
		return Recorded{}, err
	}
	done, err := s.addReports(ctx, reports)
	if err != nil {
		return Recorded{}, err
	}
	return s.withQuestions(ctx, done, prefix, reports)
}

// readEntries makes reports of entries, all of which are in order.
func (s *Service) readEntries(ctx context.Context, what string, prefix func(int) string, entries []Entry) ([]pricing.Report, error) {
	rd, err := s.reader(ctx)
	if err != nil {
		return nil, err
	}
	if n := len(entries); n == 0 || n > maxEntries {
		rd.faults.add("", fmt.Sprintf("%d entries", n), fmt.Sprintf("1 to %d", maxEntries))
		return nil, rd.faults.err(what)
	}
	reports := make([]pricing.Report, len(entries))
	for i, e := range entries {
		reports[i] = rd.report(prefix(i), e)
	}
	if err := s.checkReplaced(ctx, rd, prefix, reports); err != nil {
		return nil, err
	}
	return reports, rd.faults.err(what)
}

func (s *Service) addReports(ctx context.Context, reports []pricing.Report) (Recorded, error) {
	done, err := s.db.AddReports(ctx, reports)
	if err != nil {
		return Recorded{}, err
	}
	out := Recorded{New: done.New, Same: done.Same, IDs: make([]string, len(reports))}
	for i, r := range reports {
		out.IDs[i] = r.ID
	}
	return out, nil
}

func (s *Service) reader(ctx context.Context) (*reader, error) {
	p, err := s.place(ctx)
	if err != nil {
		return nil, err
	}
	return &reader{place: p, catalogue: s.world.Catalogue, today: s.Today(), newID: s.newID}, nil
}

// checkReplaced wants what a report replaces to be there, or to come earlier
// among the same reports, and to be the same reporter's. So no circle can be.
func (s *Service) checkReplaced(ctx context.Context, rd *reader, prefix func(int) string, rs []pricing.Report) error {
	var ids []string
	for _, r := range rs {
		if r.Replaces != "" {
			ids = append(ids, r.Replaces)
		}
	}
	there, err := s.db.ReportsByID(ctx, ids)
	if err != nil {
		return err
	}
	for i, r := range rs {
		if r.Replaces != "" {
			old, ok := there[r.Replaces]
			switch {
			case !ok || r.Replaces == r.ID:
				rd.faults.add(prefix(i)+"replaces", quote(r.Replaces), "the id of a report that is there")
			case old.Reporter != r.Reporter:
				rd.faults.add(prefix(i)+"replaces", "a report of another reporter", "one of the same reporter")
			}
		}
		if _, ok := there[r.ID]; !ok {
			there[r.ID] = r
		}
	}
	return nil
}

// Receipt is many lines from one shop on one day.
type Receipt struct {
	ID       string         `json:"id,omitempty"` // UUID; the ids of lines without one follow from it
	Port     string         `json:"port"`
	Day      calendar.Day   `json:"day"`
	Currency string         `json:"currency"`
	Shop     string         `json:"shop,omitempty"`
	Reporter string         `json:"reporter"`
	Source   pricing.Source `json:"source,omitempty"` // default receipt
	Lines    []Line         `json:"lines"`
}

// Line is one line of a receipt.
type Line struct {
	ID      string        `json:"id,omitempty"`
	Item    string        `json:"item"`
	Found   pricing.Found `json:"found,omitempty"`  // default yes
	Amount  string        `json:"amount,omitempty"` // of one pack
	Pack    string        `json:"pack,omitempty"`
	Quality int           `json:"quality,omitempty"`
	Origin  string        `json:"origin,omitempty"`
	Note    string        `json:"note,omitempty"`
}

// RecordReceipt records all lines of a receipt or none; errors as Record.
func (s *Service) RecordReceipt(ctx context.Context, r Receipt) (Recorded, error) {
	reports, err := s.readReceipt(ctx, r)
	if err != nil {
		return Recorded{}, err
	}
	done, err := s.addReports(ctx, reports)
	if err != nil {
		return Recorded{}, err
	}
	return s.withQuestions(ctx, done, linePath, reports)
}

func (s *Service) readReceipt(ctx context.Context, r Receipt) ([]pricing.Report, error) {
	if r.ID == "" {
		r.ID = s.newID()
	}
	id, err := uuid.Parse(r.ID)
	if err != nil {
		var fs faults
		fs.add("id", quote(r.ID), "a UUID")
		return nil, fs.err("receipt")
	}
	entries := make([]Entry, len(r.Lines))
	for i, l := range r.Lines {
		entries[i] = r.entry(id, i, l)
	}
	return s.readEntries(ctx, "receipt", linePath, entries)
}

func (r Receipt) entry(id uuid.UUID, i int, l Line) Entry {
	e := Entry{
		ID: l.ID, Port: r.Port, Item: l.Item, Day: r.Day, Found: l.Found, Amount: l.Amount, Pack: l.Pack,
		Shop: r.Shop, Reporter: r.Reporter, Source: r.Source, Quality: l.Quality, Origin: l.Origin, Note: l.Note,
	}
	if e.ID == "" {
		e.ID = uuid.NewSHA1(id, fmt.Appendf(nil, "line %d", i)).String()
	}
	if e.Found == "" {
		e.Found = pricing.FoundYes
	}
	if e.Source == "" {
		e.Source = pricing.Receipt
	}
	if e.Found == pricing.FoundYes {
		e.Currency = r.Currency
	}
	return e
}

// Withdraw takes a report back. Done twice on one day it changes nothing more.
// Errors: ErrNotFound, ErrInvalid (not the reporter's own).
func (s *Service) Withdraw(ctx context.Context, id, reporter string, day calendar.Day) (Recorded, error) {
	old, err := s.db.Report(ctx, id)
	if err != nil {
		return Recorded{}, err
	}
	return s.Record(ctx, Entry{
		ID:   uuid.NewSHA1(uuid.NameSpaceURL, fmt.Appendf(nil, "withdraw %s %s", id, day)).String(),
		Port: string(old.Port), Item: string(old.Item), Day: day, Reporter: reporter, Replaces: id,
	})
}

// Report gives one report, ErrNotFound when there is none.
func (s *Service) Report(ctx context.Context, id string) (pricing.Report, error) {
	return s.db.Report(ctx, id)
}

// Reports gives a page of reports, newest day first, and whether more follow.
func (s *Service) Reports(ctx context.Context, f db.Filter, after db.Cursor, limit int) ([]pricing.Report, bool, error) {
	return s.db.Page(ctx, f, after, limit)
}
