package outline

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
)

// Circle returns a circle of radius r about the origin, as four arcs.
func Circle(r float64) (*Outline, error) {
	if r <= 0 {
		return nil, fmt.Errorf("circle radius %.3f mm is not above 0", r)
	}
	return Rect(2*r, 2*r, r)
}

// Slot returns an obround of overall length l along X and width w, centred on the origin.
func Slot(l, w float64) (*Outline, error) {
	if w <= 0 || l < w {
		return nil, fmt.Errorf("slot %.3f x %.3f mm: length must be at least the width", l, w)
	}
	return Rect(l, w, w/2)
}

// Rect returns a rectangle l along X by w along Y with corner radius r, centred on the origin.
func Rect(l, w, r float64) (*Outline, error) {
	if l <= 0 || w <= 0 {
		return nil, fmt.Errorf("rectangle %.3f x %.3f mm has no area", l, w)
	}
	x, y := l/2, w/2
	return Polygon([]geom.Vec2{{X: x, Y: -y}, {X: x, Y: y}, {X: -x, Y: y}, {X: -x, Y: -y}}, r)
}

// Polygon returns the closed polygon through the points, every corner rounded with radius r (0
// keeps it sharp). Points in clockwise order are turned round.
//
// ERROR: fewer than three points, two neighbours in the same place, sides that cross, touch or run
// back on themselves, or a corner whose radius does not fit between
// its neighbours, with the largest that does.
func Polygon(pts []geom.Vec2, r float64) (*Outline, error) {
	n := len(pts)
	if n < 3 {
		return nil, fmt.Errorf("a polygon needs at least 3 points, not %d", n)
	}
	if !(r >= 0) {
		return nil, fmt.Errorf("corner radius %.3f mm is below 0", r)
	}
	if err := spaced(pts); err != nil {
		return nil, err
	}
	if i, j, ok := crossing(pts); ok {
		return nil, fmt.Errorf("side %d of the polygon crosses side %d", i+1, j+1)
	}
	area := 0.0
	for i, p := range pts {
		area += p.Cross(pts[(i+1)%n])
	}
	if math.Abs(area) < 1e-9 {
		return nil, fmt.Errorf("the polygon has no area")
	}
	if area < 0 {
		rev := make([]geom.Vec2, n)
		for i, p := range pts {
			rev[n-1-i] = p
		}
		pts = rev
	}
	cut := make([]float64, n) // tangent length of the rounding at each corner
	for i, p := range pts {
		a, b := p.Sub(pts[(i+n-1)%n]).Unit(), pts[(i+1)%n].Sub(p).Unit()
		cut[i] = r * math.Abs(a.Cross(b)) / (1 + a.Dot(b))
	}
	for i := range pts {
		j := (i + 1) % n
		side := pts[j].Sub(pts[i]).Norm()
		if need := cut[i] + cut[j]; need > side*(1+1e-12) {
			return nil, fmt.Errorf("corner radius %.3f mm does not fit on the side of %.3f mm from (%.3f, %.3f); at most %.3f mm",
				r, side, pts[i].X, pts[i].Y, math.Floor(r*side/need*1000)/1000)
		}
	}
	var es []Elem
	for i, p := range pts {
		prev, next := pts[(i+n-1)%n], pts[(i+1)%n]
		a, b := p.Sub(prev).Unit(), next.Sub(p).Unit()
		in, out := p.Sub(a.Scale(cut[i])), p.Add(b.Scale(cut[i]))
		if turn := a.Cross(b); cut[i] > noSize {
			s := math.Copysign(r, turn)
			es = append(es, Elem{A: in, B: out, C: in.Add(a.Left().Scale(s)), R: s})
		}
		j := (i + 1) % n
		end := next.Sub(b.Scale(cut[j]))
		if end.Sub(out).Norm() > 1e-9*(1+r) { // else two arcs meet
			es = append(es, Elem{A: out, B: end})
		}
	}
	o, err := New(stitch(es))
	if err != nil {
		return nil, err
	}
	if c := o.crossing(); c != nil {
		return nil, c
	}
	return o, nil
}

// spaced refuses points that are not numbers, repeated, or the tip of a spike.
func spaced(pts []geom.Vec2) error {
	n := len(pts)
	for i, p := range pts {
		a, b := p.Sub(pts[(i+n-1)%n]), pts[(i+1)%n].Sub(p)
		switch l := b.Norm(); {
		case l-l != 0:
			return fmt.Errorf("point %d or %d of the polygon is not a number", i+1, (i+1)%n+1)
		case l < noSize:
			return fmt.Errorf("points %d and %d of the polygon lie in the same place", i+1, (i+1)%n+1)
		case a.Dot(b) < 0 && math.Abs(a.Cross(b)) < smooth*a.Norm()*l:
			return fmt.Errorf("the polygon runs back on itself at point %d", i+1)
		}
	}
	return nil
}

// stitch makes each element start exactly where its predecessor ends.
func stitch(es []Elem) []Elem {
	for i := range es {
		es[(i+1)%len(es)].A = es[i].B
	}
	return es
}

// crossing returns the first pair of polygon sides that cross.
func crossing(pts []geom.Vec2) (int, int, bool) {
	n := len(pts)
	side := func(a, b, c geom.Vec2) float64 { return b.Sub(a).Cross(c.Sub(a)) }
	for i := range n {
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			a, b, c, d := pts[i], pts[i+1], pts[j], pts[(j+1)%n]
			if side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0 {
				return i, j, true
			}
		}
	}
	return 0, 0, false
}
