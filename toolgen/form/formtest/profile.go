package formtest

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// Section is an exact section of a tool in the (d, z) plane: an open chain of lines and arcs with the
// material to its left.
type Section []outline.Elem

// at returns distance and direction in the plane of the section.
func (s Section) at(p geom.Vec2) (float64, geom.Vec2) {
	var best outline.Nearest
	for i, e := range s {
		best.Try(e, p, i)
	}
	return best.Signed(p)
}

// Lines returns the section through the points.
func Lines(pts ...geom.Vec2) Section {
	var s Section
	for i := 1; i < len(pts); i++ {
		s = append(s, outline.Elem{A: pts[i-1], B: pts[i]})
	}
	return s
}

// Turned is a section turned about the z axis; d is the radius.
type Turned struct{ Section }

// Distance returns the distance to the tool.
func (t Turned) Distance(p geom.Vec3) (float64, geom.Vec3) {
	r := p.Plan().Norm()
	d, n := t.at(geom.Vec2{X: r, Y: p.Z})
	out := p.Plan().Unit().Scale(n.X)
	return d, geom.Vec3{X: out.X, Y: out.Y, Z: n.Y}
}

// Long is a section drawn out along Y between end walls at Y = +-Half; d is the distance from the
// middle plane.
type Long struct {
	Section
	Half float64
}

// Distance returns the distance to the tool.
func (l Long) Distance(p geom.Vec3) (float64, geom.Vec3) {
	side := math.Copysign(1, p.X)
	d, n := l.at(geom.Vec2{X: math.Abs(p.X), Y: p.Z})
	if e := l.Half - math.Abs(p.Y); e < d {
		return e, geom.Vec3{Y: -math.Copysign(1, p.Y)}
	}
	return d, geom.Vec3{X: side * n.X, Z: n.Y}
}

// far is where sections end, mm.
const far = 1e4

// Vee returns the section of a wall at angle a from the horizontal, from the land at d = half down to
// the middle: a cone when turned, a trough when drawn out.
func Vee(half float64, a geom.Angle) Section {
	return Lines(geom.Vec2{X: far}, geom.Vec2{X: half}, geom.Vec2{Y: -half * a.Tan()})
}

// Cup returns the section of a straight cup with a sharp rim and a floor fillet.
func Cup(radius, depth, fillet float64) Section {
	a, b := geom.Vec2{X: radius, Y: fillet - depth}, geom.Vec2{X: radius - fillet, Y: -depth}
	s := Lines(geom.Vec2{X: far}, geom.Vec2{X: radius}, a)
	if fillet > 0 {
		s = append(s, outline.Elem{A: a, B: b, C: geom.Vec2{X: radius - fillet, Y: fillet - depth}, R: -fillet})
	}
	return append(s, outline.Elem{A: b, B: geom.Vec2{Y: -depth}})
}

// Nothing is no tool at all: the sheet blows free.
type Nothing struct{}

// Distance returns a distance no bubble reaches.
func (Nothing) Distance(geom.Vec3) (float64, geom.Vec3) { return far, geom.Vec3{Z: 1} }

// Box is a cavity with upright walls and sharp edges under its opening at z = 0; the land around it
// is left out, so the clamp frame must be the opening.
type Box struct{ X, Y, Depth float64 }

// Distance returns the distance to the walls, drawn out upward, and the floor.
func (b Box) Distance(p geom.Vec3) (d float64, n geom.Vec3) {
	d, n = p.Z+b.Depth, geom.Vec3{Z: 1}
	if x := b.X/2 - math.Abs(p.X); x < d {
		d, n = x, geom.Vec3{X: -math.Copysign(1, p.X)}
	}
	if y := b.Y/2 - math.Abs(p.Y); y < d {
		d, n = y, geom.Vec3{Y: -math.Copysign(1, p.Y)}
	}
	return d, n
}

// Block is a block with sharp edges.
type Block struct{ geom.Box3 }

// Distance returns the distance to the block, exact.
func (b Block) Distance(p geom.Vec3) (float64, geom.Vec3) {
	c, h := b.Centre(), b.Size().Scale(0.5)
	q := p.Sub(c)
	e := geom.Vec3{X: math.Abs(q.X) - h.X, Y: math.Abs(q.Y) - h.Y, Z: math.Abs(q.Z) - h.Z}
	out := geom.Vec3{X: math.Copysign(max(e.X, 0), q.X), Y: math.Copysign(max(e.Y, 0), q.Y), Z: math.Copysign(max(e.Z, 0), q.Z)}
	if d := out.Norm(); d > 0 {
		return d, out.Scale(1 / d)
	}
	switch m := max(e.X, e.Y, e.Z); m {
	case e.Z:
		return m, geom.Vec3{Z: math.Copysign(1, q.Z)}
	case e.X:
		return m, geom.Vec3{X: math.Copysign(1, q.X)}
	default:
		return m, geom.Vec3{Y: math.Copysign(1, q.Y)}
	}
}
