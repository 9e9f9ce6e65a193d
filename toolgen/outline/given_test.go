package outline_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

func seeded(n uint64) *rand.Rand { return rand.New(rand.NewPCG(n, 77)) }

func between(rng *rand.Rand, a, b float64) geom.Vec2 {
	return geom.Vec2{X: a + (b-a)*rng.Float64(), Y: a + (b-a)*rng.Float64()}
}

// key is an outline with everything: sharp and round corners, inner and outer, large arcs, a hole.
func key(t *testing.T) *outline.Outline {
	t.Helper()
	o, err := outline.Path(geom.Vec2{X: -20, Y: -6},
		outline.LineTo(geom.Vec2{X: 4, Y: -6}),
		outline.BulgeTo(geom.Vec2{X: 8, Y: -10}, -0.4), // sharp inner corner, arc turning right
		outline.BulgeTo(geom.Vec2{X: 8, Y: 10}, 1.1),   // more than half a turn
		outline.LineTo(geom.Vec2{X: 3, Y: 2}),
		outline.LineTo(geom.Vec2{X: 0, Y: 6}),
		outline.LineTo(geom.Vec2{X: -17, Y: 6}),
		outline.BulgeTo(geom.Vec2{X: -20, Y: 3}, 0.41421356237309503), // tangent quarter
	)
	require.NoError(t, err)
	hole, err := outline.Circle(3)
	require.NoError(t, err)
	hole, err = hole.Map(geom.Moved(geom.Vec2{X: 10}))
	require.NoError(t, err)
	both, err := outline.New(o.Loop(0), hole.Loop(0))
	require.NoError(t, err)
	both, err = both.Turned()
	require.NoError(t, err)
	require.NoError(t, both.Simple())
	return both
}

// block is a polygon with radius r through the corners.
func block(t *testing.T, r float64, pts ...geom.Vec2) *outline.Outline {
	t.Helper()
	o, err := outline.Polygon(pts, r)
	require.NoError(t, err)
	return o
}
