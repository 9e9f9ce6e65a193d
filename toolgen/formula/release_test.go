package formula_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/formula"
	"platen/toolgen/geom"
)

// TestGrip sums the forces on a band round a square with rounded corners: only its corners press.
func TestGrip(t *testing.T) {
	const stress, wall, height, mu = 1.2, 0.7, 20.0, 0.4
	for _, draft := range []geom.Angle{0, 3 * geom.Degree, 10 * geom.Degree} {
		for _, r := range []float64{2, 8} {
			sum := 0.0
			const n = 1000
			for range 4 * n { // slices of the four corners, each of a quarter turn
				arc := math.Pi / 2 / n * r
				area := arc * height / draft.Cos()
				press := stress * wall / r
				sum += press * area * (mu*draft.Cos() - draft.Sin())
			}
			require.InEpsilon(t, sum, formula.Grip(stress, wall, height, draft, mu), 1e-9)
		}
	}
	require.Zero(t, formula.Grip(1, 1, 10, 22*geom.Degree, 0.4), "tan 22 deg is over 0.4")
	require.InDelta(t, 2*math.Pi*0.84*20*0.4, formula.Grip(1.2, 0.7, 20, 0, 0.4), 1e-9)
}
