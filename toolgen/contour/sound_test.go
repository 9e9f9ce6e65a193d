package contour_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/contour"
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// sound holds a mesh against every promise of the package.
func sound(t *testing.T, s contour.Source, o contour.Options, m *mesh.Mesh, rep contour.Report) {
	t.Helper()
	require.Len(t, m.P, len(m.T))
	require.Equal(t, len(m.T), rep.Triangles)
	require.Empty(t, rep.Places)
	d, err := m.Deviation(context.Background(), func(p geom.Vec3) float64 { return s.At(p).D }, nil, mesh.DenseOrder)
	require.NoError(t, err)
	require.LessOrEqual(t, d.Max, o.Tol)
	require.InDelta(t, d.Max, min(d.Max, rep.MaxDev), 1e-12, "the report must not name less")
	require.LessOrEqual(t, rep.MaxDev, o.Tol)
	n, _, err := m.Crossings(context.Background(), 1)
	require.NoError(t, err)
	require.Zero(t, n, "triangles cross")

	level := map[float64]bool{}
	for _, z := range o.Levels {
		level[z] = true
	}
	for i, v := range m.T {
		a, b, c := m.V[v[0]], m.V[v[1]], m.V[v[2]]
		f := s.At(a.Add(b).Add(c).Scale(1. / 3))
		require.Greater(t, b.Sub(a).Cross(c.Sub(a)).Unit().Dot(f.G), 0.3, "triangle %d turns from the air", i)
		require.Equal(t, f.Piece, m.P[i])
		require.False(t, a.Z == b.Z && b.Z == c.Z && level[a.Z], "triangle %d is level", i)
	}
	for z, loops := range borders(t, m) {
		require.True(t, level[z], "a border runs at %v", z)
		simple(t, loops)
		for _, e := range loops {
			if z == o.Levels[s.Level()[0]] {
				require.InDelta(t, 0, s.Plan(e[0]), o.Tol, "the rim strays")
			}
			onRim(t, s, z, o, e)
		}
	}
}

// borders returns the edges with one face by their height, in plan, and requires that they lie on
// one height bitwise and close into loops.
func borders(t *testing.T, m *mesh.Mesh) map[float64][][2]geom.Vec2 {
	t.Helper()
	faces := map[[2]int32]int{}
	for _, v := range m.T {
		for k := range 3 {
			faces[[2]int32{v[k], v[(k+1)%3]}]++
		}
	}
	out := map[float64][][2]geom.Vec2{}
	ends := map[int32]int{}
	for e, n := range faces {
		require.Equal(t, 1, n, "an edge with two faces on one side")
		if faces[[2]int32{e[1], e[0]}] == 1 {
			continue
		}
		a, b := m.V[e[0]], m.V[e[1]]
		require.True(t, a.Z == b.Z, "a border edge climbs from %v to %v", a, b)
		out[a.Z] = append(out[a.Z], [2]geom.Vec2{a.Plan(), b.Plan()})
		ends[e[0]]++
		ends[e[1]]--
	}
	for v, n := range ends {
		require.Zero(t, n, "a border loop is open at %v", m.V[v])
	}
	return out
}

// simple requires that no two edges of a level cross or touch but at common ends.
func simple(t *testing.T, es [][2]geom.Vec2) {
	t.Helper()
	side := func(a, b, c geom.Vec2) float64 { return b.Sub(a).Cross(c.Sub(a)) }
	box := func(e [2]geom.Vec2) geom.Box2 { return geom.EmptyBox2().Hold(e[0]).Hold(e[1]) }
	for i, e := range es {
		for _, f := range es[:i] {
			if e[0] == f[0] || e[0] == f[1] || e[1] == f[0] || e[1] == f[1] || !box(e).Overlaps(box(f)) {
				continue
			}
			if side(e[0], e[1], f[0])*side(e[0], e[1], f[1]) <= 0 && side(f[0], f[1], e[0])*side(f[0], f[1], e[1]) <= 0 {
				require.Fail(t, "border edges cross", "%v %v", e, f)
			}
		}
	}
}

// onRim requires that both the level and what ends it lie within the tolerance, in plan, of every point of
// a border edge.
func onRim(t *testing.T, s contour.Source, z float64, o contour.Options, e [2]geom.Vec2) {
	t.Helper()
	for _, x := range []float64{0, 0.25, 0.5, 0.75} {
		q := e[0].Add(e[1].Sub(e[0]).Scale(x))
		in, out := false, false
		for k := range 24 {
			d := geom.Vec2{X: o.Tol}.Turn(geom.Angle(k) * 15 * geom.Degree)
			if level, ok := o.Levels[s.At(q.Add(d).At(z)).Piece]; ok && level == z {
				in = true
			} else {
				out = true
			}
		}
		require.True(t, in && out, "no rim within %v mm of %v at %v", o.Tol, q, z)
	}
}
