package port

import (
	"encoding/csv"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"
)

// row is a line of a CSV file of the seed; the first problem met in it stays in err.
type row struct {
	file  string
	line  int
	cells map[string]string
	err   error
}

// readTable reads a CSV file whose header holds exactly columns.
func readTable(files fs.FS, file string, columns ...string) ([]*row, error) {
	f, err := files.Open(file)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", file, err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	records, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", file, err)
	}
	if len(records) == 0 || !slices.Equal(records[0], columns) {
		return nil, fmt.Errorf("read %s: want the columns %s in line 1", file, strings.Join(columns, ","))
	}
	rows := make([]*row, 0, len(records)-1)
	for i, record := range records[1:] {
		cells := make(map[string]string, len(columns))
		for k, c := range columns {
			cells[c] = record[k]
		}
		rows = append(rows, &row{file: file, line: i + 2, cells: cells})
	}
	return rows, nil
}

func (r *row) text(column string) string { return r.cells[column] }

func (r *row) number(column string) float64 {
	v, err := strconv.ParseFloat(r.cells[column], 64)
	if err != nil {
		r.fail(fmt.Errorf("%s %q: want a number", column, r.cells[column]))
	}
	return v
}

func (r *row) list(column string) []string {
	if r.cells[column] == "" {
		return nil
	}
	return strings.Split(r.cells[column], ";")
}

func (r *row) fail(err error) {
	if err != nil && r.err == nil {
		r.err = fmt.Errorf("read %s, record %d: %w", r.file, r.line, err)
	}
}
