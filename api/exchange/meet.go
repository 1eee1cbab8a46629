package exchange

import (
	"bytes"
	"context"
	"encoding/base64"
	"errors"
	"fmt"

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
