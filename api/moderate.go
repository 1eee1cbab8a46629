package api

import (
	"context"

	"hardtack/db"
	"hardtack/pricing"
)

// Doubtful is a report that waits for a moderator.
type Doubtful struct {
	Entry      Entry  `json:"report"`
	Reason     string `json:"reason"`
	Suggestion string `json:"suggestion,omitempty"`
}

// Doubtfuls are the reports questioned as probable slips about which nobody
// has decided yet.
func (s *Service) Doubtfuls(ctx context.Context) ([]Doubtful, error) {
	questioned, err := s.Questioned(ctx)
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(questioned))
	for i, q := range questioned {
		ids[i] = q.Report
	}
	decided, err := s.db.Decided(ctx, ids)
	if err != nil {
		return nil, err
	}
	out := []Doubtful{}
	for _, q := range questioned {
		if decided[q.Report] {
			continue
		}
		r, err := s.db.Report(ctx, q.Report)
		if err != nil {
			return nil, err
		}
		out = append(out, Doubtful{s.EntryOf(r), q.Reason, q.Suggestion})
	}
	return out, nil
}

// Judge decides about a report: to keep it, or to leave it out of all that is
// believed and told. It stays kept either way. ErrNotFound, ErrInvalid.
func (s *Service) Judge(ctx context.Context, by, report, verdict string) error {
	if verdict != db.Keep && verdict != db.LeaveOut {
		var fs faults
		fs.add("verdict", quote(verdict), "keep or leave_out")
		return fs.err("verdict")
	}
	return s.db.Judge(ctx, by, report, verdict)
}

// leftOut says of reports whether a moderator left them out. What is told to
// everybody is without them anyway.
func (s *Service) leftOut(ctx context.Context) (func(pricing.Report) bool, error) {
	if s.public {
		return func(pricing.Report) bool { return false }, nil
	}
	out, err := s.db.LeftOut(ctx)
	return func(r pricing.Report) bool { return out[r.ID] }, err
}
