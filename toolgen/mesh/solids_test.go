package mesh_test

import (
	"math"
	"math/rand/v2"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// cube returns the box with the given lowest corner and sides.
func cube(at, size geom.Vec3) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		m.V = append(m.V, at.Add(geom.Vec3{
			X: size.X * float64(i&1), Y: size.Y * float64(i>>1&1), Z: size.Z * float64(i>>2),
		}))
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.T = append(m.T, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

// tetrahedron returns one with its corners on three axes.
func tetrahedron(x, y, z float64) *mesh.Mesh {
	return &mesh.Mesh{
		V: []geom.Vec3{{}, {X: x}, {Y: y}, {Z: z}},
		T: [][3]int32{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {2, 0, 3}},
	}
}

// torus returns a ring of n by k quads, radius big to the middle of a tube of radius small.
func torus(big, small float64, n, k int) *mesh.Mesh {
	m := &mesh.Mesh{}
	at := func(i, j int) int32 { return int32(i%n*k + j%k) }
	for i := range n {
		for j := range k {
			su, cu := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			sv, cv := math.Sincos(2 * math.Pi * float64(j) / float64(k))
			m.V = append(m.V, geom.Vec3{X: (big + small*cv) * cu, Y: (big + small*cv) * su, Z: small * sv})
			m.T = append(m.T, [3]int32{at(i, j), at(i+1, j), at(i+1, j+1)}, [3]int32{at(i, j), at(i+1, j+1), at(i, j+1)})
		}
	}
	return m
}

// join returns both meshes in one, vertices with equal coordinates merged if weld is set.
func join(weld bool, ms ...*mesh.Mesh) *mesh.Mesh {
	all := &mesh.Mesh{}
	seen := map[geom.Vec3]int32{}
	for _, m := range ms {
		to := make([]int32, len(m.V))
		for i, v := range m.V {
			k, ok := seen[v]
			if !ok || !weld {
				k = int32(len(all.V))
				all.V = append(all.V, v)
				seen[v] = k
			}
			to[i] = k
		}
		for _, t := range m.T {
			all.T = append(all.T, [3]int32{to[t[0]], to[t[1]], to[t[2]]})
		}
	}
	return all
}

// inverted returns m with every triangle turned over.
func inverted(m *mesh.Mesh) *mesh.Mesh {
	r := &mesh.Mesh{V: m.V}
	for _, t := range m.T {
		r.T = append(r.T, [3]int32{t[0], t[2], t[1]})
	}
	return r
}

// moved returns m with f applied to its vertices.
func moved(m *mesh.Mesh, f func(geom.Vec3) geom.Vec3) *mesh.Mesh {
	r := &mesh.Mesh{T: m.T, P: m.P}
	for _, v := range m.V {
		r.V = append(r.V, f(v))
	}
	return r
}

// rotation returns a random rotation: an orthonormal frame from two random directions.
func rotation(r *rand.Rand) func(geom.Vec3) geom.Vec3 {
	dir := func() geom.Vec3 {
		return geom.Vec3{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit()
	}
	x, y := dir(), dir()
	z := x.Cross(y).Unit()
	y = z.Cross(x)
	return func(v geom.Vec3) geom.Vec3 {
		return x.Scale(v.X).Add(y.Scale(v.Y)).Add(z.Scale(v.Z))
	}
}

// soup returns random triangles over few vertices on a coarse grid, so that corners are shared,
// planes coincide and touching is common.
func soup(r *rand.Rand, vertices, triangles, grid int) *mesh.Mesh {
	m := &mesh.Mesh{}
	for range vertices {
		m.V = append(m.V, geom.Vec3{X: float64(r.IntN(grid)), Y: float64(r.IntN(grid)), Z: float64(r.IntN(grid))})
	}
	for range triangles {
		m.T = append(m.T, [3]int32{int32(r.IntN(vertices)), int32(r.IntN(vertices)), int32(r.IntN(vertices))})
	}
	return m
}

// pocketRing returns n points round a square of half side s with corners of radius c, from the
// middle of the right side on, counter-clockwise, evenly spread over four corners; n is a multiple
// of 4.
func pocketRing(at geom.Vec2, s, c float64, n int) []geom.Vec2 {
	var ring []geom.Vec2
	for q := range 4 {
		turn := geom.Angle(q) * 90 * geom.Degree
		for i := range n / 4 {
			a := geom.Angle(float64(i)/float64(n/4-1)) * 90 * geom.Degree
			p := geom.Vec2{X: s - c + c*a.Cos(), Y: s - c + c*a.Sin()}
			ring = append(ring, at.Add(p.Turn(turn)))
		}
	}
	return ring
}

// pocketBlock returns a block of nx by ny tiles, 100 mm square and 60 thick, each with a pocket 40
// deep: rings rows of n points with a rounded section, level floor and land, finished on the grid of
// Quantise. It has the triangles of a forming tool: long slivers, level planes and fine roundings.
func pocketBlock(nx, ny, n, rings int) *mesh.Mesh {
	m := &mesh.Mesh{}
	seen := map[geom.Vec3]int32{}
	id := func(p geom.Vec3) int32 {
		p = mesh.Quantise(p)
		k, ok := seen[p]
		if !ok {
			k = int32(len(m.V))
			seen[p] = k
			m.V = append(m.V, p)
		}
		return k
	}
	tri := func(a, b, c int32) { m.T = append(m.T, [3]int32{a, b, c}) }
	for ix := range nx {
		for iy := range ny {
			c := geom.Vec2{X: 100*float64(ix) + 50, Y: 100*float64(iy) + 50}
			pocket(c, n, rings, id, tri)
			var top, under [4]int32
			for k, d := range [4]geom.Vec2{{X: 50, Y: 50}, {X: -50, Y: 50}, {X: -50, Y: -50}, {X: 50, Y: -50}} {
				top[k], under[k] = id(c.Add(d).At(0)), id(c.Add(d).At(-60))
			}
			tri(under[0], under[2], under[1])
			tri(under[0], under[3], under[2])
			for k, outer := range [4]bool{iy == ny-1, ix == 0, iy == 0, ix == nx-1} {
				if j := (k + 1) % 4; outer {
					tri(top[k], under[j], top[j])
					tri(top[k], under[k], under[j])
				}
			}
		}
	}
	return m
}

func pocket(c geom.Vec2, n, rings int, id func(geom.Vec3) int32, tri func(a, b, c int32)) {
	var outer []int32
	for r := range rings {
		u := geom.Angle(float64(r)/float64(rings-1)) * 84 * geom.Degree
		s, z := 40-20*(1-u.Cos()), -40*u.Sin()
		var ring []int32
		for _, p := range pocketRing(c, s, s/3, n) {
			ring = append(ring, id(p.At(z)))
		}
		for k := range ring {
			j := (k + 1) % n
			if r > 0 {
				tri(outer[k], outer[j], ring[j])
				tri(outer[k], ring[j], ring[k])
				continue
			}
			// The land: a fan from each corner of the tile, and one triangle along each side.
			quarter := geom.Vec2{X: 50, Y: 50}.Turn(geom.Angle(k/(n/4)) * 90 * geom.Degree)
			corner := id(c.Add(quarter).At(0))
			tri(ring[k], corner, ring[j])
			if (k+1)%(n/4) == 0 {
				tri(corner, id(c.Add(quarter.Left()).At(0)), ring[j])
			}
		}
		outer = ring
		if r == rings-1 {
			middle := id(c.At(z))
			for k := range ring {
				tri(ring[k], ring[(k+1)%n], middle)
			}
		}
	}
}
