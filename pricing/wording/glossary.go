package wording

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
)

// Glossary has the names of the catalogue's things in one language: by kind
// (item, need, pack, hint, note) and what they are called or known by.
type Glossary map[string]map[string]string

// Name is what a thing is called, or how it is called otherwise.
func (g Glossary) Name(kind, id, otherwise string) string {
	if name, ok := g[kind][id]; ok {
		return name
	}
	return otherwise
}

var columns = []string{"kind", "id", "name"}

// Glossaries reads words-LANGUAGE.csv of every language there is, with columns
// kind, id and name. The error names file, line and what is wanted there.
func Glossaries(files fs.FS) (map[string]Glossary, error) {
	names, err := fs.Glob(files, "words-*.csv")
	if err != nil {
		return nil, err
	}
	out := map[string]Glossary{}
	for _, name := range names {
		f, err := files.Open(name)
		if err != nil {
			return nil, err
		}
		g, err := read(f)
		if err := errors.Join(err, f.Close()); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		out[strings.TrimSuffix(strings.TrimPrefix(name, "words-"), ".csv")] = g
	}
	return out, nil
}

func read(r io.Reader) (Glossary, error) {
	c := csv.NewReader(r)
	c.FieldsPerRecord = len(columns)
	g := Glossary{}
	for first := true; ; first = false {
		row, err := c.Read()
		switch {
		case errors.Is(err, io.EOF):
			return g, nil
		case err != nil:
			return nil, err
		case first && !slices.Equal(row, columns):
			return nil, fmt.Errorf("line 1: found %q, want %q", row, columns)
		case first:
			continue
		}
		line, _ := c.FieldPos(0)
		kind, id, name := row[0], row[1], row[2]
		if kind == "" || id == "" || strings.TrimSpace(name) == "" {
			return nil, fmt.Errorf("line %d: found %q, want kind, id and name", line, row)
		}
		if _, twice := g[kind][id]; twice {
			return nil, fmt.Errorf("line %d: found %s %q again, want it once", line, kind, id)
		}
		if g[kind] == nil {
			g[kind] = map[string]string{}
		}
		g[kind][id] = name
	}
}
