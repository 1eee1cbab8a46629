package estimate

import "slices"

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
