package sheet

import (
	"fmt"
	"slices"
)

// Unique keeps rows by a key: identical rows with one key count once, and of
// rows that contradict each other none stands.
type Unique[K, V comparable] struct {
	s      *Reader
	column string
	at     map[K]int
	keys   []K
	rows   []V
	lines  []int
	again  map[int][]int // lines of further rows, by place of the first
	differ map[int]bool
}

// NewUnique keeps rows of s; rejections name the column.
func NewUnique[K, V comparable](s *Reader, column int) *Unique[K, V] {
	return &Unique[K, V]{s: s, column: s.columns[column], at: map[K]int{}, again: map[int][]int{}, differ: map[int]bool{}}
}

// Add adds the row s is at, unless it was rejected.
func (u *Unique[K, V]) Add(k K, v V) {
	if u.s.bad {
		return
	}
	at, there := u.at[k]
	if !there {
		u.at[k] = len(u.rows)
		u.keys, u.rows, u.lines = append(u.keys, k), append(u.rows, v), append(u.lines, u.s.line)
		return
	}
	u.again[at] = append(u.again[at], u.s.line)
	if u.rows[at] != v {
		u.differ[at] = true
	}
}

// Standing gives the rows that stand, in the order of the file, each with its
// line, and rejects the others on the reader.
func (u *Unique[K, V]) Standing(expected string) (rows []V, lines []int) {
	kept := 0
	for k := range u.rows {
		if u.differ[k] {
			for _, line := range append(u.again[k], u.lines[k]) {
				u.s.RejectAt(line, u.column, fmt.Sprint(u.keys[k]), expected)
			}
			continue
		}
		u.rows[kept], u.lines[kept] = u.rows[k], u.lines[k]
		kept++
	}
	return slices.Clip(u.rows[:kept]), u.lines[:kept]
}

// RejectAt rejects a row read earlier.
func (s *Reader) RejectAt(line int, column, found, expected string) {
	s.rejected = append(s.rejected, Rejection{s.file, line, column, shorten(found), expected})
}

// Rejected are the rows not taken, in the order of lines.
func (s *Reader) Rejected() []Rejection {
	slices.SortStableFunc(s.rejected, func(a, b Rejection) int { return a.Line - b.Line })
	return s.rejected
}

// TakeRejected gives them and forgets them, so that a file can be read in
// portions.
func (s *Reader) TakeRejected() []Rejection {
	out := s.Rejected()
	s.rejected = nil
	return out
}
