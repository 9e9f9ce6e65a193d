package wall_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

// TestAreas holds the areas of a drafted pocket against a worked example (derived by hand: Steiner's
// formula for the floor, the wall as a prismatoid of planes and cone quarters).
func TestAreas(t *testing.T) {
	o, err := outline.Rect(110, 90, 15)
	require.NoError(t, err)
	f := &part.Feature{Solid: part.Solid{Outline: o, Sunk: true, Height: 40, Draft: 6 * geom.Degree}}
	top, floor, side := wall.Areas(f)
	require.InEpsilon(t, 9706.9, top, 1e-4)
	require.InEpsilon(t, 8189.0, floor, 1e-4)
	require.InEpsilon(t, 14521.1, side, 1e-4)
	require.InEpsilon(t, 2.340, wall.DrawRatio(f), 1e-3)
}

// TestNominal holds the walls of area balance: a recess is thinned by its ratio, a block keeps the gauge
// on its top, strokes take the wall of what they stand on.
func TestNominal(t *testing.T) {
	o, err := outline.Rect(110, 90, 15)
	require.NoError(t, err)
	pocket := &part.Feature{Solid: part.Solid{Outline: o, Sunk: true, Height: 40, Draft: 6 * geom.Degree}}
	under, over := wall.Nominal{Gauge: 2}, wall.Nominal{Gauge: 2, Over: true}
	require.InEpsilon(t, 2/2.340, under.End(pocket).MM, 1e-3)
	require.InDelta(t, 2, over.End(pocket).MM, 0)
	letter := &part.Feature{Parent: pocket, Solid: part.Solid{Outline: o, Height: 1, Use: part.Lettering}}
	require.InDelta(t, under.End(pocket).MM, under.End(letter).MM, 0)
	require.False(t, under.End(pocket).Simulated)
}
