package mesh_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// slowDistance is the distance to the mesh by trying the plane, the sides and the corners of every
// triangle: the foot on the plane from the two normal equations, kept if its weights are positive.
func slowDistance(m *mesh.Mesh, p geom.Vec3) float64 {
	best := math.Inf(1)
	try := func(x geom.Vec3) { best = min(best, x.Sub(p).Norm()) }
	for _, c := range m.T {
		a, b, d := m.V[c[0]], m.V[c[1]].Sub(m.V[c[0]]), m.V[c[2]].Sub(m.V[c[0]])
		q := p.Sub(a)
		bb, bd, dd, bq, dq := b.Dot(b), b.Dot(d), d.Dot(d), b.Dot(q), d.Dot(q)
		det := bb*dd - bd*bd
		u, v := (bq*dd-dq*bd)/det, (dq*bb-bq*bd)/det
		if u >= 0 && v >= 0 && u+v <= 1 {
			try(a.Add(b.Scale(u)).Add(d.Scale(v)))
		}
		for i := range 3 {
			e, f := m.V[c[i]], m.V[c[(i+1)%3]]
			g := f.Sub(e)
			try(e)
			if s := g.Dot(p.Sub(e)) / g.Dot(g); s > 0 && s < 1 {
				try(e.Add(g.Scale(s)))
			}
		}
	}
	return best
}

func TestCoverageDistances(t *testing.T) {
	r := rand.New(rand.NewPCG(61, 62))
	for _, m := range []*mesh.Mesh{moved(torus(10, 4, 20, 12), rotation(r)), pocketBlock(1, 1, 16, 5), tetrahedron(3, 4, 5)} {
		c, size := m.Box().Centre(), m.Box().Size().Norm()
		for range 300 {
			p := c.Add(geom.Vec3{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Scale(size / 2))
			got, err := m.Coverage(t.Context(), func(i int) (geom.Vec3, bool) { return p, i < 1 })
			require.NoError(t, err)
			require.InDelta(t, slowDistance(m, p), got.Max, 1e-11)
		}
	}
}

// TestCoverageBetween32Bits takes triangles so near each other that 32-bit boxes cannot tell them
// apart: the box of the nearest may not seem to lie beyond the others.
func TestCoverageBetween32Bits(t *testing.T) {
	for k := range 15 {
		x := []float64{100.000004, 100.000001, 100.0000075}[k/5]
		m := &mesh.Mesh{}
		for j := range 5 {
			i := float64((j + k) % 5)
			n := int32(len(m.V))
			at := x + i*1e-9
			m.V = append(m.V, geom.Vec3{X: at, Y: -9, Z: -9}, geom.Vec3{X: at, Y: 9, Z: -9}, geom.Vec3{X: at, Z: 9})
			m.T = append(m.T, [3]int32{n, n + 1, n + 2})
		}
		for _, side := range []float64{1, -1} {
			turned := moved(m, func(v geom.Vec3) geom.Vec3 { return geom.Vec3{X: side * v.X, Y: v.Y, Z: v.Z} })
			c, err := turned.Coverage(t.Context(), func(i int) (geom.Vec3, bool) { return geom.Vec3{}, i < 1 })
			require.NoError(t, err)
			require.InDelta(t, x, c.Max, 1e-12)
		}
	}
}

// TestCoverage finds the one place where the mesh leaves surface out.
func TestCoverage(t *testing.T) {
	const r, n = 40.0, 24
	whole := tube(r, 7, n)
	hole := &mesh.Mesh{V: whole.V, T: whole.T[2:]}
	const many = 50_000
	sample := func(i int) (geom.Vec3, bool) {
		return geom.Vec2{X: r}.Turn(geom.Angle(2 * math.Pi * float64(i) / many)).At(3), i < many
	}
	c, err := whole.Coverage(t.Context(), sample)
	require.NoError(t, err)
	require.Equal(t, many, c.Points)
	require.InDelta(t, r*(1-math.Cos(math.Pi/n)), c.Max, 1e-6)
	require.LessOrEqual(t, c.P999, c.Max)
	c, err = hole.Coverage(t.Context(), sample)
	require.NoError(t, err)
	// The middle of the missing facet's arc lies 2 r sin(pi/2n) from its upright sides.
	require.InDelta(t, 2*r*math.Sin(math.Pi/(2*n)), c.Max, 1e-2)
	require.InDelta(t, many/n/2, c.Sample, 1)
	require.InDelta(t, 0, c.At.Sub(geom.Vec2{X: r}.Turn(math.Pi/n).At(3)).Norm(), 0.01)
}

func TestCoverageErrors(t *testing.T) {
	none := func(int) (geom.Vec3, bool) { return geom.Vec3{}, false }
	_, err := (&mesh.Mesh{}).Coverage(t.Context(), none)
	require.EqualError(t, err, "mesh: no triangles to measure distances from")
	c, err := cube(geom.Vec3{}, one).Coverage(t.Context(), none)
	require.NoError(t, err)
	require.Equal(t, mesh.Coverage{Sample: -1}, c)
	_, err = cube(geom.Vec3{}, one).Coverage(t.Context(), func(int) (geom.Vec3, bool) { return geom.Vec3{X: math.NaN()}, true })
	require.EqualError(t, err, "mesh: sample 0 is not finite")
}
