package drawing

import (
	"fmt"
	"math"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// mostDegree bounds the work of a point of a spline; drawings use 2, 3 and 5.
const mostDegree = 11

// spline is a rational B-spline.
type spline struct {
	degree  int
	knots   []float64
	points  []geom.Vec2
	weights []float64 // empty: all 1
}

func (s *spline) check() error {
	n, p := len(s.points), s.degree
	switch {
	case p < 1 || p > mostDegree:
		return fmt.Errorf("a spline of degree %d; 1 to %d are read", p, mostDegree)
	case n < p+1:
		return fmt.Errorf("a spline of degree %d with %d control points; at least %d are needed", p, n, p+1)
	case len(s.knots) != n+p+1:
		return fmt.Errorf("a spline with %d knots; %d control points of degree %d need %d", len(s.knots), n, p, n+p+1)
	case len(s.weights) != 0 && len(s.weights) != n:
		return fmt.Errorf("a spline with %d weights for %d control points", len(s.weights), n)
	case !slices.IsSorted(s.knots) || !(s.knots[n] > s.knots[p]):
		return fmt.Errorf("a spline whose knots do not ascend")
	}
	for _, w := range s.weights {
		if !(w > 1e-9 && w < 1e9) {
			return fmt.Errorf("a spline with the weight %g; weights above 0 are read", w)
		}
	}
	return nil
}

// segs returns the arcs of every knot span in turn.
func (s *spline) segs() ([]seg, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	least := (s.knots[len(s.points)] - s.knots[s.degree]) * 1e-12
	var out []seg
	for k := s.degree; k < len(s.points); k++ {
		if s.knots[k+1]-s.knots[k] <= least {
			continue
		}
		if s.isStill(k) {
			continue
		}
		part, err := fitted(s.span(k))
		if err != nil {
			return nil, err
		}
		out = append(out, part...)
		if len(out) > mostSegments {
			return nil, fmt.Errorf("a spline of more than %d arcs", mostSegments)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("a spline without length")
	}
	return out, nil
}

// isStill reports whether all control points of a span lie in one place.
func (s *spline) isStill(k int) bool {
	for _, p := range s.points[k-s.degree : k] {
		if p.Sub(s.points[k]).Norm() >= same {
			return false
		}
	}
	return true
}

// span returns the curve over the knot span k.
func (s *spline) span(k int) outline.Curve {
	u0, u1 := s.knots[k], s.knots[k+1]
	return func(t float64) (p, dir geom.Vec2) {
		u := u0 + t*(u1-u0)
		p, d := s.eval(k, u)
		if d.Norm() > 1e-12 {
			return p, d.Unit()
		}
		// The speed vanishes at an end: the direction is that of the nearest moving point.
		v := u + math.Copysign(1e-6*(u1-u0), 0.5-t)
		_, d = s.eval(k, v)
		return p, d.Unit()
	}
}

// eval returns the point and the change per span length, by de Boor's scheme in homogeneous coordinates.
func (s *spline) eval(k int, u float64) (p, d geom.Vec2) {
	var x, y, w [mostDegree + 1]float64
	n := s.degree
	for j := 0; j <= n; j++ {
		i := k - n + j
		w[j] = 1
		if len(s.weights) > 0 {
			w[j] = s.weights[i]
		}
		x[j], y[j] = s.points[i].X*w[j], s.points[i].Y*w[j]
	}
	var dx, dy, dw float64
	for r := 1; r <= n; r++ {
		if r == n {
			f := float64(n)
			dx, dy, dw = f*(x[n]-x[n-1]), f*(y[n]-y[n-1]), f*(w[n]-w[n-1])
		}
		for j := n; j >= r; j-- {
			i := k - n + j
			a := (u - s.knots[i]) / (s.knots[i+n-r+1] - s.knots[i])
			x[j] += (1 - a) * (x[j-1] - x[j])
			y[j] += (1 - a) * (y[j-1] - y[j])
			w[j] += (1 - a) * (w[j-1] - w[j])
		}
	}
	p = geom.Vec2{X: x[n] / w[n], Y: y[n] / w[n]}
	return p, geom.Vec2{X: (dx - p.X*dw) / w[n], Y: (dy - p.Y*dw) / w[n]}
}
