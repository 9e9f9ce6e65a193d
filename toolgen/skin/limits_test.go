package skin_test

import (
	"context"
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

// TestFloorsThatVanish sinks features until their walls meet in a line or a point.
func TestFloorsThatVanish(t *testing.T) {
	for _, test := range []struct {
		name   string
		plan   *outline.Outline
		depth  float64
		volume float64 // mm3
	}{
		// Walls at 45 degrees: the section at depth x is the plan moved in by x.
		{"sharp groove", at(t, 3, 5)(outline.Rect(40, 20, 0)), 10, frustum(40*20, -120, 4, 10, 10)},
		{"rounded groove", at(t, 3, 5)(outline.Slot(40, 20)), 10, frustum(20*20+100*math.Pi, -40-20*math.Pi, math.Pi, 10, 10)},
		{"pyramid", at(t, 3, 5)(outline.Rect(20, 20, 0)), 10, 20. * 20 * 10 / 3},
		{"cone", at(t, 3, 5)(outline.Circle(10)), 10, math.Pi * 100 * 10 / 3},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := block(t, at(t, 0, 0)(outline.Rect(100, 80, 0)), -40, 0, 0)
			s.add(-1, test.plan, sdf.Wall{Host: 0, End: -test.depth, Datum: 0, Draft: 45 * geom.Degree})
			b := s.body()
			m, rep := build(t, b, skin.Options{Tol: 0.001})
			requireSound(t, b, m)
			require.InDelta(t, 100*80*40-test.volume, volume(m), 1.5)
			worst, at := dense(m, 1, b.At)
			require.LessOrEqual(t, worst, rep.Bound, "at %v", at)
		})
	}
}

// TestRimsThatTouch lets two sharp pockets share the end of an edge: the land is pinched there, but
// the mesh stays a surface.
func TestRimsThatTouch(t *testing.T) {
	s := block(t, at(t, 0, 0)(outline.Rect(100, 80, 0)), -40, 0, 0)
	w := sdf.Wall{Host: 0, End: -10, Datum: 0, Draft: 10 * geom.Degree}
	s.add(-1, at(t, -10, -10)(outline.Rect(20, 20, 0)), w).add(-1, at(t, 10, 10)(outline.Rect(20, 20, 0)), w)
	b := s.body()
	m, rep := build(t, b, skin.Options{Tol: 0.02})
	requireSound(t, b, m)
	in := 10 * (10 * geom.Degree).Tan()
	require.InDelta(t, 100*80*40-2*frustum(20*20, -80, 4, in, 10), volume(m), 0.5)
	require.Equal(t, len(m.T), rep.Strips+rep.Planes)
	require.Equal(t, 1, countAt(m, geom.Vec3{}))
}

func countAt(m *mesh.Mesh, p geom.Vec3) int {
	n := 0
	for _, v := range m.V {
		if v == p {
			n++
		}
	}
	return n
}

// TestCrownsThatTouch gives a contour of two lugs whose crowns share a point and nothing else. Each
// keeps a vertex of its own there.
func TestCrownsThatTouch(t *testing.T) {
	s := block(t, at(t, 0, 0)(outline.Rect(100, 80, 0)), -40, 0, 0)
	land := s.block.IDs[len(s.block.IDs)-1][0]
	j, err := sdf.NewJoint(s.table, land, 0, members(t)[3:])
	require.NoError(t, err)
	s.patches = []*sdf.Patch{{Name: "d", Host: land, Parent: -1, Joint: j}}
	// A lug leans over its root: crown (0,0) (8,-4) (8,4), root (4,0) (6,-1) (6,1); the other is
	// its image.
	open := &mesh.Mesh{}
	for _, side := range []float64{1, -1} {
		base := int32(len(open.V))
		for _, p := range []geom.Vec3{{X: 4}, {X: 6, Y: -1}, {X: 6, Y: 1}, {Z: 10}, {X: 8, Y: -4, Z: 10}, {X: 8, Y: 4, Z: 10}} {
			open.V = append(open.V, geom.Vec3{X: side * p.X, Y: side * p.Y, Z: p.Z})
		}
		for k := range int32(3) {
			n := (k + 1) % 3
			open.T = append(open.T, [3]int32{base + k, base + n, base + 3 + n}, [3]int32{base + k, base + 3 + n, base + 3 + k})
			open.P = append(open.P, j.Level()[1], j.Level()[1])
		}
	}
	contour := func(context.Context, int, *sdf.Joint, map[piece.ID]float64) (*mesh.Mesh, error) { return open, nil }
	b := s.body()
	m, rep := build(t, b, skin.Options{Tol: 0.02, Contour: contour})
	requireSound(t, b, m)
	require.Equal(t, 2, countAt(m, geom.Vec3{Z: 10}))
	require.Equal(t, skin.Report{Strips: 8, Contours: 12, Planes: len(m.T) - 20, Bound: rep.Bound}, rep)
	// Each wall and each end of the lug is a plane: prismatoid of sections 2, the middle one and 32 mm2.
	mid := [3]geom.Vec2{{X: 2}, {X: 7, Y: -2.5}, {X: 7, Y: 2.5}}
	middle := mid[1].Sub(mid[0]).Cross(mid[2].Sub(mid[0])) / 2
	require.InDelta(t, 100*80*40+2*10./6*(2+4*middle+32), volume(m), 1e-6)
}
