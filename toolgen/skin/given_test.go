package skin_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
	"platen/toolgen/skin"
)

// scene is a body in the making.
type scene struct {
	t       testing.TB
	table   *piece.Table
	block   *sdf.Sweep
	patches []*sdf.Patch
}

// block starts a scene with a block of the given plan between two heights; its sides lean out
// downwards by skirt.
func block(t testing.TB, o *outline.Outline, base, land float64, skirt geom.Angle) *scene {
	const far = 1e5
	out := (land - base) * skirt.Tan()
	p := sdf.Profile{
		{A: geom.Vec2{X: -far, Y: base}, B: geom.Vec2{X: out, Y: base}},
		{A: geom.Vec2{X: out, Y: base}, B: geom.Vec2{X: 0, Y: land}},
		{A: geom.Vec2{X: 0, Y: land}, B: geom.Vec2{X: -far, Y: land}},
	}
	s := &scene{t: t, table: &piece.Table{}}
	s.block = sdf.NewSweep(s.table, "block", o, p, []piece.Role{piece.Base, piece.Side, piece.Land})
	return s
}

// add puts a feature on the level of patch parent (-1: the land).
func (s *scene) add(parent int, o *outline.Outline, w sdf.Wall) *scene {
	s.t.Helper()
	p, err := w.Profile()
	require.NoError(s.t, err)
	host := s.block.IDs[len(s.block.IDs)-1][0]
	if parent >= 0 {
		ids := s.patches[parent].Sweep.IDs
		host = ids[len(ids)-1][0]
	}
	name := fmt.Sprintf("P%d", len(s.patches)+1)
	sweep := sdf.NewSweepOn(s.table, host, name, o, p, w.Roles(piece.Land, p))
	s.patches = append(s.patches, &sdf.Patch{Name: name, Host: host, Parent: parent, Sweep: sweep})
	return s
}

func (s *scene) body() *sdf.Body { return sdf.NewBody(s.table, s.block, s.patches) }

// at returns the outline moved in plan.
func at(t testing.TB, x, y float64) func(*outline.Outline, error) *outline.Outline {
	return func(o *outline.Outline, err error) *outline.Outline {
		t.Helper()
		require.NoError(t, err)
		m := geom.Vec2{X: x, Y: y}
		var loops [][]outline.Elem
		for i := range o.Loops {
			var l []outline.Elem
			for _, e := range o.Loop(i) {
				l = append(l, outline.Elem{A: e.A.Add(m), B: e.B.Add(m), C: e.C.Add(m), R: e.R})
			}
			loops = append(loops, l)
		}
		out, err := outline.New(loops...)
		require.NoError(t, err)
		return out
	}
}

// ringed returns the outer outline with the others cut out of it.
func ringed(t testing.TB, outer *outline.Outline, holes ...*outline.Outline) *outline.Outline {
	t.Helper()
	loops := [][]outline.Elem{outer.Loop(0)}
	for _, h := range holes {
		var l []outline.Elem
		for _, e := range h.Loop(0) {
			l = append([]outline.Elem{{A: e.B, B: e.A, C: e.C, R: -e.R}}, l...)
		}
		loops = append(loops, l)
	}
	o, err := outline.New(loops...)
	require.NoError(t, err)
	return o
}

// pocketGrid is the block 600 x 400 x 60 with a grid of drafted, rounded pockets.
func pocketGrid(t testing.TB, nx, ny int, blockR, pitchX, pitchY, l, w, r, depth, edge, root float64) *sdf.Body {
	s := block(t, at(t, 0, 0)(outline.Rect(600, 400, blockR)), -60, 0, 0)
	for i := range nx {
		for j := range ny {
			x, y := (float64(i)-float64(nx-1)/2)*pitchX, (float64(j)-float64(ny-1)/2)*pitchY
			s.add(-1, at(t, x, y)(outline.Rect(l, w, r)),
				sdf.Wall{Host: 0, End: -depth, Datum: 0, Draft: 6 * geom.Degree, HostR: edge, EndR: root})
		}
	}
	return s.body()
}

// t12 is the tray tool with twelve pockets.
func t12(t testing.TB) *sdf.Body {
	return pocketGrid(t, 4, 3, 12, 140, 122, 110, 90, 15, 40, 3, 4)
}

// t384 has a tray of 24 x 16 small pockets.
func t384(t testing.TB) *sdf.Body {
	px, py := 600./24, 400./16
	l, w := 0.78*px, 0.78*py
	depth := 0.4 * w
	return pocketGrid(t, 24, 16, 6, px, py, l, w, 0.12*l, depth, 0.08*depth, 0.1*depth)
}

func build(t testing.TB, b *sdf.Body, o skin.Options) (*mesh.Mesh, skin.Report) {
	t.Helper()
	m, rep, err := skin.Build(context.Background(), b, o)
	require.NoError(t, err)
	return m, rep
}

func volume(m *mesh.Mesh) float64 {
	v := 0.0
	for _, t := range m.T {
		v += m.V[t[0]].Dot(m.V[t[1]].Cross(m.V[t[2]])) / 6
	}
	return v
}

func area(m *mesh.Mesh) float64 {
	a := 0.0
	for _, t := range m.T {
		a += m.V[t[1]].Sub(m.V[t[0]]).Cross(m.V[t[2]].Sub(m.V[t[0]])).Norm() / 2
	}
	return a
}

// requireSound checks that every edge has one triangle on each side, every vertex one fan, all
// vertices are used and on the grid, no triangle is flat and every one has a piece.
func requireSound(t testing.TB, b *sdf.Body, m *mesh.Mesh) {
	t.Helper()
	require.Len(t, m.P, len(m.T))
	half := make(map[[2]int32]int32, 3*len(m.T))
	degree := make([]int, len(m.V))
	for i, tr := range m.T {
		require.GreaterOrEqual(t, m.P[i], piece.ID(0))
		require.Less(t, int(m.P[i]), b.Pieces.Len())
		n := m.V[tr[1]].Sub(m.V[tr[0]]).Cross(m.V[tr[2]].Sub(m.V[tr[0]]))
		require.Positive(t, n.Norm(), "triangle %d %v", i, tr)
		for k := range 3 {
			e := [2]int32{tr[k], tr[(k+1)%3]}
			_, twice := half[e]
			require.False(t, twice, "edge %v %v-%v is used twice", e, m.V[e[0]], m.V[e[1]])
			half[e] = tr[(k+2)%3]
			degree[tr[k]]++
		}
	}
	for e := range half {
		_, ok := half[[2]int32{e[1], e[0]}]
		require.True(t, ok, "edge %v %v-%v is open", e, m.V[e[0]], m.V[e[1]])
	}
	start := make([]int32, len(m.V))
	for e := range half {
		start[e[0]] = e[1]
	}
	for v := range m.V {
		require.Positive(t, degree[v], "vertex %d is not used", v)
		n, at := 0, start[v]
		for {
			at = half[[2]int32{int32(v), at}]
			if n++; at == start[v] || n > degree[v] {
				break
			}
		}
		require.Equal(t, degree[v], n, "vertex %d %v has several fans", v, m.V[v])
		require.Equal(t, mesh.Quantise(m.V[v]), m.V[v])
	}
}

// requireAudit checks what requireSound does not: no triangles cross and all face the air.
func requireAudit(t testing.TB, m *mesh.Mesh) {
	t.Helper()
	a, err := m.Audit(context.Background())
	require.NoError(t, err)
	require.NoError(t, a.Fault())
}

// dense returns the largest field value over 91 points of every step-th triangle, with its place.
func dense(m *mesh.Mesh, step int, at func(geom.Vec3) sdf.Sample) (float64, geom.Vec3) {
	const n = 12
	worst, place := 0.0, geom.Vec3{}
	for i := 0; i < len(m.T); i += step {
		t := m.T[i]
		a, b, c := m.V[t[0]], m.V[t[1]], m.V[t[2]]
		for i := range n + 1 {
			for j := range n + 1 - i {
				p := a.Add(b.Sub(a).Scale(float64(i) / n)).Add(c.Sub(a).Scale(float64(j) / n))
				if d := math.Abs(at(p).D); d > worst {
					worst, place = d, p
				}
			}
		}
	}
	return worst, place
}
