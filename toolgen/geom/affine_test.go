package geom_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
)

func near(t *testing.T, want, got geom.Vec2) {
	t.Helper()
	require.InDelta(t, want.X, got.X, 1e-14)
	require.InDelta(t, want.Y, got.Y, 1e-14)
}

func TestAffineMapsInOrder(t *testing.T) {
	p := geom.Vec2{X: 3, Y: 4}
	near(t, geom.Vec2{X: 5, Y: 3}, geom.Moved(geom.Vec2{X: 2, Y: -1}).Point(p))
	near(t, geom.Vec2{X: -8, Y: 6}, geom.Scaled(2, 2).Then(geom.Turned(90*geom.Degree)).Point(p))
	turnThenMove := geom.Turned(90 * geom.Degree).Then(geom.Moved(geom.Vec2{X: 1}))
	near(t, geom.Vec2{X: -3, Y: 3}, turnThenMove.Point(p))
	moveThenTurn := geom.Moved(geom.Vec2{X: 1}).Then(geom.Turned(90 * geom.Degree))
	near(t, geom.Vec2{X: -4, Y: 4}, moveThenTurn.Point(p))
	near(t, p.Turn(0.7), geom.Turned(0.7).Point(p))
}

func TestTurnedIsExactOnQuarters(t *testing.T) {
	for k, want := range map[float64]geom.Vec2{
		0: {X: 3, Y: 4}, 1: {X: -4, Y: 3}, 2: {X: -3, Y: -4}, 3: {X: 4, Y: -3},
		-1: {X: 4, Y: -3}, -2: {X: -3, Y: -4}, 5: {X: -4, Y: 3}, 8: {X: 3, Y: 4},
	} {
		require.Equal(t, want, geom.Turned(geom.Angle(k)*90*geom.Degree).Point(geom.Vec2{X: 3, Y: 4}), "%v quarters", k)
	}
}

func TestSimilarTellsCirclesFromEllipses(t *testing.T) {
	for name, c := range map[string]struct {
		m    geom.Affine
		s    float64
		same bool
	}{
		"turn":         {geom.Turned(1), 1, true},
		"mirror":       {geom.Scaled(3, -3).Then(geom.Turned(1)), 3, true},
		"unlike":       {geom.Scaled(1.005, 1.006), math.Sqrt(1.005 * 1.006), false},
		"unlike, turn": {geom.Turned(0.3).Then(geom.Scaled(1.005, 1.006)), math.Sqrt(1.005 * 1.006), false},
		"shear":        {geom.Affine{A: 1, B: 0.1, D: 1}, 1, false},
	} {
		s, same := c.m.Similar()
		require.InDelta(t, c.s, s, 1e-14, name)
		require.Equal(t, c.same, same, name)
	}
	require.InDelta(t, -9, geom.Scaled(3, -3).Then(geom.Turned(1)).Det(), 1e-13)
}
