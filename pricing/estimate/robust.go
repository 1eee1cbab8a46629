package estimate

import (
	"math"
	"slices"
)

// studentWeight is the weight of a report whose squared residual is e2 times
// its variance, under Student's t with nu degrees of freedom (Lange, Little &
// Taylor, JASA 84, 1989, 881–896).
func studentWeight(e2 float64) float64 { return (nu + 1) / (nu + e2) }

// median of x, of an even number the mean of the middle two; 0 of none. It
// sorts x.
func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	slices.Sort(x)
	h := len(x) / 2
	if len(x)%2 == 1 {
		return x[h]
	}
	return (x[h-1] + x[h]) / 2
}

// huberK bounds the pull of one value at this many standard deviations.
const huberK = 1.5

// huber is the M-estimate of location with the scale fixed at the normalised
// median absolute deviation, and that scale (P. J. Huber, Ann. Math. Statist.
// 35, 1964, 73–101). Of values most of which agree it is their median. It sorts
// x.
func huber(x []float64) (location, scale float64) {
	location = median(x)
	off := make([]float64, len(x))
	for k, v := range x {
		off[k] = math.Abs(v - location)
	}
	scale = madToSigma * median(off)
	if scale == 0 {
		return location, 0
	}
	for range 100 {
		next := 0.0
		for _, v := range x {
			next += min(max(v, location-huberK*scale), location+huberK*scale) / float64(len(x))
		}
		if math.Abs(next-location) < 1e-6*scale {
			return next, scale
		}
		location = next
	}
	return location, scale
}

// madToSigma makes the median absolute deviation the standard deviation of
// normal errors: 1/Φ⁻¹(3/4).
const madToSigma = 1.4826022185056018

// leastWeight keeps noise finite; a hundredth of a report is none.
const leastWeight = 0.01

// reweigh sets every report's weight by its residual and its reporter.
func (f *fit) reweigh() {
	for k := range f.sights {
		o := &f.sights[k]
		if o.remark {
			o.weight = max(f.trust[o.reporter], leastWeight)
			continue
		}
		v := o.offSD2 + f.noise2*(f.loose[o.reporter]-1)
		w := studentWeight(o.off*o.off/max(v, f.noise2/2)) * f.crowd.weight(o.reporter)
		o.weight = max(w, leastWeight)
	}
}
