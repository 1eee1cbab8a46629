// Package geo measures on the sea: positions, geodesics, over-water distance.
// Not for navigation.
package geo

// Position is WGS 84 in decimal degrees, north and east positive.
type Position struct {
	Lat float64 `json:"lat"`
	Lon float64 `json:"lon"`
}

// NauticalMiles is a distance; one is exactly 1852 m (1929 hydrographic conference).
type NauticalMiles float64
