// Package exchange carries reports between databases that are seldom in touch:
// boat and server over a thin link, boat and boat side by side, or a file by
// mail. It is rules and a format; it has no network and no database of its own.
//
// What is exchanged are records: reports, which never change, with the database
// they were first kept in and their number there. A state is the set of them,
// and merging is the union: records may come doubled, in any order, by any way
// (a grow-only set; Shapiro, Preguiça, Baquero, Zawirski, Conflict-free
// Replicated Data Types, SSS 2011, from memory). A correction or withdrawal is
// a record like any other.
//
// One asks, the other answers, a page at a time. The asker keeps both places:
// up to where it has offered its own, in its own order of arrival, and an
// opaque one up to where it was told, in the other's. So an exchange cut at any
// moment goes on with the page that was lost. No clock takes part in any order.
package exchange

import "hardtack/db"

// Version is that of the messages. A reader skips what it does not know, so
// that a number only rises when an old reader would misunderstand.
const Version = 1

// Ask is what the one who calls says.
type Ask struct {
	Version int       `cbor:"1,keyasint"`
	From    ID        `cbor:"2,keyasint"` // the asker's source
	Now     int64     `cbor:"3,keyasint"` // Unix seconds by the asker's clock
	After   []byte    `cbor:"4,keyasint,omitempty"`
	Own     Reach     `cbor:"5,keyasint,omitzero"` // how far the asker's own records go
	Have    []Reached `cbor:"6,keyasint,omitempty"`
	Meet    bool      `cbor:"7,keyasint,omitempty"` // only say who you are and how far you know what
	Want    *Want     `cbor:"8,keyasint,omitempty"`
	Budget  int       `cbor:"9,keyasint,omitempty"` // bytes of records in the answer
	Records []byte    `cbor:"10,keyasint,omitempty"`
	Visit   ID        `cbor:"11,keyasint"` // drawn for this visit: what it brings is not told back to it
}

// Answer is what the other one says.
type Answer struct {
	Version int       `cbor:"1,keyasint"`
	From    ID        `cbor:"2,keyasint"`
	Now     int64     `cbor:"3,keyasint"`
	Epoch   string    `cbor:"4,keyasint"`           // changes when this database was put back to an earlier state
	Own     Reach     `cbor:"5,keyasint,omitzero"`  // how far the asker's records are known here
	Parted  bool      `cbor:"6,keyasint,omitempty"` // another database goes by the asker's name
	Heads   []Reached `cbor:"7,keyasint,omitempty"` // to Meet
	New     int       `cbor:"8,keyasint,omitempty"`
	Same    int       `cbor:"9,keyasint,omitempty"`
	Late    int       `cbor:"10,keyasint,omitempty"` // dated in the future
	Refused []Refusal `cbor:"11,keyasint,omitempty"`
	Reset   bool      `cbor:"12,keyasint,omitempty"` // After was not known: this begins anew
	Next    []byte    `cbor:"13,keyasint,omitempty"`
	More    bool      `cbor:"14,keyasint,omitempty"`
	Records []byte    `cbor:"15,keyasint,omitempty"`
}

// ID is a UUID.
type ID = [16]byte

// Reach is a top number and the chain up to it.
type Reach struct {
	_     struct{} `cbor:",toarray"`
	Top   int64
	Chain int64
}

// Reached is the reach of a source.
type Reached struct {
	_      struct{} `cbor:",toarray"`
	Source ID
	Top    int64
	Chain  int64
}

// Refusal is a record that was not taken, and why.
type Refusal struct {
	_   struct{} `cbor:",toarray"`
	ID  string
	Why string
}

// Want narrows what is told, and says what is worth most. Empty lists want
// everything.
type Want struct {
	Ports []string `cbor:"1,keyasint,omitempty"` // along the route, the next one first
	Items []string `cbor:"2,keyasint,omitempty"`
	// Stake is what is at stake for each of Items, in any unit: with it the
	// records that would change a plan most come first.
	Stake []float64 `cbor:"3,keyasint,omitempty"`
}

func reachOf(h db.Head) Reach { return Reach{Top: h.Top, Chain: h.Chain} }
