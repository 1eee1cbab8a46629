package estimate

import (
	"errors"
	"fmt"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Large is the model for more reports than fit into memory: every pair is
// reduced to a few sums, and what is known of reporters, shops, seasons and
// spreads is taken from a model of some of the reports, its basis.
//
// The sums depend on the basis and on the set of reports alone: not on their
// order, nor on reports that were taken away again. A Large is not safe for
// concurrent use while it changes.
type Large struct {
	*fit            // of the basis
	basis           *Model
	rows            [][]sum   // by port, then item; nil where nothing was reported
	recent, lasting []decay   // by category, of prices
	supplied        []decay   // by category, of availability
	theta           []float64 // effects as last solved, for all reports
	doubts          doubt     // about these
	fresh           int       // reports since
}

// landmarkAge is how many half-lives before the basis's day weights are 1.
const landmarkAge = 12

// halfLives of prices: at 0.4 of the time in which a deviation falls to 1/e
// decayed sums lose less than 1 % against the exact filter.
const halfLives = 0.4

// ErrFull says that a pair has more reports than its sums have room for.
var ErrFull = errors.New("too many reports of one pair")

// NewLarge starts with no reports at all but with all a basis knows.
func NewLarge(basis *Model) *Large {
	f := basis.fit
	l := &Large{fit: f, basis: basis, rows: make([][]sum, f.ports)}
	l.theta = append([]float64(nil), f.theta...)
	l.doubts = f.doubt
	l.recent, l.lasting, l.supplied = make([]decay, f.categories), make([]decay, f.categories), make([]decay, f.categories)
	for i, g := range f.categoryOf {
		half := halfLives * f.of(int32(i)).memory
		l.recent[g], l.lasting[g] = before(int32(f.in.Day), half), before(int32(f.in.Day), lastingTimes*half)
		l.supplied[g] = before(int32(f.in.Day), basis.supply.halfLife(int32(i)))
	}
	return l
}

// Change takes one reporter's reports of one pair and fortnight from what they
// were to what they are: these count as one report, however many. Reports of
// unknown ports, items or currencies are left out. The error is ErrFull;
// nothing was changed then.
func (l *Large) Change(before, after []pricing.Report) error {
	if err := l.apply(after, 1); err != nil {
		return err
	}
	return l.apply(before, -1)
}

func (l *Large) apply(group []pricing.Report, sign int64) error {
	for k := range group {
		if err := l.one(&group[k], 1/float64(len(group)), sign); err != nil {
			for j := range k { // undone: sums are exact
				_ = l.one(&group[j], 1/float64(len(group)), -sign)
			}
			return err
		}
	}
	return nil
}

// one adds a report, or takes it away, with its share of a group.
func (l *Large) one(r *pricing.Report, share float64, sign int64) error {
	port, knownPort := l.portAt[r.Port]
	item, knownItem := l.itemAt[r.Item]
	if !knownPort || !knownItem || r.Found == pricing.Withdrawn {
		return nil
	}
	g := l.categoryOf[item]
	c := l.cellOf(port, item)
	if r.Found == pricing.FoundYes {
		s, ok := l.sight(r, 0)
		if !ok {
			return nil
		}
		y, weight := l.heard(&s, r, port, item)
		if !c.add(l.recent[g], l.lasting[g], s.day, y, share*weight, sign) {
			return fmt.Errorf("report %s: %w", r.ID, ErrFull)
		}
		if sign > 0 {
			c.newest = max(c.newest, s.day)
		}
	}
	weight := share
	if r.Found == pricing.FoundNone {
		weight *= noneWeight
	}
	c.seek(l.supplied[g], int32(r.Day), r.Found != pricing.FoundNone, weight, sign)
	l.fresh++
	return nil
}

func (l *Large) cellOf(port, item int32) *sum {
	if l.rows[port] == nil {
		l.rows[port] = make([]sum, l.items)
	}
	return &l.rows[port][item]
}

// heard gives a report's log price in the usual pack, what is known of it taken
// off, and its weight: by its source, its reporter, and how far it is from what
// the basis made one expect. A probable slip weighs next to nothing.
func (l *Large) heard(s *sight, r *pricing.Report, port, item int32) (y, weight float64) {
	o := l.basis.look(r.Port, r.Item, l.in.Day)
	y = s.y - l.fit.theta[l.pack+int(l.categoryOf[item])]*s.x - l.moved(port, item, s.day) - l.season(port, item, r.Day)
	weight = 0.5 // of a reporter the basis does not know
	if u, known := l.reporterAt[r.Reporter]; known {
		y -= l.bias[u]
		weight = min(1.5, l.crowd.weight(u))
	}
	if k, known := l.shops.numbers[shopName(r.Shop)]; known {
		y -= l.outlet[k]
	}
	s.off = y + l.offset(port, item) + l.now(port, item) - o.mean
	s.offSD2 = o.variance + l.noise2*s.spread + l.shop2
	weight *= studentWeight(s.off*s.off/s.offSD2) * nu / (nu + 1) / s.spread
	if _, odds := l.bestSlip(s, r, port, item); probable(odds, s.off) {
		weight = leastWeight
	}
	return y, weight
}

// now is what the time makes of a cell's price on the basis's day.
func (l *Large) now(port, item int32) float64 {
	day := l.in.Day
	return l.season(port, item, day) + l.moved(port, item, int32(day))
}

// Newest sets the day of the newest price of a pair, after one was taken away;
// zero says that there is none.
func (l *Large) Newest(port pricing.PortID, item pricing.ItemID, day calendar.Day) {
	p, knownPort := l.portAt[port]
	i, knownItem := l.itemAt[item]
	if knownPort && knownItem {
		l.cellOf(p, i).newest = int32(day)
	}
}

// Merge adds the reports of another with the same basis; none may be in both.
func (l *Large) Merge(o *Large) {
	for p, row := range o.rows {
		for i := range row {
			if row[i] != (sum{}) {
				l.cellOf(int32(p), int32(i)).merge(&row[i])
			}
		}
	}
	l.fresh += o.fresh
}

// Fresh is how many reports came or went since the effects were last solved.
func (l *Large) Fresh() int { return l.fresh }

// Solve finds the effects of all reports together, from where they were, and
// says how many steps that took.
func (l *Large) Solve() int {
	s := system{layout: l.system.layout, prior: l.believe(), neighbours: l.joint, means: make([]average, 0, l.filled())}
	for p, row := range l.rows {
		for i := range row {
			if row[i].lasting.w > 0 {
				s.means = append(s.means, l.average(int32(p), int32(i), &row[i]))
			}
		}
	}
	steps := s.solve(l.theta, roughly)
	l.doubts = l.doubtsOf(nil, s.means)
	l.fresh = 0
	return steps
}

func (l *Large) filled() (n int) {
	for _, row := range l.rows {
		for i := range row {
			if row[i].lasting.w > 0 {
				n++
			}
		}
	}
	return n
}

// timeApart is the mean correlation of a cell's deviation on two days of its
// lasting mean.
const timeApart = 0.5

// average is a cell for the equations: its lasting mean, with the variance of its
// own deviation and of the noise of as many reports as it is worth.
func (l *Large) average(port, item int32, c *sum) average {
	n := max(c.effective(), 1e-3)
	a := 1 / (l.cell2*(timeApart+(1-timeApart)/max(n, 1)) + l.noise2/n)
	return average{port, item, float32(a), float32(a * c.lasting.mean())}
}
