package outline

import (
	"fmt"
	"math"
	"slices"

	"platen/toolgen/geom"
)

// Crossing is the refusal of an outline that meets itself.
type Crossing struct {
	At    geom.Vec2 // place
	Loops [2]int    // the loops that meet, from 0; equal where a loop meets itself
	Elems [2]int    // the elements
}

// Error names the place.
func (c *Crossing) Error() string {
	if c.Loops[0] == c.Loops[1] {
		return fmt.Sprintf("the outline crosses or touches itself at (%.3f, %.3f)", c.At.X, c.At.Y)
	}
	return fmt.Sprintf("loop %d of the outline crosses or touches loop %d at (%.3f, %.3f)",
		c.Loops[0]+1, c.Loops[1]+1, c.At.X, c.At.Y)
}

// Simple checks that no loop meets itself or another one and that every loop has the inside on its
// left: counter-clockwise outside, clockwise for holes.
//
// ERROR: *Crossing with the place, or which loop runs the wrong way round.
func (o *Outline) Simple() error {
	if c := o.crossing(); c != nil {
		return c
	}
	for i, depth := range o.Depths() {
		if ccw := Area(o.Loop(i)) > 0; ccw != (depth%2 == 0) {
			p := o.Loop(i)[0].A
			return fmt.Errorf("loop %d of the outline at (%.3f, %.3f) runs the wrong way round", i+1, p.X, p.Y)
		}
	}
	return nil
}

// crossing returns the first pair of elements that meet.
func (o *Outline) crossing() *Crossing {
	var found *Crossing
	for li, l := range o.Loops {
		for i := l[0]; i < l[1] && found == nil; i++ {
			o.overlapping(o.Elems[i].Bounds().Grow(joined), func(j int) bool {
				if j <= i {
					return true
				}
				lj := li
				if j >= l[1] {
					lj = o.loopOf(j)
				}
				if at, ok := o.meets(i, j, l, li == lj); ok {
					found = &Crossing{at, [2]int{li, lj}, [2]int{i, j}}
				}
				return found == nil
			})
		}
	}
	return found
}

// loopOf returns the loop of element j.
func (o *Outline) loopOf(j int) int {
	at, _ := slices.BinarySearchFunc(o.Loops, j, func(l [2]int, j int) int { return l[1] - j - 1 })
	return at
}

// meets returns a common point of elements i and j other than a joint of theirs.
func (o *Outline) meets(i, j int, l [2]int, sameLoop bool) (geom.Vec2, bool) {
	e, f := o.Elems[i], o.Elems[j]
	after, before := sameLoop && next(l, i) == j, sameLoop && next(l, j) == i
	if !after && !before {
		c := gap(e, f)
		return c.a, c.d < joined
	}
	if after {
		if at, ok := jointMeets(e, f); ok {
			return at, true
		}
	}
	if before {
		if at, ok := jointMeets(f, e); ok {
			return at, true
		}
	}
	return geom.Vec2{}, false
}

// jointMeets looks for a second common point of an element and its successor. Carriers that meet at
// a joint meet again at its reflection in their line of centres; where they are tangent there is none.
func jointMeets(e, f Elem) (geom.Vec2, bool) {
	p, t := e.B, math.Abs(turn(e, f))
	if t > math.Pi-smooth {
		return p, true // a spike: it runs back on itself
	}
	if t < smooth || e.R == 0 && f.R == 0 {
		return p, false
	}
	c, axis := e.C, f.C.Sub(e.C)
	switch {
	case e.R == 0:
		c, axis = f.C, e.dir(p).Left()
	case f.R == 0:
		axis = f.dir(p).Left()
	}
	if axis = axis.Unit(); axis == (geom.Vec2{}) {
		return p, false
	}
	v := p.Sub(c)
	q := c.Add(axis.Scale(2 * v.Dot(axis))).Sub(v)
	if q.Sub(p).Norm() < noSize || f.B == e.A && q.Sub(e.A).Norm() < noSize {
		return p, false
	}
	return q, e.holds(q) && f.holds(q)
}

// Depths returns for every loop how many others lie around it: even for outer loops, odd for holes.
// It takes it that no loops cross.
func (o *Outline) Depths() []int {
	depths := make([]int, len(o.Loops))
	boxes := make([]geom.Box2, len(o.Loops))
	for i := range o.Loops {
		boxes[i] = geom.EmptyBox2()
		for _, e := range o.Loop(i) {
			boxes[i] = boxes[i].Join(e.Bounds())
		}
	}
	around := make([]*region, len(o.Loops))
	for i := range o.Loops {
		p := o.Loop(i)[0].A
		for j := range o.Loops {
			if i == j || !boxes[j].Overlaps(geom.Box2{Min: p, Max: p}) {
				continue
			}
			if around[j] == nil {
				around[j] = newRegion(o.Loop(j))
			}
			if around[j].holds(p) {
				depths[i]++
			}
		}
	}
	return depths
}

// region is what lies within a loop, made ready for many questions.
type region struct {
	loop []Elem
	tree *tree // nil where the loop is short
	ccw  bool
}

func newRegion(l []Elem) *region { return &region{l, newTree(l), Area(l) > 0} }

// holds reports whether p lies within the loop, whichever way it runs.
func (r *region) holds(p geom.Vec2) bool {
	var best Nearest
	if r.tree != nil {
		r.tree.search(r.loop, p, &best)
	} else {
		for i, e := range r.loop {
			best.Try(e, p, i)
		}
	}
	d, _ := best.Signed(p)
	return (d < 0) == r.ccw
}

// Area returns the area within a loop, mm2: negative when it runs clockwise.
func Area(l []Elem) float64 {
	a := 0.0
	for _, e := range l {
		a += e.A.Cross(e.B) / 2
		if e.R != 0 {
			s := float64(e.Sweep())
			a += math.Copysign(e.R*e.R*(s-math.Sin(s))/2, e.R)
		}
	}
	return a
}

// Turned returns the loops run the right way round: counter-clockwise outside, clockwise for holes,
// by how they lie within each other.
func (o *Outline) Turned() (*Outline, error) {
	loops := make([][]Elem, len(o.Loops))
	for i, depth := range o.Depths() {
		l := slices.Clone(o.Loop(i))
		if (Area(l) > 0) != (depth%2 == 0) {
			slices.Reverse(l)
			for k := range l {
				l[k] = l[k].Reversed()
			}
		}
		loops[i] = l
	}
	return New(loops...)
}
