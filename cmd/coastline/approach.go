package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strconv"

	"hardtack/route/geo"
)

// reach is how far a river or lagoon port may be from open water.
const reach geo.NauticalMiles = 200

// approach copies a ports file with approach_lat and approach_lon set to the
// open water nearest to the port.
func approach(seed fs.FS, in io.Reader, out io.Writer) error {
	coast, err := geo.LoadCoast(seed)
	if err != nil {
		return err
	}
	rows, err := csv.NewReader(in).ReadAll()
	if err != nil {
		return err
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	for _, row := range rows[1:] {
		port, err := position(row[column["latitude"]], row[column["longitude"]])
		if err != nil {
			return fmt.Errorf("port %s: %w", row[0], err)
		}
		p, ok := coast.OpenWater(port, reach)
		if !ok {
			return fmt.Errorf("port %s: no open water within %v nm", row[0], reach)
		}
		row[column["approach_lat"]] = strconv.FormatFloat(p.Lat, 'f', 3, 64)
		row[column["approach_lon"]] = strconv.FormatFloat(p.Lon, 'f', 3, 64)
		if d := geo.Distance(port, p); d > 5 {
			fmt.Fprintf(os.Stderr, "%s %s: %.1f nm off\n", row[0], row[1], d)
		}
	}
	w := csv.NewWriter(out)
	return w.WriteAll(rows)
}

func position(lat, lon string) (geo.Position, error) {
	la, err := strconv.ParseFloat(lat, 64)
	if err != nil {
		return geo.Position{}, err
	}
	lo, err := strconv.ParseFloat(lon, 64)
	if err != nil {
		return geo.Position{}, err
	}
	p := geo.Position{Lat: la, Lon: lo}
	return p, p.Check()
}
