package outline

import (
	"fmt"
	"math"
	"slices"

	"platen/toolgen/geom"
)

// Seg is one step of a path.
type Seg struct {
	To    geom.Vec2
	Sweep geom.Angle // of an arc, positive turning left; 0 for a line
}

// LineTo returns a straight step to p.
func LineTo(p geom.Vec2) Seg { return Seg{To: p} }

// BulgeTo returns an arc to p given by its bulge as drawing files have it: the tangent of a quarter
// of its sweep, positive turning left.
func BulgeTo(p geom.Vec2, bulge float64) Seg {
	return Seg{To: p, Sweep: geom.Angle(4 * math.Atan(bulge))}
}

// ArcTo returns the arc from one point to another with radius r, the shorter way round unless long;
// it turns left when r > 0.
//
// ERROR: a radius below half the distance.
func ArcTo(from, to geom.Vec2, r float64, long bool) (Seg, error) {
	c := to.Sub(from).Norm() / 2
	a := math.Abs(r)
	if a < c*(1-1e-12) || c == 0 {
		return Seg{}, fmt.Errorf("radius %.3f mm does not reach from (%.3f, %.3f) to (%.3f, %.3f); at least %.3f mm",
			a, from.X, from.Y, to.X, to.Y, math.Ceil(c*1000)/1000)
	}
	s := 2 * math.Asin(min(c/a, 1))
	if long {
		s = 2*math.Pi - s
	}
	return Seg{To: to, Sweep: geom.Angle(math.Copysign(s, r))}, nil
}

// Path returns the closed outline that starts at a point and takes the steps in turn; where the last
// one does not end at the start a line closes it. A clockwise path is turned round.
//
// ERROR: a step of no length, an arc of a full turn, or a path that crosses or touches itself.
func Path(start geom.Vec2, segs ...Seg) (*Outline, error) {
	var es []Elem
	at := start
	for i, s := range segs {
		if s.To.Sub(at).Norm() < noSize {
			return nil, fmt.Errorf("step %d of the path has no length at (%.3f, %.3f)", i+1, at.X, at.Y)
		}
		if a := math.Abs(float64(s.Sweep)); !(a < 2*math.Pi-1e-6) {
			return nil, fmt.Errorf("step %d of the path turns %.3f deg; at most a full turn", i+1, geom.Angle(a).Degrees())
		}
		es = append(es, arcs(at, s)...)
		at = s.To
	}
	if at.Sub(start).Norm() > joined {
		if at.Sub(start).Norm() < noSize {
			return nil, fmt.Errorf("the path misses its start by %.2g mm", at.Sub(start).Norm())
		}
		es = append(es, Elem{A: at, B: start})
	}
	o, err := New(es)
	if err != nil {
		return nil, err
	}
	if c := o.crossing(); c != nil {
		return nil, c
	}
	if o.Area() < 0 {
		slices.Reverse(es)
		for i := range es {
			es[i] = es[i].Reversed()
		}
		return New(es)
	}
	return o, nil
}

// arcs returns the line or the one to three arcs of a step.
func arcs(from geom.Vec2, s Seg) []Elem {
	half := float64(s.Sweep) / 2
	if math.Abs(half) < straight/2 {
		return []Elem{{A: from, B: s.To}}
	}
	v := s.To.Sub(from)
	r := v.Norm() / (2 * math.Sin(half)) // negative turning right
	c := from.Add(v.Scale(0.5)).Add(v.Scale(1 / (2 * math.Tan(half))).Left())
	n := int(math.Floor(math.Abs(float64(s.Sweep))/(2*math.Pi/3))) + 1
	var es []Elem
	for k := range n {
		e := Elem{A: from, B: s.To, C: c, R: math.Copysign(r, half)}
		if k > 0 {
			e.A = es[k-1].B
		}
		if k < n-1 {
			e.B = c.Add(from.Sub(c).Turn(s.Sweep * geom.Angle(float64(k+1)/float64(n))))
		}
		es = append(es, e)
	}
	return es
}
