// Package dataset reads and writes the port price dataset: ports, items,
// rates and reports in, estimates out, as a folder of CSV files.
//
// A row that cannot be read is told with file, line, column, what was found
// and what was expected, and nothing of it is used; a bad header refuses the
// file. The order of rows never matters.
package dataset

import (
	"fmt"
	"io/fs"

	"hardtack/pricing"
	"hardtack/pricing/fx"
	"hardtack/pricing/measure"
	"hardtack/pricing/sheet"
)

// Rejection is why a row was not taken.
type Rejection = sheet.Rejection

// ErrRefused says that a file was refused as a whole.
var ErrRefused = sheet.ErrRefused

// Refusal is an ErrRefused with its place.
type Refusal = sheet.Refusal

// Port is a row of ports.csv.
type Port struct {
	ID                  pricing.PortID
	Name                string
	Country             string // ISO 3166-1 alpha-2
	Latitude, Longitude float64
	Placed              bool // false when the position is not given
}

// Item is a row of items.csv.
type Item struct {
	ID       pricing.ItemID
	Name     string
	Category string
	Unit     measure.Unit
	ListPack measure.Quantity
}

// Dataset is all of it, in the order of the files.
type Dataset struct {
	Ports   []Port
	Items   []Item
	Rates   fx.Rates
	Reports []pricing.Report
	Outside
}

// Outside is what is known of places beside the dataset; each may be nil.
type Outside struct {
	Apart func(a, b Port) float64      // distance in nautical miles of two ports that are placed
	Level func(country string) float64 // of prices, 0 unknown
}

// Read reads ports.csv, items.csv, rates.csv and reports.csv. Errors:
// ErrRefused, fs.ErrNotExist, or of files.
func Read(files fs.FS) (Dataset, []Rejection, error) {
	var d Dataset
	ctx := Context{File: "reports.csv"}
	var rejected []Rejection
	err := each(files, &rejected, []part{
		{"ports.csv", func(f fs.File) ([]Rejection, error) { return readPorts(f, &d) }},
		{"items.csv", func(f fs.File) ([]Rejection, error) { return readItems(f, &d) }},
		{"rates.csv", func(f fs.File) (bad []Rejection, err error) {
			d.Rates, bad, err = fx.ReadRows(f, "rates.csv")
			return bad, err
		}},
		{"reports.csv", func(f fs.File) ([]Rejection, error) {
			ctx.Rates, ctx.Port, ctx.Item = d.Rates, d.hasPort(), d.hasItem()
			p, err := ParseReports(f, ctx)
			d.Reports = p.Reports
			return p.Rejected, err
		}},
	})
	if err != nil {
		return Dataset{}, nil, err
	}
	return d, rejected, nil
}

type part struct {
	name string
	read func(fs.File) ([]Rejection, error)
}

func each(files fs.FS, rejected *[]Rejection, parts []part) error {
	for _, p := range parts {
		f, err := files.Open(p.name)
		if err != nil {
			return fmt.Errorf("read the dataset: %w", err)
		}
		bad, err := p.read(f)
		if closed := f.Close(); err == nil {
			err = closed
		}
		if err != nil {
			return fmt.Errorf("read the dataset: %w", err)
		}
		*rejected = append(*rejected, bad...)
	}
	return nil
}

func (d *Dataset) hasPort() func(pricing.PortID) bool {
	known := make(map[pricing.PortID]bool, len(d.Ports))
	for _, p := range d.Ports {
		known[p.ID] = true
	}
	return func(id pricing.PortID) bool { return known[id] }
}

func (d *Dataset) hasItem() func(pricing.ItemID) bool {
	known := make(map[pricing.ItemID]bool, len(d.Items))
	for _, i := range d.Items {
		known[i.ID] = true
	}
	return func(id pricing.ItemID) bool { return known[id] }
}
