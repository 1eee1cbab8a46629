package geo

import (
	"bufio"
	"compress/gzip"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
)

// ErrCoast marks a coastline file that cannot be read.
var ErrCoast = errors.New("malformed coastline")

// Grid is how finely a coastline's positions are kept: a position is
// Origin + count × Step in each direction. Turn is a full circle of longitude
// in steps.
type Grid struct {
	LonOrigin, LatOrigin float64
	LonStep, LatStep     float64
	Turn                 int64
}

// GridPoint is a position in steps of a Grid.
type GridPoint struct{ X, Y int64 }

const (
	magic     = "hardtack coast 1\n"
	maxRings  = 1 << 20
	maxPoints = 1 << 23
)

// WriteCoast packs closed rings (first point = last) for LoadCoast: magic,
// grid, then for every ring its length and the differences from point to
// point as zigzag varints, at last one bit per tile of the sea chart, the
// whole under gzip. Differences are taken the short way round the Earth.
func WriteCoast(w io.Writer, g Grid, rings [][]GridPoint) error {
	z, err := gzip.NewWriterLevel(w, gzip.BestCompression)
	if err != nil {
		return err
	}
	c := newCoast(unpack(g, rings))
	if _, err := z.Write(encode(g, rings, c.referenceBits())); err != nil {
		return err
	}
	return z.Close()
}

func encode(g Grid, rings [][]GridPoint, bits []byte) []byte {
	out := []byte(magic)
	for _, f := range []float64{g.LonOrigin, g.LatOrigin, g.LonStep, g.LatStep} {
		out = binary.LittleEndian.AppendUint64(out, floatBits(f))
	}
	out = binary.AppendVarint(out, g.Turn)
	out = binary.AppendUvarint(out, uint64(len(rings)))
	for _, ring := range rings {
		out = binary.AppendUvarint(out, uint64(len(ring)))
		var last GridPoint
		for _, p := range ring {
			out = binary.AppendVarint(out, shortWay(p.X-last.X, g.Turn))
			out = binary.AppendVarint(out, p.Y-last.Y)
			last = p
		}
	}
	return append(out, bits...)
}

// shortWay brings a difference of longitudes into half a turn either way.
func shortWay(dx, turn int64) int64 {
	switch {
	case turn <= 0:
		return dx
	case dx > turn/2:
		return dx - turn
	case dx < -turn/2:
		return dx + turn
	}
	return dx
}

// decode reads what encode wrote. Rings come back unwrapped: longitudes run
// on beyond ±180 where a ring crosses the antimeridian.
func decode(r io.Reader) (Grid, [][]GridPoint, []byte, error) {
	d := &decoder{r: bufio.NewReader(r)}
	head := make([]byte, len(magic))
	d.full(head)
	if d.err == nil && string(head) != magic {
		d.err = errors.New("not a coastline file")
	}
	g := Grid{LonOrigin: d.float(), LatOrigin: d.float(), LonStep: d.float(), LatStep: d.float(), Turn: d.varint()}
	n := d.count(maxRings)
	var rings [][]GridPoint
	total := 0
	for range n {
		k := d.count(maxPoints - total)
		total += k
		if d.err != nil {
			break
		}
		rings = append(rings, d.ring(k))
	}
	bits := make([]byte, (tileCount+7)/8)
	d.full(bits)
	if d.err != nil {
		return Grid{}, nil, nil, fmt.Errorf("%w: %w", ErrCoast, d.err)
	}
	return g, rings, bits, nil
}

type decoder struct {
	r   *bufio.Reader
	err error
}

func (d *decoder) full(b []byte) {
	if d.err == nil {
		_, d.err = io.ReadFull(d.r, b)
	}
}

func (d *decoder) float() float64 {
	var b [8]byte
	d.full(b[:])
	return floatFrom(binary.LittleEndian.Uint64(b[:]))
}

func (d *decoder) varint() int64 {
	if d.err != nil {
		return 0
	}
	var v int64
	v, d.err = binary.ReadVarint(d.r)
	return v
}

func (d *decoder) count(most int) int {
	if d.err != nil {
		return 0
	}
	var v uint64
	if v, d.err = binary.ReadUvarint(d.r); d.err == nil && v > uint64(most) {
		d.err = fmt.Errorf("count %d is over the limit of %d", v, most)
	}
	if d.err != nil {
		return 0
	}
	return int(v)
}

func (d *decoder) ring(n int) []GridPoint {
	ring := make([]GridPoint, 0, min(n, 1<<16))
	var p GridPoint
	for range n {
		p.X += d.varint()
		p.Y += d.varint()
		if d.err != nil {
			return nil
		}
		ring = append(ring, p)
	}
	return ring
}
