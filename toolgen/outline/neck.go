package outline

import (
	"math"

	"platen/toolgen/geom"
)

// Neck is a narrowest place between two walls.
type Neck struct {
	Width float64   // mm; +Inf where there is none
	A, B  geom.Vec2 // the facing points of the walls
}

// Stroke returns the least width of the material inside: over all separate parts of the outline the
// narrowest neck, or the largest disc's diameter where a part has no neck. The tip of a taper is no
// neck: Convex tells its radius.
func (o *Outline) Stroke() Neck {
	least := Neck{Width: math.Inf(1)}
	for _, part := range o.Parts() {
		n := part.neck(true)
		if n.Width-n.Width != 0 {
			n = part.Disc().across(part)
		}
		if n.Width < least.Width {
			least = n
		}
	}
	return least
}

// Gap returns the least width of the space outside between walls that face each other: between loops,
// across a hole, or across an inlet of one loop. The root of a notch is no gap: Concave tells its
// radius.
func (o *Outline) Gap() Neck {
	least := o.neck(false)
	for i, depth := range o.Depths() {
		if depth%2 == 1 {
			h := o.Hole(i)
			if n := h.Disc().across(h); n.Width < least.Width {
				least = n
			}
		}
	}
	return least
}

// across returns the disc as a neck, along the diameter from its nearest wall.
func (d Disc) across(o *Outline) Neck {
	g := o.At(d.Centre).G.Scale(d.R)
	return Neck{2 * d.R, d.Centre.Add(g), d.Centre.Sub(g)}
}

// Hole returns loop i alone, turned round so that what lies within it is its inside.
func (o *Outline) Hole(i int) *Outline {
	var l []Elem
	for _, e := range o.Loop(i) {
		l = append([]Elem{e.Reversed()}, l...)
	}
	return o.only(l)
}

// Parts returns the separate parts of the outline: each outer loop with its holes.
func (o *Outline) Parts() []*Outline {
	depths := o.Depths()
	var parts []*Outline
	for i, depth := range depths {
		if depth%2 == 1 {
			continue
		}
		loops, within := [][]Elem{o.Loop(i)}, newRegion(o.Loop(i))
		for j := range o.Loops {
			if depths[j] == depth+1 && within.holds(o.Loop(j)[0].A) {
				loops = append(loops, o.Loop(j))
			}
		}
		parts = append(parts, o.only(loops...))
	}
	return parts
}

// only returns some of o's loops as an outline of their own.
func (o *Outline) only(loops ...[]Elem) *Outline {
	part, err := New(loops...)
	if err != nil {
		panic("outline: loops of an outline: " + err.Error())
	}
	return part
}

// neck returns the shortest chord inside (or outside) that is shorter than all its neighbours.
func (o *Outline) neck(inside bool) Neck {
	least := Neck{Width: math.Inf(1)}
	boxes := make([]geom.Box2, len(o.Elems))
	for i, e := range o.Elems {
		boxes[i] = e.Bounds()
	}
	for li, l := range o.Loops {
		for i := l[0]; i < l[1]; i++ {
			for lj := li; lj < len(o.Loops); lj++ {
				m := o.Loops[lj]
				for j := max(i+1, m[0]); j < m[1]; j++ {
					if boxes[i].Apart(boxes[j]) >= least.Width {
						continue
					}
					for _, c := range chords(o.Elems[i], o.Elems[j]) {
						if c.d > noSize && c.d < least.Width && o.bottleneck(c, l, i, m, j, inside) {
							least = Neck{c.d, c.a, c.b}
						}
					}
				}
			}
		}
	}
	return least
}

// bottleneck reports whether a chord from element i to element j runs on the asked side and no point
// next to one of its ends is nearer to the other end.
func (o *Outline) bottleneck(c chord, l [2]int, i int, m [2]int, j int, inside bool) bool {
	least := c.d * (1 - 1e-9)
	around := func(l [2]int, i int, p geom.Vec2) bool {
		before := i - 1
		if i == l[0] {
			before = l[1] - 1
		}
		for _, k := range [3]int{before, i, next(l, i)} {
			if _, d2, _ := o.Elems[k].foot(p); d2 < least*least {
				return false
			}
		}
		return true
	}
	if !around(l, i, c.b) || !around(m, j, c.a) {
		return false
	}
	d := o.At(c.a.Add(c.b).Scale(0.5)).D
	return (d < 0) == inside && math.Abs(d) > 1e-3*c.d
}
