package estimate

import "math"

// sum is what a cell's reports add up to. Weights are forward decayed (Cormode
// et al., ICDE 2009, 138–149): a report's grows with its day, so that older
// ones never need to be touched, and what is read is divided by today's. All
// are whole numbers, so that sums do not depend on the order of reports and
// one taken away leaves nothing behind.
type sum struct {
	recent        total // with the half-life of a cell's own deviation
	lasting       total // with a longer one, for the level of the port and the item
	noisy         int64 // Σ weight × decay, of the lasting: see effective
	found, looked int64 // for availability, of its own half-life
	newest        int32 // day of the newest price, 0 none
}

// total is Σ weight and Σ weight × log price.
type total struct{ w, wy int64 }

// Units of the sums: a report of weight 1 on the landmark's day counts
// weightUnit, and one 24 half-lives later 2²⁴ as much. Log prices are rounded
// to 1/logUnit, far below any interval. A cell has room for millions of reports
// of the day 12 half-lives after the landmark; beyond that add refuses.
const (
	weightUnit = 1 << 6
	logUnit    = 1 << 14
	mostDecay  = 24 // half-lives
	roomLeft   = math.MaxInt64 / 4
	// lasting sums forget this much more slowly.
	lastingTimes = 6
)

// decay says how weights grow.
type decay struct {
	landmark int32 // day on which a weight is 1
	halfLife float64
}

// before is the decay of which a day is so many half-lives after the landmark.
func before(day int32, halfLife float64) decay {
	return decay{day - int32(landmarkAge*halfLife), halfLife}
}

// at is the forward weight of a day, bounded at both ends.
func (d decay) at(day int32) float64 {
	return math.Exp2(min(max(float64(day-d.landmark)/d.halfLife, -6), mostDecay))
}

// whole is a weight in the sums' units.
func (d decay) whole(day int32, weight float64) int64 {
	return int64(math.Round(weightUnit * weight * d.at(day)))
}

func (t *total) add(w, q int64) { t.w, t.wy = t.w+w, t.wy+w*q }

func (t *total) full() bool { return t.w > roomLeft/logUnit || t.wy > roomLeft || t.wy < -roomLeft }

// mean log price, where there is any weight.
func (t *total) mean() float64 { return float64(t.wy) / float64(t.w) / logUnit }

// count is how many reports of weight 1 on the day it is worth.
func (t *total) count(d decay, day int32) float64 { return float64(t.w) / weightUnit / d.at(day) }

// add adds a price, sign times; false when the cell has no room.
func (s *sum) add(recent, lasting decay, day int32, y, weight float64, sign int64) bool {
	q := int64(math.Round(max(-16, min(y, 16)) * logUnit))
	next := *s
	next.recent.add(sign*recent.whole(day, weight), q)
	next.lasting.add(sign*lasting.whole(day, weight), q)
	next.noisy += sign * lasting.whole(day, weight*lasting.at(day)/noisyUnit)
	if next.recent.full() || next.lasting.full() || next.noisy > roomLeft {
		return false
	}
	*s = next
	return true
}

// noisyUnit keeps the sum for the noise in the range of the others.
const noisyUnit = 1 << landmarkAge

// effective is how many reports of weight 1 have the variance of the lasting
// mean: where the weights are what reports are worth and decay comes on top,
// (Σ weight × decay)² / Σ weight × decay².
func (s *sum) effective() float64 {
	if s.noisy <= 0 {
		return 0
	}
	w := float64(s.lasting.w) / weightUnit
	return w * w / (float64(s.noisy) / weightUnit * noisyUnit)
}

// seek adds a word on whether the thing was there.
func (s *sum) seek(d decay, day int32, found bool, weight float64, sign int64) {
	w := sign * d.whole(day, weight)
	s.looked += w
	if found {
		s.found += w
	}
}

// merge adds what another has of the cell.
func (s *sum) merge(o *sum) {
	s.recent = total{s.recent.w + o.recent.w, s.recent.wy + o.recent.wy}
	s.lasting = total{s.lasting.w + o.lasting.w, s.lasting.wy + o.lasting.wy}
	s.noisy += o.noisy
	s.found += o.found
	s.looked += o.looked
	s.newest = max(s.newest, o.newest)
}
