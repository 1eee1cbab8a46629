package dataset

import (
	"io"

	"hardtack/pricing"
	"hardtack/pricing/sheet"
)

// ReadPairs reads the columns port, item, day of what is asked. Errors:
// ErrRefused or of r.
func ReadPairs(r io.Reader, file string, d Dataset) ([]Pair, []Rejection, error) {
	s, err := sheet.NewReader(r, file, []string{"port", "item", "day"})
	if err != nil {
		return nil, nil, err
	}
	hasPort, hasItem := d.hasPort(), d.hasItem()
	var pairs []Pair
	for s.Next() {
		p := Pair{pricing.PortID(s.Text(0)), pricing.ItemID(s.Text(1)), s.Day(2)}
		if !hasPort(p.Port) {
			s.Reject(0, "the id of a port in ports.csv")
		}
		if !hasItem(p.Item) {
			s.Reject(1, "the id of an item in items.csv")
		}
		if !s.Bad() {
			pairs = append(pairs, p)
		}
	}
	return pairs, s.Rejected(), s.Err()
}
