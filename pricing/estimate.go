package pricing

import (
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
)

// Basis is what an estimate mainly rests on.
type Basis string

// From the surest to the vaguest. Guessed rests on no report at all, only on
// the catalogue's base price and the country's price level.
const (
	BasisCell    Basis = "cell"
	BasisPort    Basis = "port"
	BasisCountry Basis = "country"
	BasisAll     Basis = "all"
	BasisGuess   Basis = "guess"
)

// Estimate is what is believed of one item at one port on one day. Prices are
// in the reference currency per unit when bought in the item's usual pack.
type Estimate struct {
	Price     float64 // median over the port's shops
	Low80     float64 // one unmistaken receipt lies in here four times in five
	High80    float64
	LogSD     float64 // sd of the log of one such receipt
	Available float64 // probability of finding it at all, 0–1
	Evidence  float64 // effective number of reports behind the cell
	Newest    calendar.Day
	Basis     Basis
	Goods     Goods `json:",omitzero"`
}

// Goods is what reports of two years say of an item's quality at a port.
type Goods struct {
	Lost    float64  // share one expects to throw away because of it, 0–1
	Graded  int      // reports that say how the goods were
	Poor    int      // of these, 1 or 2 of 5
	Insects int      // of these, with insects or mould in the note
	Origin  Contrast // countries of origin
	Packed  Contrast // kinds of packaging: clear, paper, carton, tin, glass, vac, plastic, bag, loose
}

// Contrast is which of several was often poor, everywhere, and which was not.
// The zero value names none.
type Contrast struct {
	Worst  string
	Poor   int    // reports that call Worst poor
	Graded int    // of so many
	Best   string // "" when none is clearly better
}

// Table is the one value handed to the route: estimates by port and item.
type Table struct {
	Currency money.Currency // reference currency of every Estimate
	Day      calendar.Day   // the day believed about
	cells    map[cellKey]Estimate
}

type cellKey struct {
	port PortID
	item ItemID
}

// NewTable is an empty table.
func NewTable(c money.Currency, day calendar.Day) *Table {
	return &Table{Currency: c, Day: day, cells: map[cellKey]Estimate{}}
}

// Set puts the estimate of one pair.
func (t *Table) Set(p PortID, i ItemID, e Estimate) { t.cells[cellKey{p, i}] = e }

// At gives the estimate of one pair; false when the table has none.
func (t *Table) At(p PortID, i ItemID) (Estimate, bool) {
	e, ok := t.cells[cellKey{p, i}]
	return e, ok
}
