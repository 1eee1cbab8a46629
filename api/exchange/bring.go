package exchange

import (
	"context"
	"slices"

	"hardtack/db"
)

// load is one message's worth of what is to be brought.
type load struct {
	page []byte
	upTo db.Mark // everything before was offered
	more bool
}

// bring packs the next records the other one may not have.
func (m *meeting) bring(ctx context.Context) (load, error) {
	f := db.Feed{NotFrom: m.Visit.ID}
	if !m.Whole {
		f.Of = m.Source
	}
	end, err := m.Log.End(ctx)
	if err != nil {
		return load{}, err
	}
	fed, err := m.Log.Records(ctx, f, m.state.Pushed, pageRows)
	if err != nil {
		return load{}, err
	}
	if fresh := slices.IndexFunc(fed, func(f db.Fed) bool { return m.Hold != 0 && f.Day > m.Hold }); fresh >= 0 {
		fed, end = fed[:fresh], m.state.Pushed // what came in after it waits as well, so that nothing is left out
	}
	rs := without(fed, m.known)
	page, n, err := m.fit(rs, pageBytes)
	if err != nil {
		return load{}, err
	}
	l := load{page: page, upTo: m.state.Pushed, more: n < len(rs) || len(fed) == pageRows}
	switch {
	case n < len(rs):
		l.upTo = markOf(fed, rs[n-1].ID)
	case l.more:
		l.upTo = fed[len(fed)-1].Mark
	default:
		l.upTo = later(end, m.state.Pushed, fed)
	}
	return l, nil
}

// offerAgain looks whether the other one knows all that was entered here. If
// not, it lost some: all is offered once more, except what it still has. Where
// that does not help, it refused some, and is not bothered again with these.
func (m *meeting) offerAgain(ctx context.Context, a Answer) (bool, error) {
	own, err := m.Log.Head(ctx, m.Source)
	if err != nil {
		return false, err
	}
	chain, err := m.Log.ChainAt(ctx, m.Source, a.Own.Top)
	if err != nil || m.done.Renamed || m.Hold != 0 || a.Own.Top >= own.Top || a.Own.Top+1 == m.state.Stuck {
		return false, err
	}
	if m.again {
		state := m.state
		state.Stuck = a.Own.Top + 1
		return false, m.fetch(ctx, Answer{Next: m.pulled.After}, state)
	}
	m.again = true
	m.state.Pushed = db.Mark{}
	m.known = map[string]int64{}
	if chain != 0 && chain == a.Own.Chain {
		m.known[m.Source] = a.Own.Top
	}
	m.done.PutBack = m.done.PutBack || a.Own.Top > 0
	return true, nil
}
