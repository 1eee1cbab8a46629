package plan

import "fmt"

// audit is a plan laid out lot by lot and period by period. Period 2s is stay
// s, period 2l+1 is leg l.
type audit struct {
	brief Brief
	plan  Plan
	found Violations
	items map[string]*auditItem
	lots  map[auditKey]*auditLot
	order []*auditLot         // the lots as they were entered
	eaten [][]float64         // need-units by need and period
	lines map[lineKey]float64 // item-units carried away by item and stop
	cost  Cost                // recomputed
}

type auditItem struct {
	Item
	need int
}

type auditKey struct{ item, lot, space string }

type lineKey struct {
	item string
	stop int
}

// auditLot is one lot in one space.
type auditLot struct {
	item    *auditItem
	name    string // as in "rolled-oats p1 in dry"
	space   string
	from    int     // first period it can serve out of its space
	stop    int     // of purchase; -1 for held on day 0
	expires float64 // days
	lost    int     // stop where it is surrendered; S when nowhere
	stowed  float64 // item-units
	drawn   []float64
	thrown  []float64 // by stop
}

func newAudit(b Brief, p Plan) *audit {
	a := &audit{brief: b, plan: p, items: map[string]*auditItem{}, lots: map[auditKey]*auditLot{},
		lines: map[lineKey]float64{}}
	for n, need := range b.Needs {
		a.eaten = append(a.eaten, make([]float64, a.periods()))
		for _, it := range need.Items {
			a.items[it.ID] = &auditItem{it, n}
			for i, l := range it.Aboard {
				lot := a.enter(a.items[it.ID], fmt.Sprint(aboardPrefix, i), l.Space, -1, l.Expires)
				lot.stowed = l.Amount
			}
		}
	}
	return a
}

// enter returns the lot, new when it is the first of its name in the space.
func (a *audit) enter(it *auditItem, lot, space string, stop int, expires float64) *auditLot {
	key := auditKey{it.ID, lot, space}
	if l := a.lots[key]; l != nil {
		return l
	}
	l := &auditLot{item: it, name: fmt.Sprintf("%s %s in %s", it.ID, lot, space), space: space, from: 2*stop + 1, stop: stop,
		expires: expires, lost: len(a.brief.Stops),
		drawn: make([]float64, a.periods()), thrown: make([]float64, len(a.brief.Stops))}
	if stop < 0 {
		l.from = 0
	}
	for _, s := range it.SurrenderedAt {
		if s > stop {
			l.lost = min(l.lost, s)
		}
	}
	a.lots[key] = l
	a.order = append(a.order, l)
	return l
}

// left is what is uneaten after a period, what was thrown away up to and
// with a stop taken off, in item-units.
func (l *auditLot) left(period, stop int) float64 {
	x := l.stowed
	for p := 0; p <= period; p++ {
		x -= l.drawn[p]
	}
	for s := 0; s <= stop; s++ {
		x -= l.thrown[s]
	}
	return max(x, 0)
}

func (a *audit) periods() int { return 2*len(a.brief.Stops) - 1 }

// span is when a period begins and ends, in days.
func (a *audit) span(period int) (start, end float64) {
	s := period / 2
	if period%2 == 0 {
		return a.brief.Stops[s].Arrive, a.brief.Stops[s].Depart
	}
	return a.brief.Stops[s].Depart, a.brief.Stops[s+1].Arrive
}

// perDay is what a need uses in a period, need-units a day.
func (a *audit) perDay(need, period int) float64 {
	if period%2 == 0 {
		return a.brief.Needs[need].UseInPort[period/2]
	}
	return a.brief.Needs[need].UseAtSea[period/2]
}

// use is what a need uses in the whole period, need-units.
func (a *audit) use(need, period int) float64 {
	start, end := a.span(period)
	return a.perDay(need, period) * max(end-start, 0)
}
