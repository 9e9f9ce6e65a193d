package drawing

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// seg is a line or an arc by its ends and its sweep, the form in which an end can move.
type seg struct {
	a, b  geom.Vec2
	sweep float64 // rad, positive turning left, 0 for a line; below a full turn
}

// flat is the sweep, rad, below which an arc is a line: 2.5e-6 of its length off its middle.
const flat = 1e-5

func (s seg) isArc() bool { return math.Abs(s.sweep) >= flat }

// centre returns the centre of an arc and its radius, negative turning right.
func (s seg) centre() (geom.Vec2, float64) {
	half := s.sweep / 2
	v := s.b.Sub(s.a)
	c := s.a.Add(v.Scale(0.5)).Add(v.Scale(1 / (2 * math.Tan(half))).Left())
	return c, v.Norm() / (2 * math.Sin(half))
}

func (s seg) length() float64 {
	l := s.b.Sub(s.a).Norm()
	if half := math.Abs(s.sweep) / 2; half > flat {
		return l * half / math.Sin(half)
	}
	return l
}

func (s seg) reversed() seg { return seg{s.b, s.a, -s.sweep} }

// at returns the point at the share t of the sweep.
func (s seg) at(t float64) geom.Vec2 {
	if !s.isArc() {
		return s.a.Add(s.b.Sub(s.a).Scale(t))
	}
	c, _ := s.centre()
	return c.Add(s.a.Sub(c).Turn(geom.Angle(t * s.sweep)))
}

// dir returns the unit direction of travel at the start (end false) or at the end.
func (s seg) dir(end bool) geom.Vec2 {
	turn := -s.sweep / 2
	if end {
		turn = -turn
	}
	return s.b.Sub(s.a).Unit().Turn(geom.Angle(turn))
}

// mapped returns the image under a map that keeps circles.
func (s seg) mapped(m geom.Affine) seg {
	t := seg{m.Point(s.a), m.Point(s.b), s.sweep}
	if m.Det() < 0 {
		t.sweep = -t.sweep
	}
	return t
}

// elems appends the line or the arcs, each of less than 180 degrees.
func (s seg) elems(es []outline.Elem) []outline.Elem {
	if !s.isArc() {
		return append(es, outline.Elem{A: s.a, B: s.b})
	}
	c, r := s.centre()
	n := int(math.Abs(s.sweep)/(2*math.Pi/3)) + 1
	from := s.a
	for k := 1; k <= n; k++ {
		to := s.b
		if k < n {
			to = c.Add(s.a.Sub(c).Turn(geom.Angle(s.sweep * float64(k) / float64(n))))
		}
		es = append(es, outline.Elem{A: from, B: to, C: c, R: r})
		from = to
	}
	return es
}

// segOf returns an element as a seg.
func segOf(e outline.Elem) seg {
	return seg{e.A, e.B, math.Copysign(float64(e.Sweep()), e.R)}
}

// circle returns the four quarters of a circle.
func circle(c geom.Vec2, r float64) []seg {
	p := [4]geom.Vec2{{X: c.X + r, Y: c.Y}, {X: c.X, Y: c.Y + r}, {X: c.X - r, Y: c.Y}, {X: c.X, Y: c.Y - r}}
	out := make([]seg, 4)
	for i := range p {
		out[i] = seg{p[i], p[(i+1)%4], math.Pi / 2}
	}
	return out
}
