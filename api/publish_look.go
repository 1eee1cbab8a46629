package api

import (
	"context"
	"fmt"

	"hardtack/api/public"
	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// look is one look at what waits to be told in some pools.
type look struct {
	rule  public.Rule
	today calendar.Day
	pools []db.Pool
	names ruleNames
	in    map[pool]*inPool
}

type pool struct {
	port  pricing.PortID
	month calendar.Day
}

type inPool struct {
	waiting []public.Waiting
	held    bool // something in it is questioned
}

// ruleNames is what pools are marked with: as long as it is the same, nothing
// but the day and what comes in makes another look worth it.
type ruleNames struct {
	due   string // the rule
	stuck string // and the rates and ports, where something could not be told for want of one
}

// rulesVersion rises when public.Rule comes to mean something else.
const rulesVersion = 1

func (s *Service) ruleNames(ctx context.Context, r public.Rule) (n ruleNames, err error) {
	at, err := s.db.Change(ctx, db.KindRate, db.KindPort)
	n.due = fmt.Sprintf("%d: %d %d %d", rulesVersion, r.Delay, r.Enough, r.Age)
	n.stuck = fmt.Sprintf("%s, rates and ports of %d", n.due, at)
	return n, err
}

// newLook begins a look into some pools.
func newLook(r public.Rule, n ruleNames, today calendar.Day, pools []db.Pool) *look {
	return &look{rule: r, names: n, today: today, pools: pools, in: map[pool]*inPool{}}
}

func (l *look) at(p pool) *inPool {
	if l.in[p] == nil {
		l.in[p] = &inPool{}
	}
	return l.in[p]
}

func (l *look) held(u db.Untold) { l.at(pool{u.Port, u.Pool}).held = true }

func (l *look) found(u db.Untold, w public.Waiting) {
	p := l.at(pool{u.Port, u.Pool})
	p.waiting = append(p.waiting, w)
}

// after says of each pool when the next look is worth it, once some are told.
// Where something is questioned, or was told just now and more is due, it is
// the next time.
func (l *look) after(told []db.Publication) (out []db.Look) {
	gone := map[string]bool{}
	for _, p := range told {
		gone[p.Report] = true
		for _, id := range p.Instead {
			gone[id] = true
		}
	}
	for _, p := range l.pools {
		in := l.at(pool{p.Port, p.Month})
		var rest []public.Waiting
		for _, w := range in.waiting {
			if !gone[w.ID] {
				rest = append(rest, w)
			}
		}
		next := l.rule.Next(rest)
		switch {
		case in.held:
		case len(rest) == 0:
			out = append(out, db.Look{Pool: p, Empty: true})
		case next > l.today:
			out = append(out, db.Look{Pool: p, Next: next, Rule: l.names.due})
		case len(rest) == len(in.waiting): // it cannot be told
			out = append(out, db.Look{Pool: p, Next: l.today + 1, Rule: l.names.stuck})
		}
	}
	return out
}
