package drawing

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// bezier is a cubic by its control points.
type bezier [4]geom.Vec2

// raised returns the cubic that is the quadratic with the given control points.
func raised(a, c, b geom.Vec2) bezier {
	return bezier{a, a.Add(c.Sub(a).Scale(2.0 / 3)), b.Add(c.Sub(b).Scale(2.0 / 3)), b}
}

func (z bezier) size() float64 {
	return max(z[1].Sub(z[0]).Norm(), z[2].Sub(z[0]).Norm(), z[3].Sub(z[0]).Norm())
}

// curve returns the curve. Where the speed vanishes at an end the direction is the limit.
func (z bezier) curve() outline.Curve {
	still := z.size() * 1e-9
	return func(t float64) (p, dir geom.Vec2) {
		u := 1 - t
		p = z[0].Scale(u * u * u).Add(z[1].Scale(3 * u * u * t)).Add(z[2].Scale(3 * u * t * t)).Add(z[3].Scale(t * t * t))
		dir = z[1].Sub(z[0]).Scale(u * u).Add(z[2].Sub(z[1]).Scale(2 * u * t)).Add(z[3].Sub(z[2]).Scale(t * t))
		if dir.Norm() > still {
			return p, dir.Unit()
		}
		for _, v := range []geom.Vec2{z[2].Sub(z[0]), z[3].Sub(z[0])} {
			if t > 0.5 {
				break
			}
			if v.Norm() > still {
				return p, v.Unit()
			}
		}
		if v := z[3].Sub(z[1]); v.Norm() > still {
			return p, v.Unit()
		}
		return p, z[3].Sub(z[0]).Unit()
	}
}

// ellipse is the arc c + u cos w + v sin w, w from start over sweep.
type ellipse struct {
	c, u, v      geom.Vec2
	start, sweep float64
}

func (e ellipse) point(w float64) geom.Vec2 {
	s, c := math.Sincos(w)
	return e.c.Add(e.u.Scale(c)).Add(e.v.Scale(s))
}

func (e ellipse) mapped(m geom.Affine) ellipse {
	return ellipse{m.Point(e.c), m.Dir(e.u), m.Dir(e.v), e.start, e.sweep}
}

// isRound reports whether it is a circle, to within rounding of the numbers.
func (e ellipse) isRound() bool {
	r := max(e.u.Norm(), e.v.Norm())
	return math.Abs(e.u.Dot(e.v)) <= 1e-9*r*r && math.Abs(e.u.Norm()-e.v.Norm()) <= 1e-9*r
}

func (e ellipse) curve() outline.Curve {
	return func(t float64) (p, dir geom.Vec2) {
		w := e.start + t*e.sweep
		s, c := math.Sincos(w)
		return e.point(w), e.v.Scale(c).Sub(e.u.Scale(s)).Scale(math.Copysign(1, e.sweep)).Unit()
	}
}

// segs returns the arcs, quarter by quarter where it is no circle.
func (e ellipse) segs() ([]seg, error) {
	if e.isRound() {
		sweep := math.Copysign(e.sweep, e.sweep*e.u.Cross(e.v))
		half := e.point(e.start + e.sweep/2)
		return []seg{{e.point(e.start), half, sweep / 2}, {half, e.point(e.start + e.sweep), sweep / 2}}, nil
	}
	var out []seg
	n := int(math.Ceil(math.Abs(e.sweep)/(math.Pi/2) - 1e-9))
	for k := range n {
		q := e
		q.sweep = e.sweep / float64(n)
		q.start = e.start + float64(k)*q.sweep
		part, err := fitted(q.curve())
		if err != nil {
			return nil, err
		}
		out = append(out, part...)
	}
	return out, nil
}

// fitted returns the arcs that stand for a curve.
func fitted(c outline.Curve) ([]seg, error) {
	es, err := outline.Fit(c, fitTol)
	if err != nil {
		return nil, err
	}
	out := make([]seg, len(es))
	for i, e := range es {
		out[i] = segOf(e)
	}
	return out, nil
}
