package estimate

import "math"

// A price has jumped, and nobody was mistaken, when two different reporters
// who are believed within jumpDays agree with each other and both are far from what the cell
// made one expect.
const (
	jumpDays  = 60
	jumpAgree = 0.15
	jumpFar   = 2.5 // standard deviations, each of the two
)

// jumps finds the sights before which their cell's price jumped.
func (f *fit) jumps() {
	for k := range f.cells {
		c := &f.cells[k]
		if c.to-c.from < 4 {
			continue
		}
		own, rest := f.sights[c.from:c.to], f.rest[c.from:c.to]
		for j := range own {
			own[j].jump = false
		}
		f.findJumps(f.of(c.item), own, rest, f.doubt.level(c.port, c.item))
	}
}

// findJumps filters forwards, and starts anew at every jump.
func (f *fit) findJumps(p process, own []sight, rest []float64, level float64) {
	mean, v, heard := 0.0, p.cell2, 0.0
	for k := range own {
		o := &own[k]
		if k > 0 {
			fade := p.between(&own[k-1], o)
			mean, v = fade*mean, p.cell2-fade*fade*(p.cell2-v)
		}
		if o.held || o.remark {
			continue
		}
		if heard >= 2 && f.jumped(own[k:], rest[k:], mean, v+level) {
			o.jump = true
			mean, v, heard = afterJump*mean, p.cell2-afterJump*afterJump*(p.cell2-v), 0
		}
		n := p.noise(o)
		mean += v / (v + n) * (rest[k] - mean)
		v *= n / (v + n)
		heard += o.share
	}
}

// jumped looks for a second reporter who agrees with the first of the sights.
func (f *fit) jumped(own []sight, rest []float64, mean, v float64) bool {
	sd := math.Sqrt(v + f.noise2)
	if math.Abs(rest[0]-mean) < jumpFar*sd || f.trust[own[0].reporter] < 0.5 {
		return false
	}
	for k := 1; k < len(own) && own[k].day-own[0].day <= jumpDays; k++ {
		o := &own[k]
		if o.held || o.remark || o.reporter == own[0].reporter || f.trust[o.reporter] < 0.5 {
			continue
		}
		if math.Abs(rest[k]-rest[0]) < jumpAgree {
			return true
		}
	}
	return false
}
