package inventory

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
)

// Columns of a count as a file. The first three are needed; space and locker
// may stand for each other. Columns of other names are passed over.
var columns = []string{"item", "space", "amount", "locker", "best_before", "mark", "spoilt", "cause"}

const needed = 3

// maxFaults is how many faults of one file are told; more help nobody.
const maxFaults = 20

// Mark is what a passage said of an item, in one word.
type Mark string

// The marks of the audit after arrival.
const (
	RanOut   Mark = "ran out"   // more would have been used
	LeftOver Mark = "left over" // too much was bought
	Hated    Mark = "hated"     // not again
)

// Marks lists them.
func Marks() []Mark { return []Mark{RanOut, LeftOver, Hated} }

// Row is a line of a filled-in count.
type Row struct {
	Line       int // of the file
	Item       pricing.ItemID
	Space      string
	Locker     string
	Quantity   measure.Quantity // 0 = nothing left there
	BestBefore calendar.Day
	Mark       Mark
	Spoilt     measure.Quantity // thrown away since the last count
	Cause      Cause
}

// ReadCount reads a count: CSV with a header naming item, space (or locker),
// amount and, if wanted, best_before (YYYY-MM-DD), mark (ran out, left over,
// hated), spoilt (an amount thrown away since the last count) and cause, in any
// order. Amounts are read as people write them, with a unit unless pieces are
// counted ("500 g", "12 x 330 ml"); 0 says that nothing is left, = that there
// is what the book says. Either every row is taken or none: the error is
// ErrInvalid and names line and column of each fault.
func (b Boat) ReadCount(r io.Reader, book []Lot) ([]Row, error) {
	c := csv.NewReader(r)
	c.FieldsPerRecord = -1
	c.TrimLeadingSpace = true
	header, err := c.Read()
	if err != nil {
		return nil, fmt.Errorf("count: %w: line 1: want a header with %s: %w", ErrInvalid, strings.Join(columns[:needed], ", "), err)
	}
	at, err := columnsOf(header)
	if err != nil {
		return nil, fmt.Errorf("count: %w: line 1: %w", ErrInvalid, err)
	}
	return rows(c, rowReader{Boat: b, at: at, book: book})
}

func rows(c *csv.Reader, rr rowReader) ([]Row, error) {
	var out []Row
	var faults []error
	for len(faults) < maxFaults {
		rec, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			faults = append(faults, err) // names its line and column
			break
		}
		no, _ := c.FieldPos(0)
		row, err := rr.row(rec)
		if err != nil {
			faults = append(faults, fmt.Errorf("line %d, %w", no, err))
		}
		row.Line = no
		out = append(out, row)
	}
	if len(faults) > 0 {
		return nil, fmt.Errorf("count: %w, nothing was changed: %w", ErrInvalid, errors.Join(faults...))
	}
	return out, nil
}

func columnsOf(header []string) (map[string]int, error) {
	at := map[string]int{}
	for i, h := range header {
		at[strings.ToLower(strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")))] = i
	}
	if _, ok := at["locker"]; ok {
		if _, ok := at["space"]; !ok {
			at["space"] = at["locker"]
		}
	}
	for _, want := range columns[:needed] {
		if _, ok := at[want]; !ok {
			return nil, wording.Fail("fault.column", wording.Text(want), wording.Text(strings.Join(columns[:needed], ", ")))
		}
	}
	return at, nil
}

type rowReader struct {
	Boat
	at   map[string]int
	book []Lot
}

func (rr rowReader) field(rec []string, name string) string {
	i, ok := rr.at[name]
	if !ok || i >= len(rec) {
		return ""
	}
	return strings.TrimSpace(rec[i])
}

func (rr rowReader) row(rec []string) (Row, error) {
	id := rr.field(rec, "item")
	i, ok := rr.Catalogue.Items[pricing.ItemID(id)]
	if !ok {
		return Row{}, fmt.Errorf("column item: %w", unknownItem(id, rr.Catalogue))
	}
	r := Row{Item: i.ID}
	place := rr.field(rec, "locker")
	if place == "" {
		place = rr.field(rec, "space")
	}
	var err error
	if r.Space, r.Locker, err = rr.Place(place); err != nil {
		return r, fmt.Errorf("column space: %w", oneOf(place, spacesOf(rr.Vessel)))
	}
	if r.BestBefore, err = dayOf(rr.field(rec, "best_before")); err != nil {
		return r, fmt.Errorf("column best_before: %w", found(rr.field(rec, "best_before"), "a day, YYYY-MM-DD"))
	}
	if r.Quantity, err = rr.amount(rec, "amount", i, rr.booked(r)); err != nil {
		return r, err
	}
	return r, rr.marks(rec, &r, i)
}

// marks reads what was said of the passage.
func (rr rowReader) marks(rec []string, r *Row, i item.Item) error {
	r.Mark = Mark(strings.ToLower(rr.field(rec, "mark")))
	if r.Mark != "" && !slices.Contains(Marks(), r.Mark) {
		return fmt.Errorf("column mark: %w", oneOf(r.Mark, Marks()))
	}
	if rr.field(rec, "spoilt") == "" {
		return nil
	}
	var err error
	if r.Spoilt, err = rr.amount(rec, "spoilt", i, 0); err != nil {
		return err
	}
	r.Cause = Cause(strings.ToLower(rr.field(rec, "cause")))
	if r.Spoilt > 0 && !r.Cause.Known() {
		return fmt.Errorf("column cause: %w", oneOf(r.Cause, Causes()))
	}
	return nil
}

// amount reads a field that may say nothing is left, or what the book says.
func (rr rowReader) amount(rec []string, column string, i item.Item, booked measure.Quantity) (measure.Quantity, error) {
	text := rr.field(rec, column)
	switch {
	case strings.Trim(text, "0.,") == "" && strings.Contains(text, "0"):
		return 0, nil
	case text == "=" && column == "amount":
		return booked, nil
	}
	q, err := measure.ParsePack(text, i.Unit)
	switch {
	case err != nil:
		return 0, fmt.Errorf("column %s: %w", column, found(text, "an amount in "+measure.Wants(i.Unit)))
	case q.Units() > maxUnits:
		return 0, fmt.Errorf("column %s: %w", column, outside(q))
	}
	return q, nil
}

// booked is what the book has of a row's item in its place and of its date.
func (rr rowReader) booked(r Row) measure.Quantity {
	sum := measure.Quantity(0)
	for _, l := range rr.book {
		if l.Item == r.Item && l.Space == r.Space && l.Locker == r.Locker && l.BestBefore == r.BestBefore {
			sum += l.Quantity
		}
	}
	return sum
}

// found says what stands in a field and what should.
func found(text, want string) error {
	return wording.Fail("fault.found", wording.Text(strconv.Quote(text)), wording.Want(want))
}

func dayOf(s string) (calendar.Day, error) {
	if s == "" {
		return 0, nil
	}
	return calendar.Parse(s)
}
