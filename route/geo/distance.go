package geo

import (
	"fmt"
	"math"

	"github.com/tidwall/geodesic"
)

// metresPerNM is the international nautical mile, exact.
const metresPerNM = 1852

// meanRadius is the mean Earth radius R1 of the IUGG in nautical miles. On a
// sphere distances are up to 0.6 % off, so it only steers searches; what is
// shown comes from Distance.
const meanRadius = 6371008.8 / metresPerNM

// Check says whether p is a place on Earth: finite, latitude within ±90,
// longitude within ±180.
func (p Position) Check() error {
	if !(math.Abs(p.Lat) <= 90) {
		return fmt.Errorf("latitude %v: want -90 to 90", p.Lat)
	}
	if !(math.Abs(p.Lon) <= 180) {
		return fmt.Errorf("longitude %v: want -180 to 180", p.Lon)
	}
	return nil
}

// String is degrees and minutes as a chart has them: 38°31.8'N 028°37.5'W.
func (p Position) String() string {
	return angle(p.Lat, 2, "N", "S") + " " + angle(p.Lon, 3, "E", "W")
}

func angle(v float64, digits int, pos, neg string) string {
	side := pos
	if v < 0 {
		side = neg
	}
	tenths := int(math.Round(math.Abs(v) * 600))
	return fmt.Sprintf("%0*d°%02d.%d'%s", digits, tenths/600, tenths%600/10, tenths%10, side)
}

// Distance is the length of the shortest line from a to b on the WGS 84
// ellipsoid, land or not. Method: C. F. F. Karney, Algorithms for geodesics,
// J. Geodesy 87 (2013) 43–55.
func Distance(a, b Position) NauticalMiles {
	var m float64
	geodesic.WGS84.Inverse(notTiny(a.Lat), a.Lon, notTiny(b.Lat), b.Lon, &m, nil, nil)
	return NauticalMiles(m / metresPerNM)
}

// notTiny takes a latitude within a tenth of a micrometre of the equator for
// the equator: v0.3.5 of the library gives a negative length between nearly
// antipodal places a hair south of it.
func notTiny(lat float64) float64 {
	if math.Abs(lat) < 1e-12 {
		return 0
	}
	return lat
}

// Along is the length of the geodesics joining the points one after another;
// 0 for fewer than two.
func Along(points []Position) NauticalMiles {
	var sum NauticalMiles
	for i := 1; i < len(points); i++ {
		sum += Distance(points[i-1], points[i])
	}
	return sum
}

// vector is a point of the unit sphere.
type vector struct{ x, y, z float64 }

func (p Position) vector() vector {
	sinLat, cosLat := math.Sincos(p.Lat * math.Pi / 180)
	sinLon, cosLon := math.Sincos(p.Lon * math.Pi / 180)
	return vector{cosLat * cosLon, cosLat * sinLon, sinLat}
}

func (v vector) position() Position {
	return Position{
		Lat: math.Atan2(v.z, math.Sqrt(v.x*v.x+v.y*v.y)) * 180 / math.Pi,
		Lon: math.Atan2(v.y, v.x) * 180 / math.Pi,
	}
}

// nm is the great-circle distance on the mean sphere.
func (v vector) nm(w vector) float64 {
	dx, dy, dz := v.x-w.x, v.y-w.y, v.z-w.z
	half := math.Sqrt(dx*dx+dy*dy+dz*dz) / 2
	return 2 * meanRadius * math.Asin(math.Min(1, half))
}

// between is the point a share t of the way from v to w along the chord,
// brought back to the sphere: on the great circle, evenly spaced only nearly.
func (v vector) between(w vector, t float64) vector {
	x, y, z := v.x+t*(w.x-v.x), v.y+t*(w.y-v.y), v.z+t*(w.z-v.z)
	n := math.Sqrt(x*x + y*y + z*z)
	if n == 0 {
		return v
	}
	return vector{x / n, y / n, z / n}
}
