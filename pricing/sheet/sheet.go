// Package sheet reads CSV files with a header (RFC 4180, UTF-8) row by row and
// says of every row it cannot take where and why: file, line, column, what was
// found, what was expected. A bad header refuses the file as a whole.
package sheet

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// ErrRefused says that a file was refused as a whole: nothing of it was used.
var ErrRefused = errors.New("file refused")

// Refusal is an ErrRefused with its place and what was wrong and expected there.
type Refusal struct {
	File string
	Line int
	Why  string
}

// Error is place, kind and reason in one line.
func (r *Refusal) Error() string {
	return fmt.Sprintf("%s line %d: %v: %s", r.File, r.Line, ErrRefused, r.Why)
}

// Unwrap makes errors.Is hold for ErrRefused.
func (r *Refusal) Unwrap() error { return ErrRefused }

// Rejection is why one row was not taken. Line counts from 1, the header.
type Rejection struct {
	File     string `json:"file"`
	Line     int    `json:"line"`
	Column   string `json:"column"`
	Found    string `json:"found"`
	Expected string `json:"expected"`
}

// Error makes a Rejection usable as an error where one bad row spoils all.
func (r Rejection) Error() string {
	return fmt.Sprintf("%s line %d, column %s: found %q, expected %s", r.File, r.Line, r.Column, r.Found, r.Expected)
}

// What one row, and the header, may take of the file, in bytes. A header of
// nothing but commas takes 24 times its size.
const (
	maxRow    = 1 << 20
	maxHeader = 64 << 10
)

// Reader reads one file. Columns are addressed by their place in the list
// given to NewReader.
type Reader struct {
	file    string
	columns []string
	place   []int // of each column in the record, -1 when an optional one is missing
	csv     *csv.Reader
	limit   *limited
	record  []string
	line    int
	bad     bool
	err     error

	rejected []Rejection
}

// NewReader reads the header. All columns must be there, in any order; those
// of optional may be; no other. The error is ErrRefused or of r.
func NewReader(r io.Reader, file string, columns []string, optional ...string) (*Reader, error) {
	l := &limited{r: r, left: maxHeader}
	b := bufio.NewReader(l)
	if mark, _ := b.Peek(3); string(mark) == "\ufeff" {
		_, _ = b.Discard(3) // peeked already
	}
	s := &Reader{file: file, columns: slices.Concat(columns, optional), csv: csv.NewReader(b), limit: l}
	header, err := s.csv.Read()
	if errors.Is(err, io.EOF) {
		return nil, s.refuse(1, "the file is empty; want the columns "+strings.Join(columns, ","))
	}
	if err != nil {
		return nil, s.broken(err, maxHeader)
	}
	if err := s.arrange(header, len(columns)); err != nil {
		return nil, err
	}
	s.csv.FieldsPerRecord = -1 // counted here: a short row rejects itself, not the file
	return s, nil
}

func (s *Reader) refuse(line int, why string) error {
	return &Refusal{s.file, line, why}
}

// broken turns an error of the reader below into one of the file; limit is
// what the row might have had, in bytes.
func (s *Reader) broken(err error, limit int) error {
	var p *csv.ParseError
	switch {
	case errors.Is(err, errLong):
		return s.refuse(s.line+1, fmt.Sprintf("a row of more than %d bytes, or a quote that is never closed", limit))
	case errors.As(err, &p):
		return s.refuse(p.StartLine, p.Err.Error())
	}
	return fmt.Errorf("read %s: %w", s.file, err)
}

func (s *Reader) arrange(header []string, required int) error {
	s.place = make([]int, len(s.columns))
	for k, c := range s.columns {
		s.place[k] = slices.Index(header, c)
		if s.place[k] < 0 && k < required {
			return s.refuse(1, fmt.Sprintf("column %q is missing; want %s", c, strings.Join(s.columns[:required], ",")))
		}
	}
	for k, h := range header {
		if !slices.Contains(s.columns, h) {
			return s.refuse(1, fmt.Sprintf("unknown column %q; want %s", h, strings.Join(s.columns[:required], ",")))
		}
		if slices.Contains(header[:k], h) {
			return s.refuse(1, fmt.Sprintf("column %q is there twice", h))
		}
	}
	return nil
}

// Next goes to the next row that is well formed; false at the end, see Err.
func (s *Reader) Next() bool {
	width := 0
	for _, p := range s.place {
		if p >= 0 {
			width++
		}
	}
	for s.err == nil {
		s.limit.left = maxRow
		record, err := s.csv.Read()
		s.bad = false
		var p *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			return false
		case errors.As(err, &p):
			s.line = p.StartLine
			s.reject("", p.Err.Error(), "fields as RFC 4180 quotes them")
			continue
		case err != nil:
			s.err = s.broken(err, maxRow)
			return false
		}
		s.record = record
		s.line, _ = s.csv.FieldPos(0)
		if len(record) != width {
			s.reject("", fmt.Sprintf("%d fields", len(record)), fmt.Sprintf("%d fields", width))
			continue
		}
		if k := slices.IndexFunc(record, func(f string) bool { return !utf8.ValidString(f) }); k >= 0 {
			s.reject(s.columns[slices.Index(s.place, k)], strings.ToValidUTF8(record[k], "\uFFFD"), "UTF-8")
			continue
		}
		return true
	}
	return false
}

// Err is what ended the reading early: ErrRefused or an error of the file.
func (s *Reader) Err() error { return s.err }

// Line is the line the row begins on.
func (s *Reader) Line() int { return s.line }

// Bad says whether the row was rejected.
func (s *Reader) Bad() bool { return s.bad }

// Text is the field of a column, empty when an optional column is missing.
func (s *Reader) Text(column int) string {
	if s.place[column] < 0 {
		return ""
	}
	return s.record[s.place[column]]
}

// Reject rejects the row for the field of a column. Only the first fault of a
// row counts.
func (s *Reader) Reject(column int, expected string) {
	s.reject(s.columns[column], s.Text(column), expected)
}

func (s *Reader) reject(column, found, expected string) {
	if s.bad {
		return
	}
	s.bad = true
	s.RejectAt(s.line, column, found, expected)
}

// shorten keeps a message readable when the field is a novel.
func shorten(s string) string {
	if r := []rune(s); len(r) > 80 {
		return string(r[:79]) + "…"
	}
	return s
}

var errLong = errors.New("row too long")

// limited fails once more than left bytes were read; left is renewed with
// every row.
type limited struct {
	r    io.Reader
	left int
}

func (l *limited) Read(p []byte) (int, error) {
	if l.left <= 0 {
		return 0, errLong
	}
	n, err := l.r.Read(p)
	l.left -= n
	return n, err
}
