package dataset

import (
	"io"
	"math"

	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/pricing/sheet"
)

var (
	portColumns = []string{"port", "name", "country", "latitude", "longitude"}
	itemColumns = []string{"item", "name", "category", "unit", "list_pack"}
)

func readPorts(r io.Reader, d *Dataset) ([]Rejection, error) {
	s, err := sheet.NewReader(r, "ports.csv", portColumns)
	if err != nil {
		return nil, err
	}
	rows := sheet.NewUnique[pricing.PortID, Port](s, 0)
	for s.Next() {
		p := readPort(s)
		rows.Add(p.ID, p)
	}
	d.Ports, _ = rows.Standing("one row for a port")
	return s.Rejected(), s.Err()
}

func readPort(s *sheet.Reader) Port {
	p := Port{ID: pricing.PortID(s.Required(0, "the id of a port")), Name: s.Text(1), Country: s.Text(2)}
	if !sheet.Country(p.Country) {
		s.Reject(2, "an ISO 3166-1 code of two capitals")
	}
	if s.Text(3) == "" && s.Text(4) == "" {
		return p
	}
	p.Placed = true
	p.Latitude = s.Number(3, -90, 90, "decimal degrees from -90 to 90, or both coordinates empty")
	p.Longitude = s.Number(4, -180, 180, "decimal degrees from -180 to 180, or both coordinates empty")
	return p
}

func readItems(r io.Reader, d *Dataset) ([]Rejection, error) {
	s, err := sheet.NewReader(r, "items.csv", itemColumns)
	if err != nil {
		return nil, err
	}
	rows := sheet.NewUnique[pricing.ItemID, Item](s, 0)
	for s.Next() {
		i := readItem(s)
		rows.Add(i.ID, i)
	}
	d.Items, _ = rows.Standing("one row for an item")
	return s.Rejected(), s.Err()
}

func readItem(s *sheet.Reader) Item {
	i := Item{
		ID: pricing.ItemID(s.Required(0, "the id of an item")), Name: s.Text(1), Category: s.Text(2), Unit: measure.Unit(s.Text(3)),
	}
	switch i.Unit {
	case measure.Kilogram, measure.Litre, measure.Each:
	default:
		s.Reject(3, "kg, L or each")
	}
	i.ListPack = quantity(s, 4, "the usual pack in units, a decimal number above 0")
	return i
}

// maxPack is far above any pack, in units, and keeps sums of them exact.
const maxPack = 1e6

func quantity(s *sheet.Reader, column int, expected string) measure.Quantity {
	x := s.Number(column, 0, maxPack, expected)
	q := measure.Quantity(math.Round(x * float64(measure.One)))
	if q <= 0 {
		s.Reject(column, expected)
	}
	return q
}
