package world

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// reachOfLands is how far neighbouring countries' levels go together, in radians.
const reachOfLands = 0.35

// elsewhere guesses the level of countries nobody reports from, in logs, as
// one who knew the levels of all others exactly and how they come about, but
// not their mean: ordinary kriging (Cressie, Statistics for Spatial Data, 1993,
// section 3.2, from memory). The first quiet countries are guessed; it is zero
// for the others.
func elsewhere(lands []point, level []float64, quiet int, near float64) []float64 {
	out := make([]float64, len(lands))
	n := len(lands) - quiet
	if quiet < 1 || n < 1 {
		return out
	}
	together := func(a, b int) float64 {
		if a == b {
			return 1
		}
		d := lands[a].apart(lands[b]) / reachOfLands
		return near * math.Exp(-d*d/2)
	}
	k := mat.NewSymDense(n, nil)
	ones, heard := mat.NewVecDense(n, nil), mat.NewVecDense(n, level[quiet:])
	for a := range n {
		ones.SetVec(a, 1)
		for b := range a + 1 {
			k.SetSym(a, b, together(quiet+a, quiet+b))
		}
	}
	var chol mat.Cholesky
	var about, off mat.VecDense
	if !chol.Factorize(k) || chol.SolveVecTo(&about, ones) != nil {
		return out
	}
	mean := mat.Dot(&about, heard) / mat.Dot(&about, ones)
	off.AddScaledVec(heard, -mean, ones)
	var weighted mat.VecDense
	if chol.SolveVecTo(&weighted, &off) != nil {
		return out
	}
	for c := range quiet {
		out[c] = mean
		for a := range n {
			out[c] += together(c, quiet+a) * weighted.AtVec(a)
		}
	}
	return out
}

// apart is the length of the straight line between two places.
func (p point) apart(q point) float64 {
	return math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
}

// abroad is the log price of today as one would guess it who knew the item,
// and every country that is reported from.
func (h *history) abroad(p, i int) float64 {
	c, g := h.countryOf[p], h.categoryOf[i]
	own := h.country[c] + h.port[p] + h.taste[c][g] + h.product[c][i]
	others := 0.0
	for k := h.QuietCountries; k < h.Countries; k++ {
		others += (h.taste[k][g] + h.product[k][i]) / float64(h.Countries-h.QuietCountries)
	}
	return h.level(p, i, 0) - own + h.elsewhere[c] + others
}
