package main

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// median is the upper one of an even number.
func median(x []float64) float64 {
	sorted := slices.Sorted(slices.Values(x))
	return sorted[len(sorted)/2]
}

// exponent is the slope of the least-squares line of logarithms.
func exponent(x, y []float64) float64 {
	logs := func(values []float64) []float64 {
		all := make([]float64, len(values))
		for k, v := range values {
			all[k] = math.Log(v)
		}
		return all
	}
	_, slope := stat.LinearRegression(logs(x), logs(y), nil, false)
	return slope
}
