package mesh_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
)

// tube is the wall of a cylinder about z of radius r and height h, in n facets with their corners on
// it.
func tube(r, h float64, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range n {
		p := geom.Vec2{X: r}.Turn(geom.Angle(2 * math.Pi * float64(i) / float64(n)))
		m.V = append(m.V, p.At(0), p.At(h))
		a, b := int32(2*i), int32(2*(i+1)%(2*n))
		m.T = append(m.T, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
		m.P = append(m.P, piece.ID(i), piece.ID(i))
	}
	return m
}

// TestSagitta measures the sagitta of a facet, r (1 - cos(pi/n)), which a grid of even order meets
// exactly: it lies on the middle of the diagonal and of the level sides.
func TestSagitta(t *testing.T) {
	const r, n = 40.0, 24
	m := tube(r, 7, n)
	dist := func(p geom.Vec3) float64 { return p.Plan().Norm() - r }
	sagitta := r * (1 - math.Cos(math.Pi/n))
	for _, order := range []int{2, 12, 20} {
		d, err := m.Deviation(t.Context(), dist, nil, order)
		require.NoError(t, err)
		require.InDelta(t, sagitta, d.Max, 1e-12)
		require.InDelta(t, r-sagitta, d.At.Plan().Norm(), 1e-12)
		require.Equal(t, 2*n, d.Measured)
		require.Equal(t, n*(order+1)*(order+2), d.Points)
		require.Equal(t, 1.0, d.Over(0.999*sagitta))
		require.Zero(t, d.Over(1.001*sagitta))
	}
	d, err := m.Deviation(t.Context(), dist, nil, 1)
	require.NoError(t, err)
	require.InDelta(t, 0, d.Max, 1e-13, "corners alone lie on the surface")
}

// TestOneWrongFacet moves one vertex and finds the place, the triangle and the piece.
func TestOneWrongFacet(t *testing.T) {
	m := tube(40, 7, 24)
	m.V[10] = m.V[10].Add(m.V[10].Plan().Unit().Scale(2).At(0)) // foot of facets 4 and 5
	dist := func(p geom.Vec3) float64 { return p.Plan().Norm() - 40 }
	d, err := m.Deviation(t.Context(), dist, nil, mesh.DenseOrder)
	require.NoError(t, err)
	require.InDelta(t, 2, d.Max, 1e-12)
	require.InDelta(t, 0, d.At.Sub(m.V[10]).Norm(), 1e-12)
	require.Contains(t, []piece.ID{4, 5}, d.Piece)
	require.Equal(t, d.Max, d.Worst[d.Triangle])
	require.Contains(t, []int{4, 5}, int(m.P[d.Triangle]))
	require.InDelta(t, 3.0/48, d.Over(1), 1e-15, "the foot has three triangles")
	exempt := func(t int) bool { return m.P[t] == 4 || m.P[t] == 5 }
	d, err = m.Deviation(t.Context(), dist, exempt, mesh.DenseOrder)
	require.NoError(t, err)
	require.InDelta(t, 40*(1-math.Cos(math.Pi/24)), d.Max, 1e-12)
	require.Equal(t, 4, d.Exempt)
	require.Equal(t, 44, d.Measured)
}

// TestQuantile compares with the sorted distances.
func TestQuantile(t *testing.T) {
	r := rand.New(rand.NewPCG(51, 52))
	m := pocketBlock(1, 1, 16, 5)
	at := geom.Vec3{X: r.Float64() * 100, Y: r.Float64() * 100, Z: -20}
	const order = 6
	var all []float64
	for _, c := range m.T {
		for i := range order + 1 {
			for j := range order + 1 - i {
				p := m.V[c[0]].Scale(float64(order - i - j)).Add(m.V[c[1]].Scale(float64(i))).Add(m.V[c[2]].Scale(float64(j)))
				all = append(all, p.Scale(1.0/order).Sub(at).Norm())
			}
		}
	}
	slices.Sort(all)
	want := all[int(math.Ceil(0.999*float64(len(all))))-1]
	d, err := m.Deviation(t.Context(), func(p geom.Vec3) float64 { return -p.Sub(at).Norm() }, nil, order)
	require.NoError(t, err)
	require.Len(t, all, d.Points)
	require.InEpsilon(t, all[len(all)-1], d.Max, 1e-12)
	require.GreaterOrEqual(t, d.P999, want*(1-1e-12))
	require.LessOrEqual(t, d.P999, want*1.01)
}

func TestDeviationErrors(t *testing.T) {
	m := cube(geom.Vec3{}, one)
	zero := func(geom.Vec3) float64 { return 0 }
	for _, order := range []int{0, -1, 65} {
		_, err := m.Deviation(t.Context(), zero, nil, order)
		require.ErrorContains(t, err, "is not between 1 and 64")
	}
	_, err := m.Deviation(t.Context(), func(p geom.Vec3) float64 { return math.Sqrt(p.Z - 0.5) }, nil, 2)
	require.EqualError(t, err, "mesh: the distance at (0.000, 0.000, 0.000) mm is not a number")
	d, err := (&mesh.Mesh{}).Deviation(t.Context(), zero, nil, 2)
	require.NoError(t, err)
	require.Equal(t, -1, d.Triangle)
	require.Zero(t, d.Over(0))
	d, err = m.Deviation(t.Context(), zero, func(int) bool { return true }, 2)
	require.NoError(t, err)
	require.Equal(t, 12, d.Exempt)
	require.Equal(t, piece.None, d.Piece)
}

// slowDistance is the distance to the mesh by ternary search over every triangle, which is convex.
func slowDistance(m *mesh.Mesh, p geom.Vec3) float64 {
	best := math.Inf(1)
	for _, c := range m.T {
		a, b, d := m.V[c[0]], m.V[c[1]].Sub(m.V[c[0]]), m.V[c[2]].Sub(m.V[c[0]])
		along := func(u float64) float64 {
			return search(0, 1-u, func(v float64) float64 {
				return a.Add(b.Scale(u)).Add(d.Scale(v)).Sub(p).Norm()
			})
		}
		best = min(best, search(0, 1, along))
	}
	return best
}

// search returns the least value of a convex function between lo and hi.
func search(lo, hi float64, f func(float64) float64) float64 {
	for range 60 {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if f(a) < f(b) {
			hi = b
		} else {
			lo = a
		}
	}
	return f((lo + hi) / 2)
}

func TestCoverageDistances(t *testing.T) {
	r := rand.New(rand.NewPCG(61, 62))
	m := moved(torus(10, 4, 6, 4), rotation(r))
	for range 20 {
		p := geom.Vec3{X: r.NormFloat64() * 10, Y: r.NormFloat64() * 10, Z: r.NormFloat64() * 10}
		c, err := m.Coverage(t.Context(), func(i int) (geom.Vec3, bool) { return p, i < 1 })
		require.NoError(t, err)
		require.InDelta(t, slowDistance(m, p), c.Max, 1e-6)
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

func TestPieces(t *testing.T) {
	m := tube(40, 7, 3)
	m.P = []piece.ID{5, 2, 5, 5, 2, 2}
	side := 2 * 40 * math.Sin(math.Pi/3) * 7 / 2 // one triangle
	got := m.Pieces()
	require.Len(t, got, 2)
	require.Equal(t, []piece.ID{2, 5}, []piece.ID{got[0].Piece, got[1].Piece})
	require.Equal(t, []int{3, 3}, []int{got[0].Triangles, got[1].Triangles})
	require.InEpsilon(t, 3*side, got[0].Area, 1e-13)
	require.InEpsilon(t, 3*side, got[1].Area, 1e-13)
	m.P = nil
	got = m.Pieces()
	require.Len(t, got, 1)
	require.Equal(t, piece.None, got[0].Piece)
	require.InEpsilon(t, m.Area(), got[0].Area, 1e-13)
}
