package main

import "slices"

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// median is the upper one of an even number.
func median(x []float64) float64 {
	sorted := slices.Sorted(slices.Values(x))
	return sorted[len(sorted)/2]
}
