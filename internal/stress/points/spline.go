package points

import "math"

// A spline is a natural cubic spline between two ends: the cubic B-splines of its knots
// without the first, turned by reflections so that those whose second derivative at an end
// is not zero are left out. The season's equations are written in this basis.
type spline struct {
	knots   []float64 // the ends four times each
	mirrors [2][]float64
	whole   [100][]float64 // the terms at whole yards
}

// The splines of the yards to the goal line: for all downs, and what fourth down adds.
var field, fourth = newSpline(5, 20, 45, 70, 90), newSpline(35, 60)

const first, last = 1.0, 99.0 // yards to the goal line

func newSpline(inner ...float64) *spline {
	s := &spline{knots: []float64{first, first, first, first}}
	s.knots = append(append(s.knots, inner...), last, last, last, last)
	ends := [2][]float64{s.values(first, 2)[1:], s.values(last, 2)[1:]}
	for k := range ends {
		v := append([]float64{}, ends[k]...)
		for i := range k {
			v[i] = 0
		}
		v[k] += math.Copysign(math.Sqrt(dot(v, v)), v[k])
		s.mirrors[k] = v
		for c := k; c < len(ends); c++ {
			reflect(ends[c], v)
		}
	}
	for y := int(first); y <= int(last); y++ {
		s.whole[y] = s.worked(float64(y))
	}
	return s
}

// at is the value of every term at y.
func (s *spline) at(y float64) []float64 {
	if n := int(y); float64(n) == y && n >= 1 && n < len(s.whole) {
		return s.whole[n]
	}
	return s.worked(y)
}

func (s *spline) worked(y float64) []float64 {
	r := s.values(y, 0)[1:]
	for _, v := range s.mirrors {
		reflect(r, v)
	}
	return r[2:]
}

// values are the cubic B-splines at y, or their derivative of an order.
func (s *spline) values(y float64, order int) []float64 {
	out := make([]float64, len(s.knots)-4)
	for i := range out {
		out[i] = s.value(i, 3, order, y)
	}
	return out
}

func (s *spline) value(i, degree, order int, y float64) float64 {
	t := s.knots
	if degree == 0 {
		end := t[len(t)-1]
		if t[i] <= y && y < t[i+1] || y == end && t[i] < t[i+1] && t[i+1] == end {
			return 1
		}
		return 0
	}
	v := 0.0
	left, right := t[i+degree]-t[i], t[i+degree+1]-t[i+1]
	if order > 0 {
		if left > 0 {
			v += float64(degree) / left * s.value(i, degree-1, order-1, y)
		}
		if right > 0 {
			v -= float64(degree) / right * s.value(i+1, degree-1, order-1, y)
		}
		return v
	}
	if left > 0 {
		v += (y - t[i]) / left * s.value(i, degree-1, 0, y)
	}
	if right > 0 {
		v += (t[i+degree+1] - y) / right * s.value(i+1, degree-1, 0, y)
	}
	return v
}

func dot(a, b []float64) (s float64) {
	for i := range a {
		s += a[i] * b[i]
	}
	return s
}

// reflect mirrors a at the plane across v.
func reflect(a, v []float64) {
	f := 2 * dot(a, v) / dot(v, v)
	for i := range a {
		a[i] -= f * v[i]
	}
}
