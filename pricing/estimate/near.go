package estimate

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"hardtack/pricing"
)

// Neighbouring countries share suppliers: besides what is its own, a country's
// level has a part that falls off with distance like exp(−d/reach). How large
// that part is and how far it reaches is chosen by marginal likelihood among a
// few, so that it costs little where there is none.
var (
	nearShares  = [...]float64{0, 0.4, 0.8}
	nearReaches = [...]float64{400, 1000, 2500} // nautical miles
)

// mostNear bounds the dense algebra on countries; with more, nearness is left
// out.
const mostNear = 400

// neighbours is the prior of the countries' levels about what their price
// level makes of them.
type neighbours struct {
	share float64 // of the variance
	reach float64
	joint *mat.SymDense // precision of all countries' levels; nil: independent
}

// measure gives the distances of countries, NaN where unknown, by the mean
// distance of their ports; nil where nearness is not used.
func (ix *index) measure() []float64 {
	n := ix.countries
	if ix.in.Apart == nil || n < 4 || n > mostNear {
		return nil
	}
	ports := make([][]pricing.PortID, n)
	for p, c := range ix.countryOf {
		ports[c] = append(ports[c], ix.portOf[p].ID)
	}
	out := make([]float64, n*n)
	for a := range n {
		for b := range a {
			d := meanApart(ix.in.Apart, ports[a], ports[b])
			out[a*n+b], out[b*n+a] = d, d
		}
	}
	return out
}

// meanApart is the mean distance of up to a few ports of each side.
func meanApart(apart func(a, b pricing.PortID) (float64, bool), a, b []pricing.PortID) float64 {
	const few = 3
	sum, n := 0.0, 0.0
	for i := 0; i < len(a); i += 1 + len(a)/few {
		for j := 0; j < len(b); j += 1 + len(b)/few {
			if d, ok := apart(a[i], b[j]); ok {
				sum += d
				n++
			}
		}
	}
	return sum / n // NaN when none is placed
}

// correlation of two countries' levels.
func (ix *index) correlation(a, b int, share, reach float64) float64 {
	switch d := ix.apart[a*ix.countries+b]; {
	case a == b:
		return 1
	case math.IsNaN(d):
		return 0
	default:
		return share * math.Exp(-d/reach)
	}
}

// chart learns nearness and the countries' variance from what each country's
// ports show of its level, and sets the prior.
func (f *fit) chart() {
	if f.apart == nil {
		return
	}
	level, noise, heard := f.countrySigns()
	if len(heard) < 4 {
		return
	}
	best := math.Inf(-1)
	scale := f.country2
	for _, share := range nearShares {
		for k, reach := range nearReaches {
			if share == 0 && k > 0 {
				continue // the same
			}
			for _, times := range [...]float64{0.5, 0.7, 1, 1.4, 2} {
				v := scale * times
				l := f.nearLikelihood(heard, level, noise, share, reach, v)
				// The prior of the variance, and of no nearness at all.
				x := math.Log(v / startScales(f.informed).country2)
				l -= x * x
				if share > 0 {
					l -= 1
				}
				if l > best {
					best, f.share, f.reach, f.country2 = l, share, reach, v
				}
			}
		}
	}
	f.joint = nil
	if f.share > 0 {
		f.joint = f.nearPrecision()
	}
}

// countrySigns are, of every country heard of, what its ports alone say of its
// level beside what its price level makes one expect, and the variance of that.
func (f *fit) countrySigns() (level, noise []float64, heard []int) {
	sum, info := make([]float64, f.countries), make([]float64, f.countries)
	for p, own := range f.doubt.portInfo {
		if own > 0 {
			c := f.countryOf[p]
			country := f.theta[f.country+int(c)]
			port := f.theta[f.port+p]
			w := 1 / (f.port2 + 1/own)
			sum[c] += w * (port + (port-country)/(f.port2*own))
			info[c] += w
		}
	}
	for c, w := range info {
		if w > 0 {
			expected := f.prior.factor[f.country+c] * f.theta[f.layout.level]
			level = append(level, sum[c]/w-expected)
			noise = append(noise, 1/f.doubt.countryInfo[c])
			heard = append(heard, c)
		}
	}
	return level, noise, heard
}

func (f *fit) nearLikelihood(heard []int, level, noise []float64, share, reach, v float64) float64 {
	n := len(heard)
	k := mat.NewSymDense(n, nil)
	for a := range n {
		for b := range a + 1 {
			k.SetSym(a, b, v*f.correlation(heard[a], heard[b], share, reach))
		}
		k.SetSym(a, a, k.At(a, a)+noise[a])
	}
	var chol mat.Cholesky
	if !chol.Factorize(k) {
		return math.Inf(-1)
	}
	y := mat.NewVecDense(n, level)
	var x mat.VecDense
	if chol.SolveVecTo(&x, y) != nil {
		return math.Inf(-1)
	}
	return -0.5 * (chol.LogDet() + mat.Dot(y, &x))
}

// nearPrecision is the inverse covariance of all countries' levels.
func (f *fit) nearPrecision() *mat.SymDense {
	n := f.countries
	k := mat.NewSymDense(n, nil)
	for a := range n {
		for b := range a + 1 {
			k.SetSym(a, b, f.country2*f.correlation(a, b, f.share, f.reach))
		}
	}
	var chol mat.Cholesky
	var inverse mat.SymDense
	if !chol.Factorize(k) || chol.InverseTo(&inverse) != nil {
		return nil
	}
	return &inverse
}

// doubts gives the variances of the countries' levels given the information
// about each; nil when countries are independent.
func (n *neighbours) doubts(info []float64) []float64 {
	if n.joint == nil {
		return nil
	}
	var inverse mat.SymDense
	a := mat.NewSymDense(len(info), nil)
	a.CopySym(n.joint)
	for c, x := range info {
		a.SetSym(c, c, a.At(c, c)+x)
	}
	var chol mat.Cholesky
	if !chol.Factorize(a) || chol.InverseTo(&inverse) != nil {
		return nil
	}
	out := make([]float64, len(info))
	for c := range out {
		out[c] = inverse.At(c, c)
	}
	return out
}
