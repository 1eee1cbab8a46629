package port

import (
	"fmt"
	"io/fs"
)

// Level is the price level of household consumption in a country, 1 being the
// United States in 2011 at that year's exchange rates.
type Level struct {
	Country string
	Level   float64
	Year    int    // of the figure; 0 for a guess
	Basis   string // read, or guess
	Source  string // where a figure is from, or what a guess leans on
}

// LoadLevels reads price-levels.csv, by ISO 3166-1 country.
func LoadLevels(files fs.FS) (map[string]Level, error) {
	rows, err := readTable(files, "price-levels.csv", "country", "level", "year", "basis", "source")
	if err != nil {
		return nil, err
	}
	levels := map[string]Level{}
	for _, w := range rows {
		l := Level{Country: w.text("country"), Level: w.number("level"), Basis: w.text("basis"), Source: w.text("source")}
		if w.text("year") != "" {
			l.Year = int(w.number("year"))
		}
		if !(l.Level > 0.05 && l.Level < 5) {
			w.fail(fmt.Errorf("level %v: want 0.05 to 5", l.Level))
		}
		if _, twice := levels[l.Country]; twice {
			w.fail(fmt.Errorf("country %q is there already", l.Country))
		}
		if w.err != nil {
			return nil, w.err
		}
		levels[l.Country] = l
	}
	return levels, nil
}
