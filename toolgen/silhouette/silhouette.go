// Package silhouette owns what a product's mesh says of the room the product takes: its outline seen from
// above and its height.
//
// The mesh is an STL file, binary or text, as drawn by whoever makes the product: it need not be closed. The
// outline encloses every triangle. That of the convex hull is exact to the numbers of the file; that which
// follows the product's bays is found on a grid, within the slack it tells.
package silhouette

import (
	"errors"
	"fmt"
	"math"

	"platen/toolgen/geom"
)

// Triangle is one of a mesh, in the mesh's own unit.
type Triangle [3]geom.Vec3

// Caps on a mesh.
const (
	mostTriangles = 400_000
	mostReach     = 1e5  // largest coordinate, in the mesh's unit
	leastSpan     = 0.01 // smallest size, mm
)

// Up is the direction of the mesh that points up as the product lies in its pocket.
type Up struct {
	Axis int // 0 X, 1 Y, 2 Z
	Down bool
}

// Ups are the names of the directions.
var Ups = []string{"z", "-z", "x", "-x", "y", "-y"}

// UpNamed returns a direction by its name, one of Ups.
func UpNamed(name string) (Up, bool) {
	for i, n := range Ups {
		if n == name {
			return Up{[3]int{2, 0, 1}[i/2], i%2 == 1}, true
		}
	}
	return Up{}, false
}

// turned returns a point in a frame in which the direction is +Z: a rotation, never a mirror.
func (u Up) turned(p geom.Vec3) geom.Vec3 {
	switch u.Axis { // cyclic, so that hands stay hands
	case 0:
		p = geom.Vec3{X: p.Y, Y: p.Z, Z: p.X}
	case 1:
		p = geom.Vec3{X: p.Z, Y: p.X, Z: p.Y}
	}
	if u.Down { // half a turn about X
		p = geom.Vec3{X: p.X, Y: -p.Y, Z: -p.Z}
	}
	return p
}

// Product is a mesh as it lies, its plan centred on the origin and its lowest point at height 0. All mm.
type Product struct {
	Size   geom.Vec3 // of its bounding box
	corner []plan    // of the triangles
}

type plan [3]geom.Vec2

// New returns the product of a mesh with a direction up; unit is mm in one unit of the mesh.
//
// ERROR: no triangle, or a size that is no product's.
func New(mesh []Triangle, up Up, unit float64) (*Product, error) {
	if len(mesh) == 0 {
		return nil, errors.New("the mesh has no triangle")
	}
	box := geom.EmptyBox3()
	for _, t := range mesh {
		for _, v := range t {
			box = box.Hold(up.turned(v).Scale(unit))
		}
	}
	p := &Product{Size: box.Size(), corner: make([]plan, len(mesh))}
	if s := p.Size; min(s.X, s.Y) < leastSpan || s.Z < 0 {
		return nil, fmt.Errorf("the mesh is %.4g x %.4g x %.4g mm; at least %g mm across", s.X, s.Y, s.Z, leastSpan)
	}
	middle := box.Centre()
	for i, t := range mesh {
		for k, v := range t {
			q := up.turned(v).Scale(unit)
			p.corner[i][k] = geom.Vec2{X: q.X - middle.X, Y: q.Y - middle.Y}
		}
	}
	return p, nil
}

// Hull returns the convex hull of the plan, counter-clockwise, without corners that turn by nothing.
func (p *Product) Hull() []geom.Vec2 {
	var all []geom.Vec2
	for _, t := range p.corner {
		all = append(all, t[:]...)
	}
	return hull(all, 1e-9*max(p.Size.X, p.Size.Y))
}

// Round returns the radius of the circle about the hull's middle that encloses the plan, and whether the plan
// is that of a cylinder: its facets lie within slack of the circle.
func (p *Product) Round(slack float64) (radius float64, ok bool) {
	h := p.Hull()
	inner := math.Inf(1)
	for i, a := range h {
		b := h[(i+1)%len(h)]
		radius = max(radius, a.Norm())
		side := b.Sub(a)
		inner = min(inner, a.Cross(b)/side.Norm())
	}
	return radius, len(h) >= 12 && radius-inner <= slack
}
