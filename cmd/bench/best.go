package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"sort"
	"strconv"
)

// best holds the lowest totals known and where they come from.
type best map[string]record

type record struct {
	total  float64
	source string
}

// readBest reads the file; none is an empty one.
func readBest(file string) (best, error) {
	b := best{}
	f, err := os.Open(file)
	if errors.Is(err, fs.ErrNotExist) {
		return b, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	for line, row := range rows {
		if line == 0 {
			continue
		}
		total, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			return nil, fmt.Errorf("%s line %d: total %q: expected a number", file, line+1, row[1])
		}
		b[row[0]] = record{total, row[2]}
	}
	return b, nil
}

// note keeps a total when it is lower than the one known.
func (b best) note(name string, total float64, source string) {
	if old, ok := b[name]; !ok || total < old.total*(1-1e-7) {
		b[name] = record{total, source}
	}
}

func (b best) total(name string) float64 { return b[name].total }

func (b best) write(file string) error {
	f, err := os.Create(file)
	if err != nil {
		return err
	}
	w := csv.NewWriter(f)
	rows := [][]string{{"brief", "total", "source"}}
	for name, r := range b {
		rows = append(rows, []string{name, strconv.FormatFloat(r.total, 'f', 4, 64), r.source})
	}
	sort.Slice(rows[1:], func(i, j int) bool { return rows[1+i][0] < rows[1+j][0] })
	if err := w.WriteAll(rows); err != nil {
		return errors.Join(err, f.Close())
	}
	return f.Close()
}
