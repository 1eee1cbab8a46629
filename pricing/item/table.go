package item

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"slices"
	"strconv"
	"strings"
)

// table reads one CSV file of the catalogue and gathers what is wrong with it.
type table struct {
	file string
	errs []error
}

// row is a line of a table. Cells are asked for by column; a cell that is not
// as wanted is noted in the table with its line and column.
type row struct {
	t     *table
	cells map[string]cell
}

type cell struct {
	text         string
	line, column int
}

// each calls f for every row of a file whose header holds exactly columns.
func (t *table) each(files fs.FS, columns []string, f func(row)) error {
	in, err := files.Open(t.file)
	if err != nil {
		return fmt.Errorf("open %s: %w", t.file, err)
	}
	defer in.Close()
	r := csv.NewReader(in)
	header, err := r.Read()
	if err != nil || !slices.Equal(header, columns) {
		return fmt.Errorf("%s:1: want the columns %s", t.file, strings.Join(columns, ","))
	}
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return errors.Join(t.errs...)
		}
		if err != nil {
			return errors.Join(append(t.errs, fmt.Errorf("%s: %w", t.file, err))...)
		}
		cells := make(map[string]cell, len(columns))
		for k, c := range columns {
			line, column := r.FieldPos(k)
			cells[c] = cell{record[k], line, column}
		}
		f(row{t, cells})
	}
}

// fail notes that a cell is not as wanted.
func (r row) fail(column, want string) {
	c := r.cells[column]
	r.t.errs = append(r.t.errs, fmt.Errorf("%s:%d:%d: %s %q: want %s", r.t.file, c.line, c.column, column, c.text, want))
}

func (r row) text(column string) string { return r.cells[column].text }

// name is a text that must not be empty.
func (r row) name(column string) string {
	if strings.TrimSpace(r.text(column)) == "" {
		r.fail(column, "a text")
	}
	return r.text(column)
}

// number is a finite number between lo and hi.
func (r row) number(column string, lo, hi float64) float64 {
	v, err := strconv.ParseFloat(r.text(column), 64)
	if err != nil || math.IsNaN(v) || v < lo || v > hi {
		r.fail(column, fmt.Sprintf("a number from %g to %g", lo, hi))
		return lo
	}
	return v
}

// optional is a number that may be left out.
func (r row) optional(column string, lo, hi float64) *float64 {
	if r.text(column) == "" {
		return nil
	}
	v := r.number(column, lo, hi)
	return &v
}

// number0 is a number, or 0 where the cell is empty.
func (r row) number0(column string, lo, hi float64) float64 {
	if v := r.optional(column, lo, hi); v != nil {
		return *v
	}
	return 0
}

// choice is one of the words.
func (r row) choice(column string, words ...string) string {
	if !slices.Contains(words, r.text(column)) {
		r.fail(column, "one of "+strings.Join(words, ", "))
	}
	return r.text(column)
}
