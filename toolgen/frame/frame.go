// Package frame owns the one mapping from the part to the tool. No other package scales, mirrors or
// shifts a coordinate between the two.
package frame

import "platen/toolgen/geom"

// Map takes the part frame to the tool datum: the part's plan and heights scaled about the part's
// own centre by the shrink factors, turned over about X when the upper side of the sheet touches
// the tool, then shifted to the datum.
//
// SHAPE: a scaling followed by a rotation and a shift, never a mirror in space: turning over maps
// (x, y, z) to (x, -y, -z), so handed features come out right on the part.
type Map struct {
	Scale  geom.Vec3 // tool / part along X, Y, Z; 1 without shrink
	Centre geom.Vec2 // point of the part's plan that the scaling keeps, mm
	Over   bool      // upper side of the sheet on the tool
	Shift  geom.Vec3 // tool datum coordinates of the part point (Centre, 0), mm
}

// Point returns the tool coordinates of a part point.
func (m Map) Point(p geom.Vec3) geom.Vec3 { return m.Plan(p.Plan()).At(m.Z(p.Z)) }

// Plan returns the tool plan coordinates of a part plan point.
func (m Map) Plan(p geom.Vec2) geom.Vec2 {
	v := p.Sub(m.Centre)
	v.X *= m.Scale.X
	v.Y *= m.Scale.Y
	if m.Over {
		v.Y = -v.Y
	}
	return v.Add(m.Shift.Plan())
}

// Z returns the tool height of a part height.
func (m Map) Z(z float64) float64 {
	z *= m.Scale.Z
	if m.Over {
		z = -z
	}
	return z + m.Shift.Z
}

// Back returns the cold-part point that a tool point makes.
func (m Map) Back(p geom.Vec3) geom.Vec3 {
	v := p.Sub(m.Shift)
	if m.Over {
		v.Y, v.Z = -v.Y, -v.Z
	}
	return geom.Vec3{
		X: v.X/m.Scale.X + m.Centre.X,
		Y: v.Y/m.Scale.Y + m.Centre.Y,
		Z: v.Z / m.Scale.Z,
	}
}

// Mirrors reports whether the plan, seen from above on the tool, is the mirror image of the plan
// seen from above on the part.
func (m Map) Mirrors() bool { return m.Over }

// Affine returns the plan map of m: Affine().Point is Plan.
func (m Map) Affine() geom.Affine {
	a := geom.Scaled(m.Scale.X, m.Scale.Y)
	if m.Over {
		a = geom.Scaled(m.Scale.X, -m.Scale.Y)
	}
	return geom.Moved(m.Centre.Scale(-1)).Then(a).Then(geom.Moved(m.Shift.Plan()))
}
