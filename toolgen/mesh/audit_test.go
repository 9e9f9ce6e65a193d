package mesh_test

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
)

var one = geom.Vec3{X: 1, Y: 1, Z: 1}

func audit(t *testing.T, m *mesh.Mesh) mesh.Audit {
	t.Helper()
	a, err := m.Audit(t.Context())
	require.NoError(t, err)
	return a
}

func TestSoundSolids(t *testing.T) {
	tests := []struct {
		name         string
		m            *mesh.Mesh
		volume, area float64
		genus        int
	}{
		{"cube", cube(geom.Vec3{X: 3, Y: -2, Z: 7}, geom.Vec3{X: 2, Y: 3, Z: 5}), 30, 62, 0},
		// Volume x y z / 6; three right triangles and one of half |(yz, zx, xy)|.
		{"tetrahedron", tetrahedron(2, 3, 6), 6, 3 + 6 + 9 + math.Sqrt(18*18+12*12+6*6)/2, 0},
		{"ring", torus(10, 3, 24, 12), torusVolume(10, 3, 24, 12), 0, 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := audit(t, test.m)
			require.NoError(t, a.Fault())
			require.InEpsilon(t, test.volume, a.Volume, 1e-13)
			require.Equal(t, a.Volume, test.m.Volume())
			require.Equal(t, a.Area, test.m.Area())
			if test.area > 0 {
				require.InEpsilon(t, test.area, a.Area, 1e-13)
			}
			require.Len(t, a.Shells, 1)
			require.Equal(t, test.genus, a.Shells[0].Genus)
			require.Equal(t, len(test.m.T), a.Shells[0].Triangles)
			require.InEpsilon(t, a.Volume, a.Shells[0].Volume, 1e-13)
		})
	}
}

// torusVolume returns the volume of the faceted ring. Each of its n segments lies between two planes
// through the axis, and the solid is linear along it: every row of the tube polygon is a trapezoid
// prism with planar quads, whose section at the turn angle has the plan area of the polygon. By
// parts: a chord of angle w sweeps the area r^2 sin(w)/2 in plan at radius r, so the volume is
// n sin(w)/2 times the integral of (outer^2 - inner^2) over the height of the tube polygon.
func torusVolume(big, small float64, n, k int) float64 {
	sum := 0.0
	for j := range k {
		s0, c0 := math.Sincos(2 * math.Pi * float64(j) / float64(k))
		s1, c1 := math.Sincos(2 * math.Pi * float64(j+1) / float64(k))
		r0, r1 := big+small*c0, big+small*c1
		sum += small * (s1 - s0) * (r0*r0 + r0*r1 + r1*r1) / 3
	}
	return sum * float64(n) * math.Sin(2*math.Pi/float64(n)) / 2
}

func TestRotationChangesNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for range 20 {
		turn := rotation(r)
		a := audit(t, moved(torus(20, 6, 18, 12), turn))
		require.NoError(t, a.Fault())
		require.InEpsilon(t, torusVolume(20, 6, 18, 12), a.Volume, 1e-12)
		a = audit(t, moved(cube(geom.Vec3{}, one), turn))
		require.NoError(t, a.Fault())
		require.InDelta(t, 1, a.Volume, 1e-14)
		require.InDelta(t, 6, a.Area, 1e-13)
	}
}

// without returns m less triangle t.
func without(m *mesh.Mesh, t int) *mesh.Mesh {
	r := &mesh.Mesh{V: m.V}
	r.T = append(append(r.T, m.T[:t]...), m.T[t+1:]...)
	return r
}

// with returns m with one more triangle of new vertices.
func with(m *mesh.Mesh, v ...geom.Vec3) *mesh.Mesh {
	n := int32(len(m.V))
	r := &mesh.Mesh{V: append(append([]geom.Vec3{}, m.V...), v...)}
	r.T = append(append(r.T, m.T...), [3]int32{n, n + 1, n + 2})
	return r
}

func TestFaults(t *testing.T) {
	c := cube(geom.Vec3{}, one)
	doubled := &mesh.Mesh{V: c.V, T: append(append([][3]int32{}, c.T...), [3]int32{c.T[0][1], c.T[0][0], c.T[0][2]})}
	flipped := &mesh.Mesh{V: c.V, T: append([][3]int32{{c.T[0][0], c.T[0][2], c.T[0][1]}}, c.T[1:]...)}
	repeated := &mesh.Mesh{V: c.V, T: append(append([][3]int32{}, c.T...), [3]int32{3, 3, 1})}
	unused := &mesh.Mesh{V: append(append([]geom.Vec3{}, c.V...), geom.Vec3{X: 9}), T: c.T}
	edge := join(true, c, cube(geom.Vec3{X: 1, Y: 1}, one))
	corner := join(true, c, cube(one, one))
	tests := []struct {
		name string
		m    *mesh.Mesh
		want string
	}{
		{"empty", &mesh.Mesh{}, "mesh: no shell"},
		{"open box", without(without(c, 2), 2), "mesh: 4 open edges, first at (0.500, 0.000, 1.000) mm"},
		{"missing triangle", without(c, 2), "mesh: 3 open edges, first at (0.500, 0.000, 1.000) mm"},
		{"inverted", inverted(c), "mesh: 1 shell that does not face outward at (0.333, 0.667, 0.000) mm"},
		{"flipped triangle", flipped, "mesh: 3 edges between triangles that face opposite ways, first at (0.000, 0.500, 0.000) mm"},
		{
			"doubled triangle", doubled,
			"mesh: 1 doubled triangle at (0.333, 0.667, 0.000) mm; 3 edges with more than two triangles, " +
				"first at (0.000, 0.500, 0.000) mm; 3 vertices shared by separate fans, first at (0.000, 0.000, 0.000) mm; " +
				"1 pair of crossing triangles at (0.333, 0.667, 0.000) mm",
		},
		{"repeated corner", repeated, "mesh: 1 triangle without area at (1.000, 0.667, 0.000) mm"},
		{"unused vertex", unused, "mesh: 1 vertex without triangle at (9.000, 0.000, 0.000) mm"},
		{
			"touch at an edge", edge,
			"mesh: 1 edge with more than two triangles at (1.000, 1.000, 0.500) mm; " +
				"2 vertices shared by separate fans, first at (1.000, 1.000, 0.000) mm",
		},
		{
			"touch at a vertex", corner,
			"mesh: 1 vertex shared by separate fans at (1.000, 1.000, 1.000) mm; 2 separate shells, want 1",
		},
		{
			"touch without common vertex", join(false, c, cube(one, one)),
			"mesh: 36 pairs of crossing triangles, first at (0.667, 0.333, 1.000) mm; 2 separate shells, want 1",
		},
		{"two shells", join(false, c, cube(one.Scale(2), one)), "mesh: 2 separate shells, want 1"},
		{
			"void", join(false, cube(geom.Vec3{}, one.Scale(5)), inverted(cube(one, one))),
			"mesh: 1 shell that does not face outward at (1.333, 1.667, 1.000) mm; 2 separate shells, want 1",
		},
		{
			"pierced", with(c, geom.Vec3{X: 0.5, Y: 0.4, Z: 0.5}, geom.Vec3{X: 0.5, Y: 0.4, Z: 1.5}, geom.Vec3{X: 0.6, Y: 0.4, Z: 1.5}),
			"mesh: 3 open edges, first at (0.500, 0.400, 1.000) mm; " +
				"1 pair of crossing triangles at (0.667, 0.333, 1.000) mm; 2 separate shells, want 1",
		},
		{
			"coplanar on top", with(c, geom.Vec3{X: 0.5, Y: 0.4, Z: 1}, geom.Vec3{X: 0.6, Y: 0.4, Z: 1}, geom.Vec3{X: 0.6, Y: 0.45, Z: 1}),
			"mesh: 3 open edges, first at (0.550, 0.400, 1.000) mm; " +
				"1 pair of crossing triangles at (0.667, 0.333, 1.000) mm; 2 separate shells, want 1",
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			require.EqualError(t, audit(t, test.m).Fault(), test.want)
		})
	}
	require.NoError(t, audit(t, join(false, c, cube(one.Scale(2), one))).FaultOf(2))
	require.NoError(t, audit(t, join(false, c, cube(one.Scale(2), one))).FaultOf(0))
	require.EqualError(t, audit(t, c).FaultOf(2), "mesh: 1 shell, want 2")
}

// TestShells checks that each shell is measured by itself.
func TestShells(t *testing.T) {
	a := audit(t, join(false, torus(10, 3, 24, 12), cube(one.Scale(20), one), without(cube(one.Scale(30), one), 0)))
	require.Len(t, a.Shells, 3)
	require.InEpsilon(t, torusVolume(10, 3, 24, 12), a.Shells[0].Volume, 1e-12)
	require.InEpsilon(t, 1.0, a.Shells[1].Volume, 1e-12)
	require.Equal(t, []int{1, 0, -1}, []int{a.Shells[0].Genus, a.Shells[1].Genus, a.Shells[2].Genus})
	require.Equal(t, 576+12, a.Shells[2].First)
}

func TestUnreadable(t *testing.T) {
	tests := []struct {
		name string
		m    mesh.Mesh
		want string
	}{
		{"corner", mesh.Mesh{V: make([]geom.Vec3, 3), T: [][3]int32{{0, 1, 3}}}, "mesh: triangle 0 has the corner 3; there are 3 vertices"},
		{"nan", mesh.Mesh{V: []geom.Vec3{{Y: math.NaN()}}}, "mesh: vertex 0 has the coordinate NaN; it must be 0 or between 6e-58 and 1e12 mm in size"},
		{"tiny", mesh.Mesh{V: []geom.Vec3{{Y: 1e-300}}}, "mesh: vertex 0 has the coordinate 1e-300; it must be 0 or between 6e-58 and 1e12 mm in size"},
		{"pieces", mesh.Mesh{V: make([]geom.Vec3, 3), P: make([]piece.ID, 1)}, "mesh: 1 pieces for 0 triangles; there must be one for each, or none"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := test.m.Audit(t.Context())
			require.EqualError(t, err, test.want)
			_, _, err = test.m.Crossings(t.Context(), 1)
			require.EqualError(t, err, test.want)
		})
	}
}

// TestAnyCores audits and measures the same meshes on one and on several cores.
func TestAnyCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	r := rand.New(rand.NewPCG(21, 22))
	meshes := []*mesh.Mesh{pocketBlock(2, 2, 32, 9), soup(r, 150, 700, 40)}
	type result struct {
		audit     mesh.Audit
		deviation mesh.Deviation
		coverage  mesh.Coverage
	}
	run := func(m *mesh.Mesh) (out result) {
		var err error
		out.audit = audit(t, m)
		ball := func(p geom.Vec3) float64 { return p.Norm() - 50 }
		out.deviation, err = m.Deviation(t.Context(), ball, nil, 5)
		require.NoError(t, err)
		out.coverage, err = m.Coverage(t.Context(), func(i int) (geom.Vec3, bool) {
			return geom.Vec3{X: float64(i % 31), Y: float64(i % 57), Z: float64(i % 7)}, i < 2000
		})
		require.NoError(t, err)
		return out
	}
	for _, m := range meshes {
		runtime.GOMAXPROCS(1)
		want := run(m)
		require.Positive(t, want.deviation.Max)
		for _, n := range []int{2, 5} {
			runtime.GOMAXPROCS(n)
			require.Equal(t, want, run(m))
		}
	}
}

func TestCancel(t *testing.T) {
	m := pocketBlock(2, 2, 32, 9)
	ctx, cancel := context.WithCancel(t.Context())
	calls := 0
	_, err := m.Deviation(ctx, func(geom.Vec3) float64 {
		cancel()
		return 0
	}, nil, 12)
	require.ErrorIs(t, err, context.Canceled)
	_, err = m.Audit(ctx)
	require.ErrorIs(t, err, context.Canceled)
	_, _, err = m.Crossings(ctx, 1)
	require.ErrorIs(t, err, context.Canceled)
	_, err = m.Coverage(ctx, func(int) (geom.Vec3, bool) { calls++; return geom.Vec3{}, true })
	require.ErrorIs(t, err, context.Canceled)
	require.Zero(t, calls)
	ctx, cancel = context.WithCancel(t.Context())
	_, err = m.Coverage(ctx, func(i int) (geom.Vec3, bool) {
		if i == 1000 {
			cancel()
		}
		return geom.Vec3{}, true // endless: only the cancel ends it
	})
	require.ErrorIs(t, err, context.Canceled)
}
