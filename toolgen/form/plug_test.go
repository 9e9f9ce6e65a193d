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
	// with a plug of 140 x 90: the sheet under the plug stays 2 mm, the rest of the volume, 4,800 mm3,
	// makes the 30,000 mm2 of wall: 0.16 mm. On a coarse mesh a strip up to an edge wide under the plug's
	// sharp rim stretches too and feeds the walls; hence the fine one.
	tool := formtest.Box{X: 150, Y: 100, Depth: 60}
	s := form.LevelFrame(formtest.Box2(150, 100), 0, 0)
	s.Gauge, s.Law, s.Pressure = 2, form.Rubber(0.005, 0.3), 0.09
	plain := formed(t, tool, s, form.Options{})
	s.Plug = &form.Plug{Face: formtest.Block{Box3: formtest.Box2(140, 90).Up(1, 81)}, Travel: 60.5}
	sh := formed(t, tool, s, form.Options{Mesh: 2.5, Least: 0.7})
	base := func(p geom.Vec3) bool { return math.Abs(p.X) < 60 && math.Abs(p.Y) < 35 && p.Z < -55 }
	sides := func(p geom.Vec3) bool { return math.Abs(p.X) > 74 || math.Abs(p.Y) > 49 }
	under, _ := sh.Mean(base)
	wall, area := sh.Mean(sides)
	was, _ := plain.Mean(base)
	t.Logf("base %.3f (%.3f without), wall %.4f over %.0f mm2", under, was, wall, area)
	require.InDelta(t, 2, under, 0.02)
	require.InDelta(t, 0.16, wall, 0.02)
	require.Less(t, was, 1.0)
	for _, n := range sh.Nodes {
		require.True(t, n.At.IsFinite())
	}
}
