package inventory

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/vessel"
)

// Columns of a count as a file; best_before may be empty or missing.
var columns = []string{"item", "space", "amount", "best_before"}

// maxFaults is how many faults of one file are told; more help nobody.
const maxFaults = 20

// ReadCount reads a count: CSV with a header naming item, space, amount and, if
// wanted, best_before (YYYY-MM-DD), in any order. Amounts are read as people
// write them, with a unit unless pieces are counted ("500 g", "12 x 330 ml"); a count of 0 says that nothing is
// left and gives no lot. Either every row is taken or none: the error is
// ErrInvalid and names line and column of each fault.
func ReadCount(r io.Reader, cat *item.Catalogue, v vessel.Vessel) ([]Lot, error) {
	c := csv.NewReader(r)
	c.FieldsPerRecord = -1
	c.TrimLeadingSpace = true
	header, err := c.Read()
	if err != nil {
		return nil, fmt.Errorf("count: %w: line 1: want a header with %s: %w", ErrInvalid, strings.Join(columns, ", "), err)
	}
	at, err := columnsOf(header)
	if err != nil {
		return nil, fmt.Errorf("count: %w: line 1: %w", ErrInvalid, err)
	}
	return rows(c, rowReader{at: at, cat: cat, vessel: v})
}

func rows(c *csv.Reader, rr rowReader) ([]Lot, error) {
	var lots []Lot
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
		lot, some, err := rr.lot(rec)
		switch {
		case err != nil:
			faults = append(faults, fmt.Errorf("line %d, %w", no, err))
		case some:
			lot.ID = fmt.Sprintf("count-%d", no)
			lots = append(lots, lot)
		}
	}
	if len(faults) > 0 {
		return nil, fmt.Errorf("count: %w, nothing was changed: %w", ErrInvalid, errors.Join(faults...))
	}
	return lots, nil
}

func columnsOf(header []string) (map[string]int, error) {
	at := map[string]int{}
	for i, h := range header {
		at[strings.ToLower(strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")))] = i
	}
	for _, want := range columns[:3] {
		if _, ok := at[want]; !ok {
			return nil, fmt.Errorf("column %q is missing: want %s", want, strings.Join(columns, ", "))
		}
	}
	return at, nil
}

type rowReader struct {
	at     map[string]int
	cat    *item.Catalogue
	vessel vessel.Vessel
}

func (rr rowReader) field(rec []string, name string) string {
	i, ok := rr.at[name]
	if !ok || i >= len(rec) {
		return ""
	}
	return strings.TrimSpace(rec[i])
}

// lot reads one row; false when nothing was left of the item.
func (rr rowReader) lot(rec []string) (Lot, bool, error) {
	id := rr.field(rec, "item")
	i, ok := rr.cat.Items[pricing.ItemID(id)]
	if !ok {
		return Lot{}, false, fmt.Errorf("column item: %s", unknownItem(id, rr.cat))
	}
	space := rr.field(rec, "space")
	if _, ok := rr.vessel.KindOf(space); !ok {
		return Lot{}, false, fmt.Errorf("column space: %s", unknownSpace(space, rr.vessel))
	}
	amount := rr.field(rec, "amount")
	if strings.Trim(amount, "0.,") == "" && strings.Contains(amount, "0") {
		return Lot{}, false, nil
	}
	q, err := measure.ParsePack(amount, i.Unit)
	if err != nil {
		return Lot{}, false, fmt.Errorf("column amount: %w", err)
	}
	best, err := dayOf(rr.field(rec, "best_before"))
	if err != nil {
		return Lot{}, false, fmt.Errorf("column best_before: %w", err)
	}
	l := Lot{Item: i.ID, Space: space, Quantity: q, BestBefore: best}
	if err := l.check(rr.cat, rr.vessel); err != nil {
		return Lot{}, false, fmt.Errorf("column amount: %w", err)
	}
	return l, true, nil
}

func dayOf(s string) (calendar.Day, error) {
	if s == "" {
		return 0, nil
	}
	return calendar.Parse(s)
}

func unknownSpace(space string, v vessel.Vessel) string {
	var ids []string
	for _, s := range v.Spaces {
		ids = append(ids, s.ID)
	}
	return fmt.Sprintf("%q is no space of this vessel: want one of %s", space, strings.Join(ids, ", "))
}

func unknownItem(id string, cat *item.Catalogue) string {
	msg := fmt.Sprintf("%q is no item of the catalogue", id)
	var near []string
	for _, i := range cat.Search(id, 3) {
		near = append(near, string(i.ID))
	}
	if len(near) > 0 {
		msg += "; nearest: " + strings.Join(near, ", ")
	}
	return msg
}

// WriteCount writes lots as the CSV that ReadCount reads.
func WriteCount(w io.Writer, lots []Lot, cat *item.Catalogue) error {
	c := csv.NewWriter(w)
	if err := c.Write(columns); err != nil {
		return err
	}
	for _, l := range lots {
		unit := cat.Items[l.Item].Unit
		if err := c.Write([]string{string(l.Item), l.Space, l.Quantity.Format(unit), l.BestBefore.String()}); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}
