package render

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// camera maps the tool to the picture by parallel projection.
type camera struct {
	right, up, back geom.Vec3 // of the picture; back points to the viewer
	light           geom.Vec3 // to the key light
	scale           float64   // samples a mm
	shift           geom.Vec2 // sample of the tool's origin
	ground          float64   // height of the bench, mm
}

// supersample is the number of samples a pixel has along each side.
const supersample = 2

// Margins of the picture around the body, as parts of its height.
const (
	marginTop    = 0.125
	marginSide   = 0.055
	marginBottom = 0.115
)

// newCamera fits the body, or the window if there is one, into the picture. Directions are rational unit vectors, so that every
// machine gets the same numbers.
func newCamera(m *mesh.Mesh, view View, o Options) camera {
	c := camera{
		right: geom.Vec3{X: 1},
		up:    geom.Vec3{Y: 1},
		back:  geom.Vec3{Z: 1},
		light: geom.Vec3{X: -2, Y: 2, Z: 5}.Unit(),
	}
	if view == ThreeQuarter {
		// Azimuth about 28 degrees, elevation about 37 degrees: 15-8-17 and 3-4-5 triangles.
		c.right = geom.Vec3{X: 15.0 / 17, Y: 8.0 / 17}
		away := geom.Vec3{X: -8.0 / 17, Y: 15.0 / 17}
		c.up = away.Scale(0.6).Add(geom.Vec3{Z: 0.8})
		c.back = away.Scale(-0.8).Add(geom.Vec3{Z: 0.6})
		c.light = geom.Vec3{X: -4, Y: -5, Z: 9}.Unit()
	}
	box := geom.EmptyBox2()
	c.ground = math.Inf(1)
	for _, v := range m.V {
		c.ground = min(c.ground, v.Z)
		if o.Window == nil {
			box = c.hold(box, v)
		}
	}
	if w := o.Window; w != nil {
		for i := range 8 {
			box = c.hold(box, geom.Vec3{X: [2]float64{w.Min.X, w.Max.X}[i&1], Y: [2]float64{w.Min.Y, w.Max.Y}[i>>1&1], Z: [2]float64{w.Min.Z, w.Max.Z}[i>>2]})
		}
	}
	h := float64(o.Height)
	lo := geom.Vec2{X: marginSide, Y: marginTop}.Scale(h)
	hi := geom.Vec2{X: float64(o.Width) - float64(marginSide*h), Y: h - float64(marginBottom*h)}
	size := box.Size()
	c.scale = supersample * min((hi.X-lo.X)/max(size.X, leastExtent), (hi.Y-lo.Y)/max(size.Y, leastExtent))
	mid, centre := box.Centre(), lo.Add(hi).Scale(supersample/2.0)
	c.shift = geom.Vec2{X: centre.X - float64(c.scale*mid.X), Y: centre.Y + float64(c.scale*mid.Y)}
	return c
}

// hold widens a box of the picture plane, mm, by a point.
func (c *camera) hold(box geom.Box2, p geom.Vec3) geom.Box2 {
	return box.Hold(geom.Vec2{X: p.Dot(c.right), Y: p.Dot(c.up)})
}

// leastExtent keeps the scale finite for a body without extent, mm.
const leastExtent = 1e-6

// project returns the sample (Y down) and, as Z, the height above the picture plane in samples.
func (c *camera) project(p geom.Vec3) geom.Vec3 {
	return geom.Vec3{
		X: c.shift.X + float64(c.scale*p.Dot(c.right)),
		Y: c.shift.Y - float64(c.scale*p.Dot(c.up)),
		Z: c.scale * p.Dot(c.back),
	}
}

// onPlane returns the point of the tool's space that a sample sees at the height z of project.
func (c *camera) onPlane(x, y, z float64) geom.Vec3 {
	u, v, w := (x-c.shift.X)/c.scale, (c.shift.Y-y)/c.scale, z/c.scale
	return c.right.Scale(u).Add(c.up.Scale(v)).Add(c.back.Scale(w))
}

// onGround returns the point of the bench that a sample sees.
func (c *camera) onGround(x, y float64) geom.Vec3 {
	p := c.onPlane(x, y, 0)
	return p.Add(c.back.Scale((c.ground - p.Z) / c.back.Z))
}
