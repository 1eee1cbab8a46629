package inventory

import (
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/measure"
	"hardtack/pricing/money"
)

// MoveKind is what happened to goods.
type MoveKind string

// What comes aboard, what leaves, and what only changes its place or state.
const (
	Bought  MoveKind = "bought"
	Got     MoveKind = "got"     // a gift, or the other half of a trade
	Caught  MoveKind = "caught"  // fish: luck, never planned
	Found   MoveKind = "found"   // a count found more than the book had
	Used    MoveKind = "used"    // eaten, drunk, burnt
	Spoilt  MoveKind = "spoilt"  // thrown away, with a cause
	Given   MoveKind = "given"   // a gift, or one half of a trade
	Taken   MoveKind = "taken"   // by officers, or given up to them
	Missing MoveKind = "missing" // a count found less and nobody knows why
	Moved   MoveKind = "moved"
	Opened  MoveKind = "opened"
)

var (
	inward  = []MoveKind{Bought, Got, Caught, Found}
	outward = []MoveKind{Used, Spoilt, Given, Taken, Missing}
)

// MoveKinds lists every kind, what comes first.
func MoveKinds() []MoveKind { return slices.Concat(inward, outward, []MoveKind{Moved, Opened}) }

// In says that goods come aboard, Out that they leave.
func (k MoveKind) In() bool { return slices.Contains(inward, k) }

// Out says that goods leave the book.
func (k MoveKind) Out() bool { return slices.Contains(outward, k) }

// Known says whether k is one of MoveKinds.
func (k MoveKind) Known() bool { return slices.Contains(MoveKinds(), k) }

// Move is a line of the stores book: written once, never changed.
type Move struct {
	ID       string           `json:"id"`
	Day      calendar.Day     `json:"day"`
	Kind     MoveKind         `json:"kind"`
	Lot      string           `json:"lot"`
	Item     pricing.ItemID   `json:"item"`
	Quantity measure.Quantity `json:"quantity"` // above 0, whichever way it goes
	From     string           `json:"from,omitempty"`
	To       string           `json:"to,omitempty"`
	Cause    Cause            `json:"cause,omitempty"` // of spoilage
	Party    string           `json:"party,omitempty"` // whom from or to; a boat or a place, no real name needed
	Loan     bool             `json:"loan,omitempty"`  // to be given back
	For      Purpose          `json:"for,omitempty"`   // which stock it belongs to
	Port     pricing.PortID   `json:"port,omitempty"`  // where bought
	Paid     money.Amount     `json:"paid,omitzero"`
	Note     string           `json:"note,omitempty"`
}

// Cause is why something spoilt.
type Cause string

// The causes a review tells apart.
const (
	Overdue  Cause = "overdue" // not eaten in time
	Mould    Cause = "mould"
	Rot      Cause = "rot"
	Sprouted Cause = "sprouted"
	Rust     Cause = "rust" // tins
	Wet      Cause = "wet"
	Heat     Cause = "heat"
	Thawed   Cause = "thawed" // fridge or freezer failed
	Chilled  Cause = "chilled"
	Crushed  Cause = "crushed"
	Insects  Cause = "insects"
	Vermin   Cause = "vermin"
	Disliked Cause = "disliked"
	Other    Cause = "other"
)

// Causes lists them all.
func Causes() []Cause {
	return []Cause{Overdue, Mould, Rot, Sprouted, Rust, Wet, Heat, Thawed, Chilled, Crushed, Insects, Vermin, Disliked, Other}
}

// Known says whether c is one of Causes.
func (c Cause) Known() bool { return slices.Contains(Causes(), c) }
