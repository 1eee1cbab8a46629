package estimate

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"iter"
	"slices"

	"hardtack/pricing"
)

// ErrSums is a part of sums that cannot be of the model it is given to.
var ErrSums = errors.New("not sums of this model")

// partSize is about how many bytes a part of the sums has.
const partSize = 1 << 20

// probes is how many reports show what sums a basis makes of them.
const probes = 500

// Print tells bases apart: two of one print make the same sums of the same
// reports. Probe is some reports, the same for both; the first by id are used.
func Print(basis *Model, probe []pricing.Report) string {
	sorted := slices.SortedFunc(slices.Values(probe), func(a, b pricing.Report) int { return cmp.Compare(a.ID, b.ID) })
	l, sum := NewLarge(basis), sha256.New()
	fmt.Fprintf(sum, "%d %d %d %d %d\n", l.in.Day, weightUnit, logUnit, l.ports, l.items)
	for _, p := range l.portOf {
		fmt.Fprintf(sum, "%q\n", p.ID)
	}
	for _, i := range l.itemOf {
		fmt.Fprintf(sum, "%q %q\n", i.ID, i.Category)
	}
	for k := range sorted[:min(probes, len(sorted))] {
		if err := l.Change(nil, sorted[k:k+1]); err != nil {
			break // a pair is full of them: as telling as any
		}
	}
	for part := range l.Parts() {
		sum.Write(part)
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// Parts are the sums as bytes, to be given to Load of another with the same
// basis, in any order. A part is only good until the next.
func (l *Large) Parts() iter.Seq[[]byte] {
	return func(yield func([]byte) bool) {
		var part []byte
		for port, row := range l.rows {
			for item := range row {
				if row[item] != (sum{}) {
					part = row[item].append(part, port, item)
				}
			}
			if len(part) >= partSize {
				if !yield(part) {
					return
				}
				part = part[:0]
			}
		}
		if len(part) > 0 {
			yield(part)
		}
	}
}

func (s *sum) append(b []byte, port, item int) []byte {
	b = binary.AppendUvarint(binary.AppendUvarint(b, uint64(port)), uint64(item))
	for _, n := range s.numbers() {
		b = binary.AppendVarint(b, *n)
	}
	return binary.AppendVarint(b, int64(s.newest))
}

func (s *sum) numbers() []*int64 {
	return []*int64{&s.recent.w, &s.recent.wy, &s.lasting.w, &s.lasting.wy, &s.noisy, &s.found, &s.looked}
}

// Load takes in a part of the sums. The error is ErrSums; some of the part may
// be taken in then, and the Large is of no use any more.
func (l *Large) Load(part []byte) error {
	for len(part) > 0 {
		port, rest := uvarint(part)
		item, rest := uvarint(rest)
		if rest == nil || port >= uint64(l.ports) || item >= uint64(l.items) {
			return fmt.Errorf("%w: no such pair", ErrSums)
		}
		var s sum
		for _, n := range s.numbers() {
			*n, rest = varint(rest)
		}
		newest, rest := varint(rest)
		s.newest = int32(newest)
		c := l.cellOf(int32(port), int32(item))
		if rest == nil || *c != (sum{}) || s.recent.full() || s.lasting.full() || s.noisy > roomLeft {
			return fmt.Errorf("%w: pair %d, %d", ErrSums, port, item)
		}
		*c, part = s, rest
	}
	return nil
}

// uvarint reads a number; rest is nil when there is none, as ever after.
func uvarint(b []byte) (n uint64, rest []byte) {
	n, size := binary.Uvarint(b)
	if size <= 0 {
		return 0, nil
	}
	return n, after(b, size)
}

func varint(b []byte) (n int64, rest []byte) {
	n, size := binary.Varint(b)
	if size <= 0 {
		return 0, nil
	}
	return n, after(b, size)
}

// after is what is left, never nil.
func after(b []byte, size int) []byte { return b[size:len(b):len(b)] }
