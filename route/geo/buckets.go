package geo

import "math"

const (
	bucketsPerDegree = 4
	bucketCols       = 360 * bucketsPerDegree
	bucketRows       = 180 * bucketsPerDegree
)

// buckets finds the coast's segments near a place: for each quarter degree
// the segments whose box touches it.
type buckets struct {
	first []int32 // bucketRows*bucketCols+1 offsets into segs
	segs  []int32 // a segment is the index of its first point
}

func newBuckets(points []Position, joined []bool) buckets {
	b := buckets{first: make([]int32, bucketRows*bucketCols+1)}
	each := func(visit func(bucket int, seg int32)) {
		for i, ok := range joined {
			if ok {
				eachBucket(points[i], points[i+1], func(k int) { visit(k, int32(i)) })
			}
		}
	}
	each(func(k int, _ int32) { b.first[k]++ })
	for k := range bucketRows * bucketCols {
		b.first[k+1] += b.first[k] // now where bucket k ends
	}
	b.segs = make([]int32, b.first[len(b.first)-1])
	each(func(k int, seg int32) { // filled from its end down to its beginning
		b.first[k]--
		b.segs[b.first[k]] = seg
	})
	return b
}

func (b *buckets) at(k int) []int32 { return b.segs[b.first[k]:b.first[k+1]] }

// eachBucket visits the buckets that the box around p and q touches.
func eachBucket(p, q Position, visit func(int)) {
	x0, x1 := bucketCol(math.Min(p.Lon, q.Lon)), bucketCol(math.Max(p.Lon, q.Lon))
	y0, y1 := bucketRow(math.Min(p.Lat, q.Lat)), bucketRow(math.Max(p.Lat, q.Lat))
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			visit(y*bucketCols + wrap(x, bucketCols))
		}
	}
}

// bucketCol is not wrapped, so that a box across the antimeridian stays whole.
func bucketCol(lon float64) int { return int(math.Floor((lon + 180) * bucketsPerDegree)) }

func bucketRow(lat float64) int {
	return min(max(int(math.Floor((lat+90)*bucketsPerDegree)), 0), bucketRows-1)
}

func wrap(x, n int) int {
	if x %= n; x < 0 {
		x += n
	}
	return x
}
