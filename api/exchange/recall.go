package exchange

import (
	"context"
	"encoding/base64"
	"errors"
	"slices"

	"hardtack/db"
)

// recall takes up where the last visit ended. What holds for a narrower wish
// does not hold for a wider one: then it begins anew.
func (m *meeting) recall(ctx context.Context) error {
	state, err := m.Log.Peer(ctx, m.Peer)
	if errors.Is(err, db.ErrNotFound) {
		state, err = db.Peer{ID: m.Peer}, nil
	}
	if err != nil {
		return err
	}
	m.state, m.saved = state, state
	text, err := base64.RawStdEncoding.DecodeString(state.Pulled)
	if err == nil && len(text) > 0 {
		err = m.Codec.dec.Unmarshal(text, &m.pulled)
	}
	var ports, items []string
	if m.Want != nil {
		ports, items = m.Want.Ports, m.Want.Items
	}
	if err != nil || !inside(ports, m.pulled.Ports) || !inside(items, m.pulled.Items) {
		m.pulled = pulled{}
	}
	if len(m.pulled.After) == 0 {
		m.pulled = pulled{Ports: slices.Clone(ports), Items: slices.Clone(items)}
	}
	return nil
}

// inside says whether all of one list are in the other; an empty one is
// everything.
func inside(some, all []string) bool {
	if len(all) == 0 {
		return true
	}
	return len(some) > 0 && !slices.ContainsFunc(some, func(s string) bool { return !slices.Contains(all, s) })
}

// compare finds what both know, so that it need not be told.
func (m *meeting) compare(ctx context.Context) error {
	a, err := m.say(ctx, Ask{Meet: true})
	if err != nil {
		return err
	}
	if m.known, err = covered(ctx, m.Log, a.Heads); err != nil {
		return err
	}
	m.have, err = m.common(ctx, a.Heads)
	return err
}

// common are, of the sources the other one knows, how far they are known here
// and there.
func (m *meeting) common(ctx context.Context, heads []Reached) ([]Reached, error) {
	var out []Reached
	for _, h := range heads {
		mine, err := m.Log.Head(ctx, nameOf(h.Source))
		if err != nil {
			return nil, err
		}
		top := min(mine.Top, h.Top)
		chain, err := m.Log.ChainAt(ctx, mine.Source, top)
		if err != nil {
			return nil, err
		}
		if chain != 0 {
			out = append(out, Reached{Source: h.Source, Top: top, Chain: chain})
		}
	}
	return out, nil
}
