package api

import (
	"context"
)

// Landing is a shopping trip come back aboard: the receipt that tells what
// things cost, and what of it is stowed where.
type Landing struct {
	Receipt Receipt    // its lines may be empty
	Vessel  string     // where the lots go
	Lots    []LotEntry // with ids of their own, so that a repeat changes nothing
	Voyage  string     // whose plan says up to which price buying was worth it; empty: nobody's
	Stop    int        // of that plan
}

// Landed is what came of it.
type Landed struct {
	Reports Recorded
	Lots    int
}

// BringAboard records a receipt and puts its goods aboard. Everything is
// checked before anything is kept; done again with the same ids it changes
// nothing more. Errors as RecordReceipt and Change.
func (s *Service) BringAboard(ctx context.Context, l Landing) (Landed, error) {
	var out Landed
	if len(l.Receipt.Lines) == 0 && len(l.Lots) == 0 {
		var fs faults
		fs.add("lines", "none", "something bought, or looked for in vain")
		return out, fs.err("receipt")
	}
	var write func() error
	if len(l.Receipt.Lines) > 0 {
		reports, err := s.readReceipt(ctx, l.Receipt)
		if err != nil {
			return out, err
		}
		write = func() error {
			out.Reports, err = s.addReports(ctx, reports)
			return err
		}
	}
	if len(l.Lots) > 0 {
		if _, err := s.Change(ctx, l.Vessel, ChangeAboard{Add: l.Lots}); err != nil {
			return out, err
		}
		if err := s.keepWorth(ctx, l); err != nil {
			return out, err
		}
		out.Lots = len(l.Lots)
	}
	if write == nil {
		return out, nil
	}
	err := write()
	return out, err
}
