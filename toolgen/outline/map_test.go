package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

func TestMapKeepsArcsUnderEqualScales(t *testing.T) {
	o := key(t)
	maps := map[string]geom.Affine{
		"shift":         geom.Moved(geom.Vec2{X: 31.5, Y: -7}),
		"turn":          geom.Turned(33 * geom.Degree),
		"quarter":       geom.Turned(-90 * geom.Degree),
		"scale":         geom.Scaled(1.006, 1.006),
		"mirror":        geom.Scaled(1, -1),
		"mirror, scale": geom.Scaled(-2, 2).Then(geom.Turned(0.3)).Then(geom.Moved(geom.Vec2{X: 5})),
	}
	for name, m := range maps {
		t.Run(name, func(t *testing.T) {
			got, err := o.Map(m)
			require.NoError(t, err)
			require.NoError(t, got.Simple())
			require.Len(t, got.Elems, len(o.Elems))
			s, ok := m.Similar()
			require.True(t, ok)
			require.InEpsilon(t, s*s*o.Area(), got.Area(), 1e-12)
			require.InEpsilon(t, s*o.Length(), got.Length(), 1e-12)
			require.InDelta(t, s*o.Convex(), got.Convex(), 1e-12)
			require.InDelta(t, s*o.Concave(), got.Concave(), 1e-12)
			rng := seeded(1)
			for range 500 {
				p := between(rng, -40, 40)
				require.InDelta(t, s*o.At(p).D, got.At(m.Point(p)).D, 1e-11)
			}
		})
	}
}

func TestMapTurnsCirclesIntoEllipses(t *testing.T) {
	c, err := outline.Circle(10)
	require.NoError(t, err)
	for _, m := range []geom.Affine{
		geom.Scaled(1.005, 1.008),
		geom.Scaled(1, -1.02),
		geom.Scaled(1.3, 0.8).Then(geom.Turned(0.4)),
	} {
		got, err := c.Map(m)
		require.NoError(t, err)
		require.NoError(t, got.Simple())
		require.InEpsilon(t, math.Pi*100*math.Abs(m.Det()), got.Area(), 1e-6)
		require.Positive(t, got.Convex(), "the arcs must meet without corners")
		for k := range 5000 {
			p := m.Point(geom.Vec2{X: 10}.Turn(geom.Angle(float64(k) * 0.0137)))
			require.LessOrEqual(t, math.Abs(got.At(p).D), 1e-6)
		}
		require.LessOrEqual(t, len(got.Elems), 500, "as many as the bound needs, no more")
	}
}

func TestMapOfAnEllipseHasItsRadii(t *testing.T) {
	c, err := outline.Circle(10)
	require.NoError(t, err)
	e, err := c.Map(geom.Scaled(2, 1))
	require.NoError(t, err)
	require.InDelta(t, 5, e.Convex(), 0.1, "b^2/a at the ends of the long axis")
	require.InDelta(t, 10, e.Inside(), 2e-6, "the largest disc has the short half axis")
	require.InDelta(t, 40, e.Bounds().Size().X, 1e-6)
}

func TestMapRefuses(t *testing.T) {
	c, err := outline.Circle(10)
	require.NoError(t, err)
	_, err = c.Map(geom.Affine{})
	require.ErrorContains(t, err, "no area")
	_, err = c.Map(geom.Scaled(1e-9, 1e-9))
	require.ErrorContains(t, err, "no length")
}
