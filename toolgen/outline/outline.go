// Package outline owns closed plan curves of lines and arcs with their exact signed distance.
//
// The inside lies to the left of every element: outer loops run counter-clockwise, holes
// clockwise. Distance is negative inside. Arcs sweep less than 180 degrees each.
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
		if s*a.Cross(v) > 0 && s*v.Cross(b) > 0 {
			n := v.Norm()
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

// Outline is one or more closed loops.
type Outline struct {
	Elems []Elem
	Loops [][2]int // half-open ranges of Elems, one a loop
	tree  *tree    // nil for short outlines
}

// New returns the outline made of the given loops.
//
// ERROR: a loop that does not close within 1e-9 mm, an element shorter than 1e-6 mm or an arc of
// 180 degrees or more.
func New(loops ...[]Elem) (*Outline, error) {
	o := &Outline{}
	for li, l := range loops {
		start := len(o.Elems)
		for i, e := range l {
			n := l[(i+1)%len(l)]
			if e.B.Sub(n.A).Norm() > 1e-9 {
				return nil, fmt.Errorf("loop %d does not close after element %d", li+1, i+1)
			}
			if e.Length() < 1e-6 {
				return nil, fmt.Errorf("loop %d has an element of no length (%d)", li+1, i+1)
			}
			if e.Sweep() > math.Pi-1e-9 {
				return nil, fmt.Errorf("loop %d has an arc of 180 degrees or more (%d)", li+1, i+1)
			}
		}
		o.Elems = append(o.Elems, l...)
		o.Loops = append(o.Loops, [2]int{start, len(o.Elems)})
	}
	o.tree = newTree(o.Elems)
	return o, nil
}

// Foot is what an outline says at a point.
type Foot struct {
	D    float64   // signed distance, mm, negative inside
	G    geom.Vec2 // unit gradient of D, pointing outward
	Elem int32     // nearest element
}

// At returns the signed distance to the outline, exact everywhere; the gradient is that of the
// nearest element, and on the medial axis that of the first nearest one.
func (o *Outline) At(p geom.Vec2) Foot {
	var best Nearest
	if o.tree != nil {
		o.tree.search(o.Elems, p, &best)
	} else {
		for i := range o.Elems {
			best.Try(o.Elems[i], p, i)
		}
	}
	d, g := best.Signed(p)
	return Foot{d, g, int32(best.Index)}
}

// Nearest collects the nearest element of a search. Two elements tie where their common end point is
// nearest; then the one that sees the point more squarely decides the sign. The zero value is ready.
type Nearest struct {
	Index int // of the nearest element
	any   bool
	d2    float64
	q     geom.Vec2
	n     geom.Vec2 // outward normal of the element at q
	ortho bool
	align float64 // |cos| between p - q and n
}

// Try offers an element.
func (b *Nearest) Try(e Elem, p geom.Vec2, index int) {
	q, d2, ortho := e.foot(p)
	slack := 1e-12 * (1 + b.d2)
	if b.any && d2 > b.d2+slack {
		return
	}
	n, align := e.normalAt(q), 1.0
	if !ortho {
		align = math.Abs(n.Dot(p.Sub(q).Unit()))
	}
	if !b.any || d2 < b.d2-slack || align > b.align+1e-12 {
		*b = Nearest{index, true, d2, q, n, ortho, align}
	}
}

// Signed returns the signed distance, positive on the outward side, and its unit gradient.
func (b *Nearest) Signed(p geom.Vec2) (float64, geom.Vec2) {
	d := math.Sqrt(b.d2)
	w := p.Sub(b.q)
	if w.Dot(b.n) < 0 {
		d = -d
	}
	if !b.ortho && math.Abs(d) > 1e-9 {
		return d, w.Scale(1 / d)
	}
	return d, b.n
}

// normalAt returns the outward normal of the element at a point on it.
func (e Elem) normalAt(q geom.Vec2) geom.Vec2 {
	if e.R == 0 {
		return e.B.Sub(e.A).Unit().Right()
	}
	return q.Sub(e.C).Scale(1 / e.R)
}

// Bounds returns the smallest box that holds the outline.
func (o *Outline) Bounds() geom.Box2 {
	b := geom.EmptyBox2()
	for _, e := range o.Elems {
		b = b.Join(e.Bounds())
	}
	return b
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

// Area returns the enclosed area, mm2, holes taken off.
func (o *Outline) Area() float64 {
	a := 0.0
	for _, e := range o.Elems {
		a += e.A.Cross(e.B) / 2
		if e.R != 0 {
			s := float64(e.Sweep())
			seg := e.R * e.R * (s - math.Sin(s)) / 2
			a += math.Copysign(seg, e.R)
		}
	}
	return a
}

// Length returns the total length of all loops, mm.
func (o *Outline) Length() float64 {
	l := 0.0
	for _, e := range o.Elems {
		l += e.Length()
	}
	return l
}

// Convex returns the smallest radius of a corner that bulges outward, mm: 0 where a corner is
// sharp, +Inf where there is none.
func (o *Outline) Convex() float64 { return o.tightest(1) }

// Concave returns the smallest radius of a corner that bends inward, mm: 0 where a corner is sharp,
// +Inf where there is none.
func (o *Outline) Concave() float64 { return o.tightest(-1) }

func (o *Outline) tightest(sign float64) float64 {
	r := math.Inf(1)
	for _, l := range o.Loops {
		for i := l[0]; i < l[1]; i++ {
			e := o.Elems[i]
			if sign*e.R > 0 {
				r = min(r, math.Abs(e.R))
			}
			n := o.Elems[l[0]+(i+1-l[0])%(l[1]-l[0])]
			if turn := e.Out(1).Cross(n.Out(0)); sign*turn > 1e-7 {
				r = 0
			}
		}
	}
	return r
}

// Offset returns the outline moved outward by m (inward when negative); arcs change radius, sharp
// corners are mitred.
//
// ERROR: when an arc would vanish or turn over, with the radius that is too small.
func (o *Outline) Offset(m float64) (*Outline, error) {
	if m == 0 {
		return o, nil
	}
	loops := make([][]Elem, 0, len(o.Loops))
	for _, l := range o.Loops {
		n := l[1] - l[0]
		out := make([]Elem, n)
		for i := range n {
			e := o.Elems[l[0]+i]
			r := e.R
			if r != 0 {
				r += m
				if r*e.R <= 0 || math.Abs(r) < 1e-6 {
					return nil, fmt.Errorf("a corner of radius %.3f mm at (%.3f, %.3f) can not be moved by %.3f mm",
						math.Abs(e.R), e.A.X, e.A.Y, m)
				}
			}
			out[i] = Elem{A: o.corner(l, i, m), B: o.corner(l, (i+1)%n, m), C: e.C, R: r}
		}
		loops = append(loops, out)
	}
	return New(loops...)
}

// corner returns the start of element i of loop l moved outward by m along both its neighbours.
func (o *Outline) corner(l [2]int, i int, m float64) geom.Vec2 {
	n := l[1] - l[0]
	e, prev := o.Elems[l[0]+i], o.Elems[l[0]+(i+n-1)%n]
	na, nb := prev.Out(1), e.Out(0)
	return e.A.Add(na.Add(nb).Scale(m / (1 + na.Dot(nb))))
}
