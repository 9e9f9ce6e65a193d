package form

import "platen/toolgen/geom"

// Forces returns the forces on the corners of a formed triangle.
func Forces(flat [3]geom.Vec2, at [3]geom.Vec3, gauge float64, l Law, p float64) [3]geom.Vec3 {
	e := newElement([3]int32{0, 1, 2}, flat[0], flat[1], flat[2], gauge)
	f0, f1, f2 := e.forces(&l, &at[0], &at[1], &at[2], p)
	return [3]geom.Vec3{f0, f1, f2}
}
