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
