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

// Outline is one or more closed loops.
type Outline struct {
	Elems []Elem
	Loops [][2]int // half-open ranges of Elems, one a loop
	tree  *tree    // nil for short outlines
	loop  *Chain   // a short outline of one loop without corners; nil for others
}

// Tolerances on what New takes.
const (
	joined  = 1e-9 // mm between the end of an element and the start of the next, and off an arc's circle
	noSize  = 1e-6 // mm, shortest element
	halfArc = 1e-9 // rad, how far below 180 degrees an arc must stay
	smooth  = 1e-5 // rad, turn at a joint below which it is no corner: 1e-4 mm over a reach of 10 mm
)

// New returns the outline made of the given loops. It does not look for crossings: see Simple.
//
// ERROR: no loop, an empty loop, a loop that does not close within 1e-9 mm, an element shorter than
// 1e-6 mm, an arc whose ends are not on its circle within 1e-9 mm (and 1e-14 of its radius) or that
// runs against its sign, or an arc of 180 degrees or more.
func New(loops ...[]Elem) (*Outline, error) {
	if len(loops) == 0 {
		return nil, fmt.Errorf("the outline has no loop")
	}
	o := &Outline{}
	for li, l := range loops {
		if len(l) < 2 {
			return nil, fmt.Errorf("loop %d has %d elements; at least 2 are needed", li+1, len(l))
		}
		start := len(o.Elems)
		for i, e := range l {
			n := l[(i+1)%len(l)]
			if err := e.check(); err != nil {
				return nil, fmt.Errorf("loop %d element %d: %w", li+1, i+1, err)
			}
			if !(e.B.Sub(n.A).Norm() <= joined) {
				return nil, fmt.Errorf("loop %d does not close after element %d at (%.3f, %.3f)", li+1, i+1, e.B.X, e.B.Y)
			}
			// Equal ends make equal distances, so that At sees one corner there and not two.
			e.A = l[(i+len(l)-1)%len(l)].B
			o.Elems = append(o.Elems, e)
		}
		o.Loops = append(o.Loops, [2]int{start, len(o.Elems)})
	}
	o.tree = newTree(o.Elems)
	if o.tree == nil && len(loops) == 1 {
		o.loop = NewChain(o.Elems, true)
	}
	return o, nil
}

// Loop returns the elements of loop i, not to be changed.
func (o *Outline) Loop(i int) []Elem { return o.Elems[o.Loops[i][0]:o.Loops[i][1]] }

// Chain returns all elements prepared for speed, or nil when the outline has a corner.
func (o *Outline) Chain() *Chain {
	if o.loop != nil {
		return o.loop
	}
	all := &Chain{}
	for _, l := range o.Loops {
		c := NewChain(o.Elems[l[0]:l[1]], true)
		if c == nil {
			return nil
		}
		for _, k := range c.links {
			k.id += l[0]
			all.links = append(all.links, k)
		}
	}
	return all
}

// next returns the index of the element after i in its loop l.
func next(l [2]int, i int) int {
	if i+1 == l[1] {
		return l[0]
	}
	return i + 1
}

// Foot is what an outline says at a point.
type Foot struct {
	D    float64   // signed distance, mm, negative inside
	G    geom.Vec2 // unit gradient of D, pointing outward
	Elem int32     // nearest element
}

// At returns the signed distance to the outline, exact everywhere; the gradient is that of the
// nearest element, and on the medial axis that of one of the nearest.
func (o *Outline) At(p geom.Vec2) Foot {
	if o.loop != nil {
		if d, g, i, ok := o.loop.At(p); ok {
			return Foot{d, g, int32(i)}
		}
	}
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

// Bounds returns the smallest box that holds the outline.
func (o *Outline) Bounds() geom.Box2 {
	b := geom.EmptyBox2()
	for _, e := range o.Elems {
		b = b.Join(e.Bounds())
	}
	return b
}

// Area returns the enclosed area, mm2, holes taken off.
func (o *Outline) Area() float64 { return Area(o.Elems) }

// Length returns the total length of all loops, mm.
func (o *Outline) Length() float64 {
	l := 0.0
	for _, e := range o.Elems {
		l += e.Length()
	}
	return l
}

// turn returns the angle by which the outline turns left from e to its successor f.
func turn(e, f Elem) float64 {
	a, b := e.Out(1), f.Out(0)
	return math.Atan2(a.Cross(b), a.Dot(b))
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
			if sign*turn(e, o.Elems[next(l, i)]) > smooth {
				return 0
			}
		}
	}
	return r
}
