package frame_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/frame"
	"platen/toolgen/geom"
)

func TestAffineIsThePlanMap(t *testing.T) {
	for _, over := range []bool{false, true} {
		m := frame.Map{
			Scale: geom.Vec3{X: 1.005, Y: 1.008, Z: 1.006}, Centre: geom.Vec2{X: 12, Y: -7},
			Over: over, Shift: geom.Vec3{X: 100, Y: 80, Z: 40},
		}
		for _, p := range []geom.Vec2{{}, {X: 31, Y: 5}, {X: -200, Y: 77}, m.Centre} {
			want, got := m.Plan(p), m.Affine().Point(p)
			require.InDelta(t, want.X, got.X, 1e-12)
			require.InDelta(t, want.Y, got.Y, 1e-12)
		}
		require.Equal(t, m.Mirrors(), m.Affine().Det() < 0)
	}
}
