package estimate

import (
	"math"

	moments "gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// extreme is the value farthest from the mean of those left, so many standard
// deviations, and how far it may be by chance.
type extreme struct {
	at          int // place among all
	r, critical float64
}

// extremesOf takes the farthest value out up to most times, and says how many
// of these are outliers at a level: the generalised extreme Studentized deviate
// test (B. Rosner, Technometrics 25, 1983, 165–172). Many do not hide each
// other from it. Two values at least are left.
func extremesOf(x []float64, most int, level float64) (steps []extreme, outliers int) {
	var left []int
	for k := range x {
		left = append(left, k)
	}
	values := append([]float64(nil), x...)
	for len(steps) < most && len(left) > 2 {
		mean, sd := moments.MeanStdDev(values, nil)
		far := 0
		for k, v := range values {
			if math.Abs(v-mean) > math.Abs(values[far]-mean) {
				far = k
			}
		}
		if sd == 0 {
			break
		}
		n := float64(len(values))
		t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 2}.Quantile(1 - level/(2*n))
		e := extreme{left[far], math.Abs(values[far]-mean) / sd, (n - 1) * t / math.Sqrt((n-2+t*t)*n)}
		steps = append(steps, e)
		if e.r > e.critical {
			outliers = len(steps)
		}
		values = append(values[:far], values[far+1:]...)
		left = append(left[:far], left[far+1:]...)
	}
	return steps, outliers
}
