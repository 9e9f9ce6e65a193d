package render

import (
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// smoothCos is the cosine of the angle up to which neighbouring triangles are shaded as one smooth
// surface: 25 degrees, above any step a rounding is cut into and below any edge meant to be sharp.
const smoothCos = 0.9063

// faces returns the normals of the triangles, area-weighted and unit; zero for flat ones.
func faces(m *mesh.Mesh) (weighted, unit []geom.Vec3) {
	weighted, unit = make([]geom.Vec3, len(m.T)), make([]geom.Vec3, len(m.T))
	for i, t := range m.T {
		a := m.V[t[0]]
		weighted[i] = m.V[t[1]].Sub(a).Cross(m.V[t[2]].Sub(a))
		unit[i] = weighted[i].Unit()
	}
	return weighted, unit
}

// corners returns a normal for every corner of every triangle: the mean over the triangles round
// the vertex that belong to the same smooth surface, weighted by area, so that a plane keeps its own
// normal next to the narrow strips of a rounding.
func corners(m *mesh.Mesh, weighted, unit []geom.Vec3) [][3]geom.Vec3 {
	// Triangles round each vertex, as ranges of one list.
	start := make([]int32, len(m.V)+1)
	for _, t := range m.T {
		for _, v := range t {
			start[v+1]++
		}
	}
	for i := range m.V {
		start[i+1] += start[i]
	}
	fill := append([]int32(nil), start[:len(m.V)]...)
	round := make([]int32, 3*len(m.T))
	for i, t := range m.T {
		for _, v := range t {
			round[fill[v]] = int32(i)
			fill[v]++
		}
	}
	out := make([][3]geom.Vec3, len(m.T))
	bands(len(m.T), 4096, func(lo, hi int) {
		for i := lo; i < hi; i++ {
			for k, v := range m.T[i] {
				sum := geom.Vec3{}
				for _, j := range round[start[v]:start[v+1]] {
					if unit[i].Dot(unit[j]) >= smoothCos {
						sum = sum.Add(weighted[j])
					}
				}
				out[i][k] = sum.Unit()
			}
		}
	})
	return out
}

// normalAt returns the smooth normal of triangle t at p.
func normalAt(m *mesh.Mesh, t int32, p geom.Vec3, ns [3]geom.Vec3) geom.Vec3 {
	a, b, c := m.V[m.T[t][0]], m.V[m.T[t][1]], m.V[m.T[t][2]]
	ab, ac, ap := b.Sub(a), c.Sub(a), p.Sub(a)
	n := ab.Cross(ac)
	area := n.Dot(n)
	if area == 0 {
		return ns[0]
	}
	v := min(max(ap.Cross(ac).Dot(n)/area, 0), 1)
	w := min(max(ab.Cross(ap).Dot(n)/area, 0), 1)
	return ns[0].Scale(max(1-v-w, 0)).Add(ns[1].Scale(v)).Add(ns[2].Scale(w)).Unit()
}
