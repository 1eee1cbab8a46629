package estimate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// stat is a cell reduced to what the equations need: with the columns one,
// log pack ratio, A = X'V⁻¹X (upper triangle by rows) and b = X'V⁻¹y.
type stat struct {
	port, item int32
	a          [3]float64
	b          [2]float64
}

// system is the mixed-model equations (Z'V⁻¹Z + Λ) θ = Z'V⁻¹y of all cells
// (C. R. Henderson, Biometrics 31, 1975, 423–447).
type system struct {
	layout
	prior
	neighbours *mat.SymDense // precision of the countries' levels; nil: that of prior
	cells      []stat
	means      []average // more cells, of which only the mean is known
}

// average is a cell's information about its level, and that times its mean.
type average struct {
	port, item int32
	a, b       float32
}

// smallest is a residual that stands for none, where nothing was reported.
const smallest = 1e-30

// iterations bounds conjugate gradients; a few dozen are usual.
const iterations = 5000

// solve improves theta by conjugate gradients with Jacobi preconditioner until
// the residual is below tolerance, relative to the right-hand side in the norm
// of the preconditioner, and says how many steps it took.
func (s *system) solve(theta []float64, tolerance float64) int {
	n := s.size
	inverse := s.diagonal()
	for k, d := range inverse {
		if d > 0 && !math.IsInf(s.precision[k], 1) {
			inverse[k] = 1 / d
			continue
		}
		inverse[k], theta[k] = 0, 0
	}
	moving := s.moving(theta)
	b, r, p, ap := s.right(), make([]float64, n), make([]float64, n), make([]float64, n)
	s.apply(theta, ap, moving)
	goal, rz := 0.0, 0.0
	for _, k := range moving {
		r[k] = b[k] - ap[k]
		p[k] = inverse[k] * r[k]
		goal += b[k] * inverse[k] * b[k]
		rz += r[k] * p[k]
	}
	goal = tolerance * tolerance * max(goal, rz) // the start may be all there is to move
	for step := range iterations {
		if rz <= goal || rz < smallest {
			return step
		}
		s.apply(p, ap, moving)
		alpha := rz / dot(p, ap, moving)
		next := 0.0
		for _, k := range moving {
			theta[k] += alpha * p[k]
			r[k] -= alpha * ap[k]
			next += r[k] * inverse[k] * r[k]
		}
		beta := next / rz
		for _, k := range moving {
			p[k] = inverse[k]*r[k] + beta*p[k]
		}
		rz = next
	}
	return iterations
}

// moving are the effects that the solution may have elsewhere than at zero. Of
// most products in most countries nobody ever reported: they stay there.
func (s *system) moving(theta []float64) []int32 {
	heard := make([]float64, s.size)
	for k := range s.cells {
		s.scatter(heard, &s.cells[k], 1, 1)
	}
	for k := range s.means {
		s.distribute(heard, s.means[k].port, s.means[k].item, 1)
	}
	for k, p := range s.parent {
		if p >= 0 {
			heard[k], heard[p] = 1, 1
		}
	}
	var out []int32
	for k := range heard {
		if heard[k] != 0 || theta[k] != 0 || k == s.remote || s.near(k) {
			out = append(out, int32(k))
		}
	}
	return out
}

// dot is the product of two vectors that are zero but for some places.
func dot(a, b []float64, places []int32) float64 {
	sum := 0.0
	for _, k := range places {
		sum += a[k] * b[k]
	}
	return sum
}

// apply puts (Z'V⁻¹Z + Λ) v into out; v is zero but for the moving effects.
func (s *system) apply(v, out []float64, moving []int32) {
	clear(out)
	for k := range s.cells {
		c := &s.cells[k]
		u, x := s.terms(v, c.port, c.item)
		s.scatter(out, c, c.a[0]*u+c.a[1]*x, c.a[1]*u+c.a[2]*x)
	}
	for k := range s.means {
		c := &s.means[k]
		s.distribute(out, c.port, c.item, float64(c.a)*s.levelOf(v, c.port, c.item))
	}
	s.applyNeighbours(v, out)
	for _, at := range moving {
		k, t := int(at), s.precision[at]
		if t == 0 || math.IsInf(t, 1) || s.near(k) {
			continue
		}
		d := t * s.off(v, k)
		out[k] += d
		if p := s.parent[k]; p >= 0 {
			out[p] -= s.factor[k] * d
		}
	}
}

// near says whether an effect's prior is in neighbours.
func (s *system) near(k int) bool {
	return s.neighbours != nil && k >= s.country && k < s.country+s.countries
}

// applyNeighbours adds the countries' prior where it is not independent.
func (s *system) applyNeighbours(v, out []float64) {
	if s.neighbours == nil {
		return
	}
	off := make([]float64, s.countries)
	for c := range off {
		off[c] = s.off(v, s.country+c)
	}
	for c := range off {
		d := 0.0
		for b, x := range off {
			d += s.neighbours.At(c, b) * x
		}
		k := s.country + c
		out[k] += d
		if p := s.parent[k]; p >= 0 {
			out[p] -= s.factor[k] * d
		}
	}
}

// scatter adds a cell's share to all effects it is made of.
func (s *system) scatter(out []float64, c *stat, u, x float64) {
	s.distribute(out, c.port, c.item, u)
	out[s.pack+int(s.categoryOf[c.item])] += x
}

// distribute adds to all effects a cell's level is made of.
func (s *system) distribute(out []float64, port, item int32, u float64) {
	out[s.item+int(item)] += u
	out[s.port+int(port)] += u
	out[s.twist+s.twistAt(port, item)] += u
	out[s.product+s.productAt(port, item)] += u
	out[s.remote] += s.aloneAt(port) * u
}

func (s *system) right() []float64 {
	out := make([]float64, s.size)
	for k := range s.cells {
		c := &s.cells[k]
		s.scatter(out, c, c.b[0], c.b[1])
	}
	for k := range s.means {
		c := &s.means[k]
		s.distribute(out, c.port, c.item, float64(c.b))
	}
	return out
}

// diagonal is that of the matrix.
func (s *system) diagonal() []float64 {
	out := make([]float64, s.size)
	for k := range s.cells {
		c := &s.cells[k]
		s.scatter(out, c, c.a[0], c.a[2])
		s.steepen(out, c.port, c.a[0])
	}
	for k := range s.means {
		c := &s.means[k]
		s.distribute(out, c.port, c.item, float64(c.a))
		s.steepen(out, c.port, float64(c.a))
	}
	for k, t := range s.precision {
		if math.IsInf(t, 1) {
			continue
		}
		if s.near(k) {
			t = s.neighbours.At(k-s.country, k-s.country)
		}
		out[k] += t
		if p := s.parent[k]; p >= 0 {
			out[p] += s.factor[k] * s.factor[k] * t
		}
	}
	return out
}
