package api

import (
	"context"
	"slices"
	"sync"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/estimate"
)

// believer answers what prices are believed to be.
type believer interface {
	At(pricing.PortID, pricing.ItemID, calendar.Day) pricing.Estimate
	Table([]pricing.PortID, []pricing.ItemID, calendar.Day) *pricing.Table
	Question(*pricing.Report) (estimate.Doubt, bool)
	Questioned() []estimate.Questioned
	Standouts() []estimate.Standout
	Explain(pricing.PortID, pricing.ItemID) estimate.Explanation
}

// manyReports is from how many on pairs are kept as sums and not report by
// report; sampleReports is how many the sums' basis is then fitted to.
const (
	manyReports   = 300_000
	sampleReports = 100_000
)

// crowd believes by sums, and takes new reports in without beginning anew.
type crowd struct {
	*estimate.Model // its basis: what is asked of single reports
	mu              sync.RWMutex
	large           *estimate.Large
	day             calendar.Day // on which the reports in it stand
	at              int64        // the change up to which they are in it
	reports         int          // about how many
	began           calendar.Day // the basis's day
	sample          []string     // ids of the reports the basis was fitted to
	print           string       // of the basis
	torn            bool         // something went wrong while reports were taken in
}

// At is as Model.At, of all reports.
func (c *crowd) At(p pricing.PortID, i pricing.ItemID, day calendar.Day) pricing.Estimate {
	c.mu.RLock()
	defer c.mu.RUnlock()
	return c.large.At(p, i, day)
}

// Table is as Model.Table, of all reports.
func (c *crowd) Table(ports []pricing.PortID, items []pricing.ItemID, day calendar.Day) *pricing.Table {
	c.mu.RLock()
	defer c.mu.RUnlock()
	return c.large.Table(ports, items, day)
}

// newCrowd reads all reports as of a change, reporter by reporter.
func (s *Service) newCrowd(ctx context.Context, d *db.DB, in estimate.Input, at int64, reports int) (*crowd, error) {
	c := begin(in)
	c.at, c.reports = at, reports
	out, err := s.leftOut(ctx)
	if err != nil {
		return nil, err
	}
	err = d.EachReporter(ctx, db.Filter{Published: s.public, Until: at}, func(all []pricing.Report) error {
		for _, g := range groups(slices.DeleteFunc(all, out), in.Day) {
			if err := c.large.Change(nil, g); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	c.large.Solve()
	return c, s.keep(ctx, c)
}

// take takes in what was reported, or told and taken back, up to a change, and
// what has come to stand by a day.
func (s *Service) take(ctx context.Context, d *db.DB, c *crowd, until int64, today calendar.Day) error {
	until = max(until, c.at)       // a copy may be behind
	fresh := map[string]turnover{} // by reporter
	come := func(r pricing.Report) error {
		t := fresh[r.Reporter]
		if t.come == nil {
			t.come = map[string]bool{}
		}
		t.come[r.ID] = true
		fresh[r.Reporter] = t
		return nil
	}
	err := d.EachReport(ctx, db.Filter{Published: s.public, After: c.at, Until: until}, come)
	if err == nil && today > c.day {
		err = d.EachReport(ctx, db.Filter{Published: s.public, Since: c.day + 1, Until: until}, come)
	}
	if err == nil && s.public {
		err = d.EachTakenBack(ctx, c.at, until, func(r pricing.Report) error {
			t := fresh[r.Reporter]
			t.gone = append(t.gone, r)
			fresh[r.Reporter] = t
			return nil
		})
	}
	if err != nil {
		return err
	}
	out, err := s.leftOut(ctx)
	if err != nil {
		return err
	}
	if err := s.taken(ctx, d, c, fresh, until, today, out); err != nil {
		return err
	}
	if c.large.Fresh() <= c.reports/100 {
		return nil
	}
	c.mu.Lock()
	c.large.Solve()
	c.mu.Unlock()
	return s.keep(ctx, c)
}

// taken changes the sums by what has come and gone.
func (s *Service) taken(ctx context.Context, d *db.DB, c *crowd, fresh map[string]turnover, until int64, today calendar.Day, out func(pricing.Report) bool) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.torn, c.day = true, today
	for reporter, t := range fresh {
		var all []pricing.Report
		err := d.EachReport(ctx, db.Filter{Published: s.public, Reporter: reporter, Until: until}, func(r pricing.Report) error {
			all = append(all, r)
			return nil
		})
		if err != nil {
			return err
		}
		all = slices.DeleteFunc(all, out)
		if err := c.change(all, t); err != nil {
			return err
		}
	}
	c.torn, c.at = false, until
	return nil
}

// turnover is what has come and gone of a reporter's.
type turnover struct {
	come map[string]bool // ids
	gone []pricing.Report
}

// change takes a reporter's groups from what they were to all there is now.
func (c *crowd) change(all []pricing.Report, t turnover) error {
	were := slices.DeleteFunc(slices.Clone(all), func(r pricing.Report) bool { return t.come[r.ID] })
	before, after := groups(append(were, t.gone...), c.day), groups(all, c.day)
	for k, g := range after {
		if !slices.Equal(g, before[k]) {
			if err := c.large.Change(before[k], g); err != nil {
				return err
			}
		}
	}
	for k, g := range before {
		if len(after[k]) == 0 {
			if err := c.large.Change(g, nil); err != nil {
				return err
			}
		}
	}
	return nil
}

// group is what counts as one report: one reporter's of a pair in a fortnight.
type group struct {
	port      pricing.PortID
	item      pricing.ItemID
	fortnight calendar.Day
}

const fortnight = 14

// groups parts one reporter's reports standing on a day.
func groups(all []pricing.Report, day calendar.Day) map[group][]pricing.Report {
	out := map[group][]pricing.Report{}
	for _, r := range pricing.Standing(all, day) {
		k := group{r.Port, r.Item, r.Day / fortnight}
		out[k] = append(out[k], r)
	}
	return out
}
