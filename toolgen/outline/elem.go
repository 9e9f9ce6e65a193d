package outline

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
)

// Elem is a line or an arc from A to B.
type Elem struct {
	A, B geom.Vec2
	C    geom.Vec2 // centre of an arc
	R    float64   // 0: line; > 0: arc turning left (convex for the inside); < 0: arc turning right
}

// IsArc reports whether the element is an arc.
func (e Elem) IsArc() bool { return e.R != 0 }

// check refuses an element that is none.
func (e Elem) check() error {
	if v := e.A.Dot(e.A) + e.B.Dot(e.B) + e.C.Dot(e.C) + e.R*e.R; v-v != 0 {
		return fmt.Errorf("a coordinate is not a number or too large")
	}
	if l := e.Length(); l < noSize {
		return fmt.Errorf("no length at (%.3f, %.3f)", e.A.X, e.A.Y)
	}
	if e.R == 0 {
		return nil
	}
	if e.Sweep() > math.Pi-halfArc {
		return fmt.Errorf("an arc of 180 degrees or more at (%.3f, %.3f)", e.A.X, e.A.Y)
	}
	a, b, r := e.A.Sub(e.C), e.B.Sub(e.C), math.Abs(e.R)
	if off := max(math.Abs(a.Norm()-r), math.Abs(b.Norm()-r)); off > joined+1e-14*r {
		return fmt.Errorf("an end of the arc at (%.3f, %.3f) is %.2g mm off its circle", e.A.X, e.A.Y, off)
	}
	if a.Cross(b)*e.R < 0 {
		return fmt.Errorf("the arc at (%.3f, %.3f) turns against the sign of its radius", e.A.X, e.A.Y)
	}
	return nil
}

// Length returns the length of the element, mm.
func (e Elem) Length() float64 {
	if e.R == 0 {
		return e.B.Sub(e.A).Norm()
	}
	return math.Abs(e.R) * float64(e.Sweep())
}

// Sweep returns the angle an arc turns through, positive, and 0 for a line.
func (e Elem) Sweep() geom.Angle {
	if e.R == 0 {
		return 0
	}
	a, b := e.A.Sub(e.C), e.B.Sub(e.C)
	return geom.Angle(math.Abs(math.Atan2(a.Cross(b), a.Dot(b))))
}

// Out returns the outward unit normal at parameter t in [0, 1].
func (e Elem) Out(t float64) geom.Vec2 {
	if e.R == 0 {
		return e.B.Sub(e.A).Unit().Right()
	}
	return e.Point(t).Sub(e.C).Scale(1 / e.R)
}

// Point returns the point at parameter t in [0, 1], even in arc length.
func (e Elem) Point(t float64) geom.Vec2 {
	switch {
	case t == 0:
		return e.A
	case t == 1:
		return e.B
	case e.R == 0:
		return e.A.Add(e.B.Sub(e.A).Scale(t))
	}
	turn := geom.Angle(t) * e.Sweep()
	if e.R < 0 {
		turn = -turn
	}
	return e.C.Add(e.A.Sub(e.C).Turn(turn))
}

// foot returns the nearest point of the element, its squared distance and whether the foot is
// orthogonal (not an end point).
func (e Elem) foot(p geom.Vec2) (q geom.Vec2, d2 float64, ortho bool) {
	if e.R == 0 {
		ab := e.B.Sub(e.A)
		t := p.Sub(e.A).Dot(ab) / ab.Dot(ab)
		if t > 0 && t < 1 {
			q = e.A.Add(ab.Scale(t))
			w := p.Sub(q)
			return q, w.Dot(w), true
		}
	} else {
		v := p.Sub(e.C)
		a, b := e.A.Sub(e.C), e.B.Sub(e.C)
		s := 1.0
		if e.R < 0 {
			s = -1
		}
		// A foot needs a direction from the centre: below 1e-150 mm its square is lost.
		if n := v.Norm(); n > 1e-150 && s*a.Cross(v) > 0 && s*v.Cross(b) > 0 {
			q = e.C.Add(v.Scale(math.Abs(e.R) / n))
			d := n - math.Abs(e.R)
			return q, d * d, true
		}
	}
	wa, wb := p.Sub(e.A), p.Sub(e.B)
	da, db := wa.Dot(wa), wb.Dot(wb)
	if da <= db {
		return e.A, da, false
	}
	return e.B, db, false
}

// normalAt returns the outward normal of the element at a point on it.
func (e Elem) normalAt(q geom.Vec2) geom.Vec2 {
	if e.R == 0 {
		return e.B.Sub(e.A).Unit().Right()
	}
	return q.Sub(e.C).Scale(1 / e.R)
}

// Bounds returns the smallest box that holds the element.
func (e Elem) Bounds() geom.Box2 {
	b := geom.EmptyBox2().Hold(e.A).Hold(e.B)
	if e.R == 0 {
		return b
	}
	r := math.Abs(e.R)
	for _, q := range []geom.Vec2{{X: r}, {X: -r}, {Y: r}, {Y: -r}} {
		p := e.C.Add(q)
		if _, d2, ortho := e.foot(p); ortho && d2 < 1e-18*(1+r*r) {
			b = b.Hold(p)
		}
	}
	return b
}

// Reversed returns the element run backwards.
func (e Elem) Reversed() Elem { return Elem{A: e.B, B: e.A, C: e.C, R: -e.R} }

// dir returns the unit direction of travel at a point on the element.
func (e Elem) dir(q geom.Vec2) geom.Vec2 { return e.normalAt(q).Left() }

// param returns the parameter in [0, 1] of a point on the element.
func (e Elem) param(q geom.Vec2) float64 {
	var t float64
	if e.R == 0 {
		ab := e.B.Sub(e.A)
		t = q.Sub(e.A).Dot(ab) / ab.Dot(ab)
	} else {
		a, v := e.A.Sub(e.C), q.Sub(e.C)
		t = math.Copysign(math.Atan2(a.Cross(v), a.Dot(v)), a.Cross(v)*e.R) / float64(e.Sweep())
	}
	return min(max(t, 0), 1)
}

// part returns the stretch between two parameters.
func (e Elem) part(t0, t1 float64) Elem { return Elem{A: e.Point(t0), B: e.Point(t1), C: e.C, R: e.R} }
