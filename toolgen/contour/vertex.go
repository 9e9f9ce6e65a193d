package contour

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/sdf"
)

// cubeEdges lists the corners joined by the twelve edges: four along x, y and z each.
var cubeEdges = [12][2]int{
	{0, 1}, {2, 3}, {4, 5}, {6, 7},
	{0, 2}, {1, 3}, {4, 6}, {5, 7},
	{0, 4}, {1, 5}, {2, 6}, {3, 7},
}

// simple tells the masks with one sheet: material and air corners each hang together along edges.
var simple = func() (t [256]bool) {
	joined := func(mask uint8) bool {
		if mask == 0 {
			return false
		}
		seen := mask & -mask
		for range 8 {
			for _, e := range cubeEdges {
				a, b := uint8(1)<<e[0], uint8(1)<<e[1]
				if mask&a != 0 && mask&b != 0 && seen&(a|b) != 0 {
					seen |= a | b
				}
			}
		}
		return seen == mask
	}
	for m := range t {
		t[m] = joined(uint8(m)) && joined(^uint8(m))
	}
	return t
}()

// smooth is the least cosine between the corner gradients and their mean at which a cell counts as
// smooth and Newton's method is enough.
const smooth = 0.85

// place finds the vertex of a cell with a sign change: inside says whether it fell into the cell
// before it was clamped, left how far it stays off the tangent planes.
func (b *builder) place(c cell, s *[8]sdf.Sample, mid sdf.Sample) (v vertex, inside bool, left float64) {
	box := b.l.box(c)
	var m, mean geom.Vec3
	n := 0
	for _, e := range cubeEdges {
		d0, d1 := s[e[0]].D, s[e[1]].D
		if (d0 < 0) == (d1 < 0) {
			continue
		}
		p0, p1 := b.l.corner(c, e[0]), b.l.corner(c, e[1])
		m = m.Add(p0.Add(p1.Sub(p0).Scale(d0 / (d0 - d1))))
		n++
	}
	m = m.Scale(1 / float64(n))
	for i := range s {
		mean = mean.Add(s[i].G)
	}
	mean = mean.Unit()
	agree := mid.G.Dot(mean) > smooth
	for i := range s {
		agree = agree && s[i].G.Dot(mean) > smooth
	}
	p := m
	if !agree {
		p, left = b.corner(c, s, mid, m)
	}
	q, f := b.settle(p, agree)
	inside = box.Grow(1e-9*box.Size().X).Dist(q) == 0
	if !inside {
		q = clamp(q, box)
		f = b.p.at(q)
	}
	return vertex{q, f.G, f.Piece}, inside, left
}

// settle takes the point to the surface; where the cell is not smooth only if it is off by more
// than a tenth of the tolerance, for Newton's steps would leave the ridge.
func (b *builder) settle(p geom.Vec3, agree bool) (geom.Vec3, sdf.Sample) {
	if agree {
		return b.p.project(p)
	}
	if f := b.p.at(p); math.Abs(f.D) <= 0.1*b.tol {
		return p, f
	}
	return b.p.project(p)
}

// corner returns the point nearest to the tangent planes whose feet lie in the cell.
func (b *builder) corner(c cell, s *[8]sdf.Sample, mid sdf.Sample, about geom.Vec3) (geom.Vec3, float64) {
	box := b.l.box(c)
	wide := box.Grow(0.1 * box.Size().X)
	var q quadric
	add := func(p geom.Vec3, f sdf.Sample) {
		if foot := p.Sub(f.G.Scale(f.D)); wide.Dist(foot) == 0 {
			q.add(f.G, foot)
		}
	}
	for i := range s {
		add(b.l.corner(c, i), s[i])
	}
	add(b.l.centre(c), mid)
	if len(q.n) == 0 {
		return about, 0
	}
	return q.solve(about)
}

func clamp(p geom.Vec3, b geom.Box3) geom.Vec3 {
	return geom.Vec3{
		X: max(b.Min.X, min(b.Max.X, p.X)),
		Y: max(b.Min.Y, min(b.Max.Y, p.Y)),
		Z: max(b.Min.Z, min(b.Max.Z, p.Z)),
	}
}
