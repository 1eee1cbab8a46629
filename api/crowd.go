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
	day             calendar.Day
	reports         int
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

// newCrowd reads all reports, reporter by reporter.
func (s *Service) newCrowd(ctx context.Context, d *db.DB, in estimate.Input, reports int) (*crowd, error) {
	basis := estimate.Fit(in)
	c := &crowd{Model: basis, large: estimate.NewLarge(basis), day: in.Day, reports: reports}
	out, err := s.leftOut(ctx)
	if err != nil {
		return nil, err
	}
	err = d.EachReporter(ctx, db.Filter{Published: s.public}, func(all []pricing.Report) error {
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
	return c, nil
}

// take takes in what was reported, or told and taken back, after a change.
func (s *Service) take(ctx context.Context, d *db.DB, c *crowd, after int64) error {
	fresh := map[string]turnover{} // by reporter
	err := d.EachReport(ctx, db.Filter{Published: s.public, After: after}, func(r pricing.Report) error {
		t := fresh[r.Reporter]
		if t.come == nil {
			t.come = map[string]bool{}
		}
		t.come[r.ID] = true
		fresh[r.Reporter] = t
		return nil
	})
	if err == nil && s.public {
		err = d.EachTakenBack(ctx, after, func(r pricing.Report) error {
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
	c.mu.Lock()
	defer c.mu.Unlock()
	for reporter, t := range fresh {
		var all []pricing.Report
		err := d.EachReport(ctx, db.Filter{Published: s.public, Reporter: reporter}, func(r pricing.Report) error {
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
	if c.large.Fresh() > c.reports/100 {
		c.large.Solve()
	}
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
