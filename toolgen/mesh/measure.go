package mesh

import (
	"math"

	"platen/toolgen/geom"
)

// total is a sum that also carries what its roundings left out (Neumaier's compensated sum), so that
// a hundred thousand terms lose no more than one does.
type total struct{ sum, rest float64 }

func (t *total) add(x float64) {
	s := t.sum + x
	if math.Abs(t.sum) >= math.Abs(x) {
		t.rest += (t.sum - s) + x
	} else {
		t.rest += (x - s) + t.sum
	}
	t.sum = s
}

func (t *total) value() float64 { return t.sum + t.rest }

// corners returns the corners of triangle t.
func (m *Mesh) corners(t int) (a, b, c geom.Vec3) {
	i := m.T[t]
	return m.V[i[0]], m.V[i[1]], m.V[i[2]]
}

// spin returns the vector product of two sides of triangle t: normal times twice the area.
func (m *Mesh) spin(t int) geom.Vec3 {
	a, b, c := m.corners(t)
	return b.Sub(a).Cross(c.Sub(a))
}

// cone returns six times the signed volume between triangle t and the point o.
func (m *Mesh) cone(t int, o geom.Vec3) float64 {
	a, b, c := m.corners(t)
	return a.Sub(o).Dot(b.Sub(o).Cross(c.Sub(o)))
}

// Volume returns the signed volume inside the mesh, mm3: positive when its triangles face outward.
// For an open mesh it means nothing.
func (m *Mesh) Volume() float64 {
	o := m.Box().Centre()
	var v total
	for t := range m.T {
		v.add(m.cone(t, o))
	}
	return v.value() / 6
}

// Area returns the area of all triangles, mm2.
func (m *Mesh) Area() float64 {
	var a total
	for t := range m.T {
		a.add(m.spin(t).Norm())
	}
	return a.value() / 2
}

// Box returns the box of all corners of triangles; empty for a mesh without triangles.
func (m *Mesh) Box() geom.Box3 {
	box := geom.EmptyBox3()
	for _, t := range m.T {
		box = box.Hold(m.V[t[0]]).Hold(m.V[t[1]]).Hold(m.V[t[2]])
	}
	return box
}
