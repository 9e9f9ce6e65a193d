package closing

import (
	"math"

	"platen/toolgen/geom"
)

// Highest returns the greatest angle from the plane of the flange at which triangles, in the frame of a
// half, meet the circle of radius r about the fold line at a; a and r are multiples of step.
func Highest(tri [][3]geom.Vec3, step, a, r float64) float64 {
	return look(tri, step, a, r, (*grid).arcs)
}

// Column returns the greatest height of triangles over the place a, b.
func Column(tri [][3]geom.Vec3, step, a, b float64) float64 {
	return look(tri, step, a, b, (*grid).columns)
}

func look(tri [][3]geom.Vec3, step, a, b float64, fill func(*grid, *half)) float64 {
	h := newHalf(axes{}, false)
	for _, t := range tri {
		h.add(t[0], t[1], t[2])
	}
	g := newGrid(step, h.box, h.box.Max.Sub(geom.Vec3{}).Norm())
	fill(g, h)
	i, j := int(math.Round(a/step))-g.a0, int(math.Round(b/step))
	if i < 0 || i >= g.na || j >= g.nb {
		return math.Inf(-1)
	}
	return g.top[i*g.nb+j]
}

// Beyond cuts closed curves off at x.
var Beyond = beyond
