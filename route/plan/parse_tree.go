package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

const (
	maxDocument = 64 << 20 // bytes; a brief of 150 needs and 30 stops has about 1 MB
	maxDepth    = 32       // the contract nests 8 deep
)

// treeKind names a JSON value the way a problem names it to people.
type treeKind string

const (
	treeObject treeKind = "an object"
	treeList   treeKind = "a list"
	treeNumber treeKind = "a number"
	treeText   treeKind = "a text"
	treeTruth  treeKind = "true or false"
	treeNull   treeKind = "null"
)

// tree is a JSON value read without deciding yet what it should be, so that
// every problem can be named with its path.
type tree struct {
	kind   treeKind
	text   string // of a number or a text
	names  []string
	values []tree // of an object, beside names, or of a list
}

var errDeep = fmt.Errorf("nested more than %d deep", maxDepth)

func readTree(r io.Reader, ps *problems) (tree, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxDocument+1))
	if err != nil {
		return tree{}, fmt.Errorf("read document: %w", err)
	}
	if len(data) > maxDocument {
		ps.add("", fmt.Sprintf("is longer than %d bytes", maxDocument), "a shorter document")
		return tree{kind: treeNull}, nil
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	t, err := readValue(d, 0)
	if err == nil {
		err = expectEnd(d)
	}
	if err != nil {
		line, column := lineColumn(data, d.InputOffset())
		ps.add("", fmt.Sprintf("cannot be read at line %d, column %d: %v", line, column, err), "one JSON document")
	}
	return t, nil
}

func expectEnd(d *json.Decoder) error {
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return errors.New("more follows the document")
	}
	return nil
}

func lineColumn(data []byte, offset int64) (line, column int) {
	before := data[:min(offset, int64(len(data)))]
	return bytes.Count(before, []byte{'\n'}) + 1, len(before) - bytes.LastIndexByte(before, '\n')
}

func readValue(d *json.Decoder, depth int) (tree, error) {
	token, err := d.Token()
	if err != nil {
		return tree{}, noEOF(err)
	}
	switch v := token.(type) {
	case json.Delim:
		if depth >= maxDepth {
			return tree{}, errDeep
		}
		if v == '{' {
			return readObject(d, depth+1)
		}
		return readList(d, depth+1)
	case json.Number:
		return tree{kind: treeNumber, text: v.String()}, nil
	case string:
		return tree{kind: treeText, text: v}, nil
	case bool:
		return tree{kind: treeTruth}, nil
	}
	return tree{kind: treeNull}, nil
}

func readObject(d *json.Decoder, depth int) (tree, error) {
	t := tree{kind: treeObject}
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return t, noEOF(err)
		}
		value, err := readValue(d, depth)
		if err != nil {
			return t, err
		}
		t.names = append(t.names, fmt.Sprint(name))
		t.values = append(t.values, value)
	}
	_, err := d.Token()
	return t, noEOF(err)
}

func readList(d *json.Decoder, depth int) (tree, error) {
	t := tree{kind: treeList}
	for d.More() {
		value, err := readValue(d, depth)
		if err != nil {
			return t, err
		}
		t.values = append(t.values, value)
	}
	_, err := d.Token()
	return t, noEOF(err)
}

// noEOF turns an end that comes too early into a plain error: io.EOF would
// read as success further up.
func noEOF(err error) error {
	if errors.Is(err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return err
}
