package sheet

import (
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// Trimmed returns the volume of sheet in the part: within the trim line, without the holes, mm3.
func (f *Formed) Trimmed() float64 { return f.Volumes(0, nil)[0] }

// Volumes returns the volume of sheet in the part, mm3, before the first of some rising places along an axis of the
// part (0 X, 1 Y), between each two of them, and beyond the last.
func (f *Formed) Volumes(axis int, at []float64) []float64 {
	c := cut{line: f.Body.Part.Outline, axis: axis, at: at, out: make([]float64, len(at)+1)}
	for _, h := range f.Body.Part.Holes {
		if h.Impression == 0 {
			c.holes, c.boxes = append(c.holes, h.Outline), append(c.boxes, h.Outline.Bounds())
		}
	}
	for k, t := range f.Sheet.Triangles {
		var corner [3]geom.Vec2
		for i, n := range t.N {
			corner[i] = f.Body.Map.Back(f.Sheet.Nodes[n].At).Plan()
		}
		c.share(corner, f.Sheet.FlatArea(k)*f.Sheet.Gauge, mostQuarters)
	}
	return c.out
}

// cut is a part cut out of the sheet, and into stretches.
type cut struct {
	line  *outline.Outline
	holes []*outline.Outline
	boxes []geom.Box2 // of the holes
	axis  int
	at    []float64 // between the stretches
	out   []float64 // volume of each stretch, mm3
}

// mostQuarters is how often a triangle is quartered that the trim line or a hole may cut.
const mostQuarters = 3

// share adds the volume of a triangle, by its plan, to where it lies.
func (c *cut) share(corner [3]geom.Vec2, volume float64, quarters int) {
	m := corner[0].Add(corner[1]).Add(corner[2]).Scale(1.0 / 3)
	r := max(corner[0].Sub(m).Norm(), corner[1].Sub(m).Norm(), corner[2].Sub(m).Norm())
	d := c.outside(m, r)
	if d >= r {
		return
	}
	if d > -r {
		if quarters > 0 {
			a, b, e := corner[0].Add(corner[1]).Scale(0.5), corner[1].Add(corner[2]).Scale(0.5), corner[2].Add(corner[0]).Scale(0.5)
			for _, q := range [...][3]geom.Vec2{{corner[0], a, e}, {a, corner[1], b}, {e, b, corner[2]}, {a, b, e}} {
				c.share(q, volume/4, quarters-1)
			}
			return
		}
		volume *= below(c.outside(corner[0], r), c.outside(corner[1], r), c.outside(corner[2], r))
	}
	x := [3]float64{corner[0].X, corner[1].X, corner[2].X}
	if c.axis == 1 {
		x = [3]float64{corner[0].Y, corner[1].Y, corner[2].Y}
	}
	before := 0.0
	i, _ := slices.BinarySearch(c.at, min(x[0], x[1], x[2]))
	for ; i < len(c.at) && before < 1; i++ {
		part := below(x[0]-c.at[i], x[1]-c.at[i], x[2]-c.at[i])
		c.out[i] += volume * (part - before)
		before = part
	}
	if before < 1 {
		c.out[i] += volume * (1 - before)
	}
}

// outside returns how far a plan point lies outside the part, negative inside: beyond the trim line or in a hole, of
// which only those within r count.
func (c *cut) outside(q geom.Vec2, r float64) float64 {
	d := c.line.At(q).D
	for i, h := range c.holes {
		if c.boxes[i].Dist(q) <= r {
			d = max(d, -h.At(q).D)
		}
	}
	return d
}

// below returns the share of a triangle where a linear function of these values at its corners is below 0.
func below(a, b, c float64) float64 {
	v := []float64{a, b, c}
	slices.Sort(v)
	switch {
	case v[0] >= 0:
		return 0
	case v[2] <= 0:
		return 1
	case v[1] >= 0:
		return v[0] / (v[0] - v[1]) * v[0] / (v[0] - v[2])
	}
	return 1 - v[2]/(v[2]-v[0])*v[2]/(v[2]-v[1])
}
