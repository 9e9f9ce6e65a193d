package geom

import "math"

// Affine is a map of the plan: (x, y) goes to (A x + B y, C x + D y) + T. The zero value is no map;
// start from Moved, Turned or Scaled.
type Affine struct {
	A, B, C, D float64
	T          Vec2 // shift, mm
}

// Moved returns the shift by v.
func Moved(v Vec2) Affine { return Affine{A: 1, D: 1, T: v} }

// Turned returns the rotation by t about the origin, counter-clockwise. Quarter turns are exact.
func Turned(t Angle) Affine {
	if q := t / (90 * Degree); q == Angle(math.Round(float64(q))) {
		c := [4]float64{1, 0, -1, 0}
		i := int(math.Mod(math.Mod(float64(q), 4)+4, 4))
		return Affine{A: c[i], B: -c[(i+3)%4], C: c[(i+3)%4], D: c[i]}
	}
	s, c := math.Sincos(float64(t))
	return Affine{A: c, B: -s, C: s, D: c}
}

// Scaled returns the scaling by x along X and y along Y about the origin; a negative factor mirrors.
func Scaled(x, y float64) Affine { return Affine{A: x, D: y} }

// Point returns the image of a point.
func (m Affine) Point(p Vec2) Vec2 { return m.Dir(p).Add(m.T) }

// Dir returns the image of a direction; its length changes with the scale.
func (m Affine) Dir(v Vec2) Vec2 {
	return Vec2{float64(m.A*v.X) + float64(m.B*v.Y), float64(m.C*v.X) + float64(m.D*v.Y)}
}

// Then returns the map that does m first and n after it.
func (m Affine) Then(n Affine) Affine {
	x, y := n.Dir(Vec2{m.A, m.C}), n.Dir(Vec2{m.B, m.D})
	return Affine{x.X, y.X, x.Y, y.Y, n.Point(m.T)}
}

// Det returns the determinant: the factor on areas, negative when the map mirrors.
func (m Affine) Det() float64 { return float64(m.A*m.D) - float64(m.B*m.C) }

// Similar returns the factor on lengths and whether it is the same in every direction, so that
// circles stay circles.
func (m Affine) Similar() (float64, bool) {
	// Rounding of composed rotations stays far below this; shrink factors differ by 1e-3.
	const same = 1e-13
	s := math.Sqrt(math.Abs(m.Det()))
	x, y := m.A-m.D, m.B+m.C
	if m.Det() < 0 {
		x, y = m.A+m.D, m.B-m.C
	}
	return s, math.Abs(x) <= same*s && math.Abs(y) <= same*s
}
