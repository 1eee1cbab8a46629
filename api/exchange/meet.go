package exchange

import (
	"bytes"
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"slices"

	"hardtack/db"
	"hardtack/pricing/calendar"
)

// Send carries a question to the other one and its answer back.
type Send func(context.Context, Ask) (Answer, error)

// Visit is how one exchange is to be done.
type Visit struct {
	ID   string // a UUID drawn for it
	Peer string // what the other one is called here
	// Whole exchanges everything both ways, as between boats that trust each
	// other. Otherwise only what was entered here is brought.
	Whole bool
	Want  *Want
	// Hold is the last day whose reports are brought: a boat may wish to be gone
	// before it is known where she was. 0: no such day.
	Hold calendar.Day
	// Budget is how many bytes of records to fetch at most; 0: all there are.
	Budget int
	// Told is called after every message, with what was done so far; may be nil.
	Told func(Done)
}

// Done is what an exchange did.
type Done struct {
	Messages  int       `json:"messages"`
	Brought   int       `json:"brought"`   // new to the other one
	Fetched   int       `json:"fetched"`   // new here
	Doubled   int       `json:"doubled"`   // fetched although they were here
	Late      int       `json:"late"`      // fetched, dated in the future: read as of today
	Refused   []Refusal `json:"refused"`   // by the other one, up to a few
	More      bool      `json:"more"`      // the budget was spent before all was fetched
	ClockOff  int64     `json:"clock_off"` // seconds this clock is ahead of the other one's
	Renamed   bool      `json:"renamed"`   // another database goes by this one's name: this one takes a new one
	PutBack   bool      `json:"put_back"`  // the other one was put back to an earlier state and was told again
	bytesHere int
}

// ErrTooNew is an answer this program cannot read.
var ErrTooNew = errors.New("the other one answers in a newer version")

// meeting is a visit under way.
type meeting struct {
	*Party
	Visit
	send   Send
	state  db.Peer
	saved  db.Peer // as it is kept
	reset  bool    // the last answer showed another one, or an earlier state: it must be told again
	pulled pulled
	have   []Reached        // what both know, as told to the other one
	known  map[string]int64 // what the other one knows
	done   Done
	again  bool // everything was offered again in this meeting
}

// pulled is where to go on with the other one, and for what that holds.
type pulled struct {
	_     struct{} `cbor:",toarray"`
	After []byte
	Ports []string
	Items []string
}

// Meet exchanges until neither has anything more, a page at a time. Each page
// is kept before the next is asked for, so that a visit cut short is taken up
// where it was. An error leaves what was kept.
func (p *Party) Meet(ctx context.Context, v Visit, send Send) (Done, error) {
	m := &meeting{Party: p, Visit: v, send: send}
	if err := m.recall(ctx); err != nil {
		return m.done, err
	}
	if err := p.Log.Number(ctx, p.Source); err != nil {
		return m.done, err
	}
	if v.Whole {
		if err := m.compare(ctx); err != nil {
			return m.done, err
		}
	}
	for {
		more, err := m.turn(ctx)
		if v.Told != nil {
			v.Told(m.done)
		}
		if err != nil || !more {
			return m.done, err
		}
	}
}

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

// turn brings a page and fetches one; it says whether there is more to do.
func (m *meeting) turn(ctx context.Context) (bool, error) {
	brought, err := m.bring(ctx)
	if err != nil {
		return false, err
	}
	ask := Ask{After: m.pulled.After, Have: m.have, Want: m.Want, Records: brought.page}
	if m.Budget > 0 {
		ask.Budget = max(1, m.Budget-m.done.bytesHere)
	}
	a, err := m.say(ctx, ask)
	if err != nil {
		return false, err
	}
	m.count(a)
	state := m.state
	if !m.reset {
		state.Pushed = brought.upTo
	}
	stalled := a.More && len(a.Records) == 0 && bytes.Equal(a.Next, ask.After)
	if err := m.fetch(ctx, a, state); err != nil {
		return false, err
	}
	if m.reset || brought.more || a.More && !m.done.More && !stalled {
		return true, nil
	}
	return m.offerAgain(ctx, a)
}

func (m *meeting) count(a Answer) {
	m.done.Brought += a.New
	if m.Budget > 0 {
		m.done.bytesHere += len(m.Codec.zip.EncodeAll(a.Records, nil))
		m.done.More = a.More && m.done.bytesHere >= m.Budget*9/10
	}
	if room := maxRefusals - len(m.done.Refused); room > 0 {
		m.done.Refused = append(m.done.Refused, a.Refused[:min(room, len(a.Refused))]...)
	}
}

// fetch keeps what was told, and with it where to go on.
func (m *meeting) fetch(ctx context.Context, a Answer, state db.Peer) error {
	rs, err := m.Codec.unpack(a.Records)
	if err != nil {
		return err
	}
	m.pulled.After = a.Next
	text, err := m.Codec.enc.Marshal(m.pulled)
	if err != nil {
		return err
	}
	state.Pulled, state.AtMs = base64.RawStdEncoding.EncodeToString(text), m.Now.UnixMilli()
	if len(rs) == 0 && same(state, m.saved) {
		m.state = state
		return nil // nothing happened: nothing is written
	}
	done, err := m.accept(ctx, rs, nil, db.Arrival{Carrier: m.Visit.ID, Last: m.last(), Peer: state})
	if err != nil {
		return err
	}
	m.state, m.saved = state, state
	m.done.Fetched, m.done.Doubled, m.done.Late = m.done.Fetched+done.New, m.done.Doubled+done.Same, m.done.Late+done.Late
	return nil
}

func same(a, b db.Peer) bool {
	a.AtMs = b.AtMs
	return a == b
}

// say asks, and notes what the answer says of the other one itself.
func (m *meeting) say(ctx context.Context, ask Ask) (Answer, error) {
	own, err := m.Log.Head(ctx, m.Source)
	if err != nil {
		return Answer{}, err
	}
	ask.Version, ask.From, ask.Visit, ask.Now, ask.Own = Version, idOf(m.Source), idOf(m.Visit.ID), m.Now.Unix(), reachOf(own)
	a, err := m.send(ctx, ask)
	if err != nil {
		return a, err
	}
	if a.Version != Version {
		return a, fmt.Errorf("%w: %d, want %d", ErrTooNew, a.Version, Version)
	}
	m.done.Messages++
	m.done.ClockOff = m.Now.Unix() - a.Now
	return a, m.notice(ctx, a)
}

// notice sees that the other one was put back to an earlier state, is another
// one by now, or knows another database by this one's name.
func (m *meeting) notice(ctx context.Context, a Answer) error {
	m.reset = false
	if now := nameOf(a.From); m.state.Epoch != a.Epoch || m.state.Source != now {
		m.reset = m.state.Epoch != ""
		m.done.PutBack = m.done.PutBack || m.reset && m.state.Source == now
		m.state.Source, m.state.Epoch, m.state.Pushed, m.state.Stuck = now, a.Epoch, db.Mark{}, 0
	}
	if a.Reset && !m.again { // it lost what it had told: perhaps what it was told, too
		m.again, m.reset, m.done.PutBack = true, true, true
		m.state.Pushed = db.Mark{}
	}
	chain, err := m.Log.ChainAt(ctx, m.Source, a.Own.Top)
	if err != nil {
		return err
	}
	if a.Parted || a.Own.Top > 0 && chain != 0 && chain != a.Own.Chain {
		m.done.Renamed = true
	}
	return nil
}
