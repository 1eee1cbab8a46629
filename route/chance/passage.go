package chance

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Lengths is what is believed of ln(taken/planned) of passages: normal, its
// mean and variance both learned (normal-inverse-gamma).
type Lengths struct {
	Mean   float64 // of the mean
	Weight float64 // passages that is worth
	Shape  float64 // of the inverse gamma of the variance, above 1
	Scale  float64
}

// UsualLengths believes that passages take as long as planned, give or take so
// much in the logarithm, as firmly as from four passages.
func UsualLengths(logSD float64) Lengths {
	const weight, shape = 4.0, 3.0
	return Lengths{Weight: weight, Shape: shape, Scale: logSD * logSD * shape * weight / (weight + 1)}
}

// Learn takes in passages as ln(taken/planned).
//
// The conjugate update: Gelman et al., Bayesian Data Analysis, 3rd ed.,
// section 3.3; from memory.
func (l Lengths) Learn(logs ...float64) Lengths {
	n := float64(len(logs))
	if n == 0 {
		return l
	}
	mean, squares := 0.0, 0.0
	for _, x := range logs {
		mean += x / n
	}
	for _, x := range logs {
		squares += (x - mean) * (x - mean)
	}
	off := mean - l.Mean
	return Lengths{
		Mean:   (l.Weight*l.Mean + n*mean) / (l.Weight + n),
		Weight: l.Weight + n,
		Shape:  l.Shape + n/2,
		Scale:  l.Scale + squares/2 + l.Weight*n*off*off/(2*(l.Weight+n)),
	}
}

// Spread is the scale of the next passage's logarithm, a Student t with twice
// Shape degrees of freedom about Mean.
func (l Lengths) Spread() float64 {
	return math.Sqrt(l.Scale * (l.Weight + 1) / (l.Shape * l.Weight))
}

// Factor on the planned days that the next passage stays below with
// probability p, 0 < p < 1.
func (l Lengths) Factor(p float64) float64 {
	return math.Exp(distuv.StudentsT{Mu: l.Mean, Sigma: l.Spread(), Nu: 2 * l.Shape}.Quantile(p))
}
