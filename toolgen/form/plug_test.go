package form_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
)

func TestPlug(t *testing.T) {
	// R. J. Crawford, Plastics Engineering, 3rd ed., 1998, Example 4.7: a box 150 x 100 x 60 from 2 mm
	// with a plug of 140 x 90: the sheet under the plug stays 2 mm, 4,800 mm3 are left for the walls.
	// The mesh feeds them a strip under the plug's sharp rim besides, up to one square wide.
	tool := formtest.Box{X: 150, Y: 100, Depth: 60}
	s := form.LevelFrame(formtest.Box2(150, 100), 0, 0)
	s.Gauge, s.Law, s.Pressure = 2, form.Rubber(0.005, 0.3), 0.09
	plain := formed(t, tool, s, form.Options{})
	s.Plug = &form.Plug{Face: formtest.Block{Box3: formtest.Box2(140, 90).Up(1, 81)}, Travel: 61}
	base := func(p geom.Vec3) bool { return math.Abs(p.X) < 60 && math.Abs(p.Y) < 35 && p.Z < -55 }
	was, _ := plain.Mean(base)
	require.Less(t, was, 0.7)
	for _, mesh := range []float64{4, 3} {
		sh := formed(t, tool, s, form.Options{Mesh: mesh})
		under, _ := sh.Mean(base)
		rest := 0.0
		for k := range sh.Triangles {
			if sh.Triangles[k].Thickness < 1.98 {
				rest += sh.Triangles[k].Thickness * sh.Area(k)
			}
		}
		t.Logf("mesh %g: base %.3f (%.3f without), left for the walls %.0f mm3", mesh, under, was, rest)
		require.InDelta(t, 2, under, 0.001)
		require.Greater(t, rest, 4700.0)
		require.Less(t, rest, 4800+2*2*(140+90)*mesh)
		for _, n := range sh.Nodes {
			require.True(t, n.At.IsFinite())
		}
	}
}

// TestPlugSlips: when the plug is down, a sheet that slides on it is nearly even, one that sticks keeps its
// gauge under it and takes all from the sides. Neither is inside the plug or the tool.
func TestPlugSlips(t *testing.T) {
	tool := formtest.Box{X: 150, Y: 100, Depth: 60}
	plug := formtest.Block{Box3: formtest.Box2(110, 60).Up(1, 81)}
	s := form.LevelFrame(formtest.Box2(150, 100), 0, 0)
	s.Gauge, s.Law, s.Pressure = 1, form.Rubber(0.05, 0.1), 0.09
	under := func(p geom.Vec3) bool { return math.Abs(p.X) < 45 && math.Abs(p.Y) < 20 }
	side := func(p geom.Vec3) bool { return p.Z > -45 && p.Z < -5 }
	walls := func(slip bool) (end, sides float64) {
		s.Plug = &form.Plug{Face: plug, Travel: 51, Slip: slip}
		sh, err := form.Plugged(t.Context(), tool, s, form.Options{Mesh: 4})
		require.NoError(t, err)
		require.InDelta(t, 0, sh.Balance(), 1e-12)
		for _, n := range sh.Nodes {
			d, _ := tool.Distance(n.At)
			require.Greater(t, d, -1e-3)
			d, _ = plug.Distance(n.At.Add(geom.Vec3{Z: 51}))
			require.Greater(t, d, -0.5, "%v slip %v", n, slip)
		}
		end, _ = sh.Mean(under)
		sides, _ = sh.Mean(side)
		return end, sides
	}
	stickEnd, stickSides := walls(false)
	slipEnd, slipSides := walls(true)
	t.Logf("stuck: end %.3f, sides %.3f; sliding: end %.3f, sides %.3f", stickEnd, stickSides, slipEnd, slipSides)
	require.InDelta(t, 1, stickEnd, 1e-6)
	require.Less(t, slipEnd, 0.7)
	require.Greater(t, slipSides, 1.2*stickSides)
}
