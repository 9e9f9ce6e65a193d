package geom

import "math"

// Box2 is an axis-parallel rectangle; EmptyBox2 holds nothing.
type Box2 struct{ Min, Max Vec2 }

// EmptyBox2 returns the box that holds nothing and is neutral in Hold.
func EmptyBox2() Box2 {
	return Box2{Vec2{math.Inf(1), math.Inf(1)}, Vec2{math.Inf(-1), math.Inf(-1)}}
}

// Hold returns the smallest box that holds b and p.
func (b Box2) Hold(p Vec2) Box2 {
	return Box2{Vec2{min(b.Min.X, p.X), min(b.Min.Y, p.Y)}, Vec2{max(b.Max.X, p.X), max(b.Max.Y, p.Y)}}
}

// Join returns the smallest box that holds b and c.
func (b Box2) Join(c Box2) Box2 {
	return Box2{Vec2{min(b.Min.X, c.Min.X), min(b.Min.Y, c.Min.Y)}, Vec2{max(b.Max.X, c.Max.X), max(b.Max.Y, c.Max.Y)}}
}

// Grow returns b with every side moved outward by m.
func (b Box2) Grow(m float64) Box2 {
	return Box2{Vec2{b.Min.X - m, b.Min.Y - m}, Vec2{b.Max.X + m, b.Max.Y + m}}
}

// Size returns the side lengths.
func (b Box2) Size() Vec2 { return b.Max.Sub(b.Min) }

// Centre returns the middle.
func (b Box2) Centre() Vec2 { return b.Min.Add(b.Max).Scale(0.5) }

// Dist returns the distance from p to b, zero inside.
func (b Box2) Dist(p Vec2) float64 {
	dx := max(b.Min.X-p.X, 0, p.X-b.Max.X)
	dy := max(b.Min.Y-p.Y, 0, p.Y-b.Max.Y)
	return Vec2{dx, dy}.Norm()
}

// Holds reports whether p lies in b, its sides included.
func (b Box2) Holds(p Vec2) bool {
	return b.Min.X <= p.X && p.X <= b.Max.X && b.Min.Y <= p.Y && p.Y <= b.Max.Y
}

// Overlaps reports whether b and c share a point.
func (b Box2) Overlaps(c Box2) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Box3 is an axis-parallel cuboid; EmptyBox3 holds nothing.
type Box3 struct{ Min, Max Vec3 }

// EmptyBox3 returns the box that holds nothing and is neutral in Hold.
func EmptyBox3() Box3 {
	i := math.Inf(1)
	return Box3{Vec3{i, i, i}, Vec3{-i, -i, -i}}
}

// Hold returns the smallest box that holds b and p.
func (b Box3) Hold(p Vec3) Box3 {
	return Box3{
		Vec3{min(b.Min.X, p.X), min(b.Min.Y, p.Y), min(b.Min.Z, p.Z)},
		Vec3{max(b.Max.X, p.X), max(b.Max.Y, p.Y), max(b.Max.Z, p.Z)},
	}
}

// Grow returns b with every side moved outward by m.
func (b Box3) Grow(m float64) Box3 {
	d := Vec3{m, m, m}
	return Box3{b.Min.Sub(d), b.Max.Add(d)}
}

// Size returns the side lengths.
func (b Box3) Size() Vec3 { return b.Max.Sub(b.Min) }

// Centre returns the middle.
func (b Box3) Centre() Vec3 { return b.Min.Add(b.Max).Scale(0.5) }

// Dist returns the distance from p to b, zero inside.
func (b Box3) Dist(p Vec3) float64 {
	return Vec3{
		max(b.Min.X-p.X, 0, p.X-b.Max.X),
		max(b.Min.Y-p.Y, 0, p.Y-b.Max.Y),
		max(b.Min.Z-p.Z, 0, p.Z-b.Max.Z),
	}.Norm()
}

// Plan drops the heights.
func (b Box3) Plan() Box2 { return Box2{b.Min.Plan(), b.Max.Plan()} }

// Up raises the box from a plan to the heights z0 to z1.
func (b Box2) Up(z0, z1 float64) Box3 { return Box3{b.Min.At(z0), b.Max.At(z1)} }

// Apart returns the distance between b and c, zero where they share a point.
func (b Box2) Apart(c Box2) float64 {
	dx := max(b.Min.X-c.Max.X, 0, c.Min.X-b.Max.X)
	dy := max(b.Min.Y-c.Max.Y, 0, c.Min.Y-b.Max.Y)
	return Vec2{dx, dy}.Norm()
}
