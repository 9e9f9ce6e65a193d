package export_test

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// box returns the closed mesh of the cuboid, outward.
func box(lo, hi geom.Vec3) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		v := lo
		if i&1 != 0 {
			v.X = hi.X
		}
		if i&2 != 0 {
			v.Y = hi.Y
		}
		if i&4 != 0 {
			v.Z = hi.Z
		}
		m.V = append(m.V, v)
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.T = append(m.T, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

// ball returns a closed ball with n rings of 2n vertices on the 2^-14 mm grid.
func ball(centre geom.Vec3, r float64, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	put := func(th, ph float64) {
		p := centre.Add(geom.Vec3{X: r * math.Sin(th) * math.Cos(ph), Y: r * math.Sin(th) * math.Sin(ph), Z: r * math.Cos(th)})
		m.V = append(m.V, geom.Vec3{X: grid(p.X), Y: grid(p.Y), Z: grid(p.Z)})
	}
	put(0, 0)
	k := 2 * n
	for i := 1; i <= n; i++ {
		for j := range k {
			put(math.Pi*float64(i)/float64(n+1), 2*math.Pi*float64(j)/float64(k))
		}
	}
	put(math.Pi, 0)
	last := int32(len(m.V) - 1)
	at := func(i, j int) int32 { return int32(1 + i*k + j%k) }
	for j := range k {
		m.T = append(m.T, [3]int32{0, at(0, j), at(0, j+1)}, [3]int32{last, at(n-1, j+1), at(n-1, j)})
		for i := range n - 1 {
			m.T = append(m.T,
				[3]int32{at(i, j), at(i+1, j), at(i+1, j+1)},
				[3]int32{at(i, j), at(i+1, j+1), at(i, j+1)})
		}
	}
	return m
}

func grid(x float64) float64 { return math.Round(x*16384) / 16384 }

// volume returns the volume of the mesh by the divergence theorem.
func volume(m *mesh.Mesh) float64 {
	s := 0.0
	for _, t := range m.T {
		s += m.V[t[0]].Dot(m.V[t[1]].Cross(m.V[t[2]])) / 6
	}
	return s
}
