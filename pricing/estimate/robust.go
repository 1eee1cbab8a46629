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

// A reporter's own level: honest ones are within honestSD of the others, one
// in twenty may be anywhere within liarSD.
const (
	honestSD = 0.07
	liarSD   = 0.7
	liarOdds = 0.05 / 0.95
	// looseness is learned against this many reports of an ordinary reporter.
	looseReports = 6
)

// reporters learns each reporter's bias, noise and honesty from residuals that
// leave the report in question out.
func (f *fit) reporters() {
	sum, info := make([]float64, len(f.bias)), make([]float64, len(f.bias))
	square, n := make([]float64, len(f.bias)), make([]float64, len(f.bias))
	for k := range f.sights {
		o := &f.sights[k]
		if o.remark || o.held {
			continue
		}
		e, v := o.off, o.offSD2
		w := studentWeight(e * e / v)
		u := o.reporter
		sum[u] += w / v * (e + f.bias[u])
		info[u] += w / v
		square[u] += w * e * e / v
		n[u]++
	}
	for u := range f.bias {
		f.loose[u] = (looseReports + square[u]) / (looseReports + n[u])
		f.trust[u] = 1
		if info[u] > 0 {
			f.trust[u] = honesty(sum[u]/info[u], 1/info[u])
		}
		f.bias[u] = f.trust[u]*sum[u]/(info[u]+1/(honestSD*honestSD)) + (1-f.trust[u])*sum[u]/(info[u]+1/(liarSD*liarSD))
	}
	f.centre(info)
	f.levelLooseness(n)
}

// centre makes the trusted reporters' biases zero on average: what all of them
// seem to be off is no bias of theirs but a wrong level of ours.
func (f *fit) centre(info []float64) {
	sum, all := 0.0, 0.0
	for u, x := range info {
		sum += f.trust[u] * x * f.bias[u]
		all += f.trust[u] * x
	}
	if all == 0 {
		return
	}
	for u := range f.bias {
		f.bias[u] -= sum / all
	}
}

// honesty is the probability of being one of the honest, given the mean
// residual and its variance.
func honesty(mean, v float64) float64 {
	honest, liar := v+honestSD*honestSD, v+liarSD*liarSD
	odds := liarOdds * math.Sqrt(honest/liar) * math.Exp(mean*mean/2*(1/honest-1/liar))
	return 1 / (1 + odds)
}

// levelLooseness makes looseness one on average over reports.
func (f *fit) levelLooseness(n []float64) {
	sum, all := 0.0, 0.0
	for u, x := range n {
		sum += x * f.loose[u]
		all += x
	}
	if sum == 0 {
		return
	}
	for u := range f.loose {
		f.loose[u] *= all / sum
	}
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
		loose := f.loose[o.reporter]
		v := o.offSD2 + f.noise2*(loose-1)
		w := studentWeight(o.off*o.off/max(v, f.noise2/2)) / loose * (f.trust[o.reporter] + 0.4*(1-f.trust[o.reporter]))
		o.weight = max(w, leastWeight)
	}
}
