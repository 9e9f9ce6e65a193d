package shop_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/shop"
)

func TestCusp(t *testing.T) {
	// Machining calculator pages: published examples, in the unit of the source.
	require.InDelta(t, 0.01043, shop.Cusp(3, 0.5), 1e-5)        // 6 mm ball, 0.5 mm step
	require.InDelta(t, 0.3463, shop.Step(3, 0.005), 1e-4)       // 6 mm ball, 0.005 mm cusp
	require.InDelta(t, 0.001253, shop.Cusp(0.25, 0.050), 1e-6)  // 1/2 in ball
	require.InDelta(t, 0.000401, shop.Cusp(0.125, 0.020), 2e-6) // 1/4 in ball, printed 0.000402
	require.InDelta(t, 3.0, shop.Cusp(3, 6), 1e-12, "side by side, a cusp of the whole radius")
	require.True(t, math.IsNaN(shop.Cusp(3, 6.1)))
	for _, step := range []float64{1e-6, 0.01, 0.5, 2, 5.9} {
		require.InEpsilon(t, step, shop.Step(3, shop.Cusp(3, step)), 1e-12, "there and back")
	}
}

func TestCutterReach(t *testing.T) {
	for ratio, want := range map[float64]shop.Reach{
		2.9: shop.Economical, 3: shop.Slow, 6: shop.Slow, 6.1: shop.Hard, 10: shop.Hard, 10.1: shop.VeryHard,
	} {
		require.Equal(t, want, shop.CutterReach(6, 6*ratio), "%g", ratio)
	}
	require.Less(t, shop.FinishCusp(true).High, shop.FinishCusp(false).High)
	require.InDelta(t, 3.3, shop.LeastFillet(3).V, 1e-12)
	require.InDelta(t, 12, shop.Engagement(6).V, 1e-12)
}
