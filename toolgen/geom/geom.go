// Package geom owns vectors, boxes and angles.
//
// Lengths are millimetres. X points right, Y away from the person at the bench, Z up.
// Directions are unit vectors unless a comment says otherwise.
package geom

import "math"

// Angle is an angle in radians; write 6*Degree and read a.Degrees().
type Angle float64

// Units of Angle.
const (
	Radian Angle = 1
	Degree Angle = math.Pi / 180
)

// Degrees returns the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a / Degree) }

// Sin returns the sine.
func (a Angle) Sin() float64 { return math.Sin(float64(a)) }

// Cos returns the cosine.
func (a Angle) Cos() float64 { return math.Cos(float64(a)) }

// Tan returns the tangent.
func (a Angle) Tan() float64 { return math.Tan(float64(a)) }

// Vec2 is a point or direction in a plan or in a profile.
type Vec2 struct{ X, Y float64 }

// Add returns a + b.
func (a Vec2) Add(b Vec2) Vec2 { return Vec2{a.X + b.X, a.Y + b.Y} }

// Sub returns a - b.
func (a Vec2) Sub(b Vec2) Vec2 { return Vec2{a.X - b.X, a.Y - b.Y} }

// Scale returns s a.
func (a Vec2) Scale(s float64) Vec2 { return Vec2{float64(s * a.X), float64(s * a.Y)} }

// Dot returns the scalar product.
func (a Vec2) Dot(b Vec2) float64 { return float64(a.X*b.X) + float64(a.Y*b.Y) }

// Cross returns the z component of the vector product, positive when b lies to the left of a.
func (a Vec2) Cross(b Vec2) float64 { return float64(a.X*b.Y) - float64(a.Y*b.X) }

// Norm returns the length.
func (a Vec2) Norm() float64 { return math.Sqrt(a.Dot(a)) }

// Unit returns the direction of a; the zero vector stays zero.
func (a Vec2) Unit() Vec2 {
	if n := a.Norm(); n > 0 {
		return a.Scale(1 / n)
	}
	return a
}

// Left returns a turned 90 degrees counter-clockwise.
func (a Vec2) Left() Vec2 { return Vec2{-a.Y, a.X} }

// Right returns a turned 90 degrees clockwise.
func (a Vec2) Right() Vec2 { return Vec2{a.Y, -a.X} }

// Turn returns a turned counter-clockwise by t.
func (a Vec2) Turn(t Angle) Vec2 {
	s, c := math.Sincos(float64(t))
	return Vec2{float64(c*a.X) - float64(s*a.Y), float64(s*a.X) + float64(c*a.Y)}
}

// At lifts a plan point to height z.
func (a Vec2) At(z float64) Vec3 { return Vec3{a.X, a.Y, z} }

// Vec3 is a point or direction in space.
type Vec3 struct{ X, Y, Z float64 }

// Add returns a + b.
func (a Vec3) Add(b Vec3) Vec3 { return Vec3{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }

// Sub returns a - b.
func (a Vec3) Sub(b Vec3) Vec3 { return Vec3{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }

// Scale returns s a.
func (a Vec3) Scale(s float64) Vec3 {
	return Vec3{float64(s * a.X), float64(s * a.Y), float64(s * a.Z)}
}

// Dot returns the scalar product.
func (a Vec3) Dot(b Vec3) float64 {
	return float64(a.X*b.X) + float64(a.Y*b.Y) + float64(a.Z*b.Z)
}

// Cross returns the vector product.
func (a Vec3) Cross(b Vec3) Vec3 {
	return Vec3{
		float64(a.Y*b.Z) - float64(a.Z*b.Y),
		float64(a.Z*b.X) - float64(a.X*b.Z),
		float64(a.X*b.Y) - float64(a.Y*b.X),
	}
}

// Norm returns the length.
func (a Vec3) Norm() float64 { return math.Sqrt(a.Dot(a)) }

// Unit returns the direction of a; the zero vector stays zero.
func (a Vec3) Unit() Vec3 {
	if n := a.Norm(); n > 0 {
		return a.Scale(1 / n)
	}
	return a
}

// Plan drops the height.
func (a Vec3) Plan() Vec2 { return Vec2{a.X, a.Y} }

// IsFinite reports whether no coordinate is NaN or infinite.
func (a Vec3) IsFinite() bool {
	s := a.X + a.Y + a.Z
	return s-s == 0
}
