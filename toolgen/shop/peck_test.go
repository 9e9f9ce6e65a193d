package shop_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/shop"
	"platen/toolgen/source"
)

func TestHowDeep(t *testing.T) {
	for _, c := range []struct {
		d, depth float64
		want     shop.How
	}{
		{1, 3, shop.Straight},
		{1, 3.01, shop.Pecked},
		{0.7, 2.1, shop.Straight},
		{1, 8, shop.Pecked},
		{0.3, 2.4, shop.Pecked},
		{1, 8.01, shop.BackFirst},
	} {
		require.Equal(t, c.want, shop.HowDeep(c.d, c.depth), "%g to %g", c.d, c.depth)
	}
}

func TestPecks(t *testing.T) {
	for _, c := range []struct {
		depth, q float64
		want     int
	}{
		{5, 1, 5}, {5.1, 1, 6}, {0.9, 1, 1}, {0, 1, 0}, {-1, 1, 0},
		{2.1, 0.7, 3}, // 2.1 / 0.7 is a hair over 3 in binary
		{10, 2, 5},
	} {
		require.Equal(t, c.want, shop.Pecks(c.depth, c.q), "%g by %g", c.depth, c.q)
	}
	require.Panics(t, func() { shop.Pecks(5, 0) })
}

func TestPeckPath(t *testing.T) {
	// Depth 5 by 2: pecks at 2, 4, 5. Out and in again after the first two: 2x2 + 2x4; out 5.
	feed, rapid := shop.PeckPath(5, 2)
	require.InDelta(t, 5, feed, 1e-12)
	require.InDelta(t, 17, rapid, 1e-12)
	feed, rapid = shop.PeckPath(2, 2)
	require.InDelta(t, 2, feed, 1e-12)
	require.InDelta(t, 2, rapid, 1e-12)
	feed, rapid = shop.PeckPath(0, 2)
	require.Zero(t, feed)
	require.Zero(t, rapid)
}

func TestPeckPathWalked(t *testing.T) {
	for _, c := range [][2]float64{{7.3, 0.8}, {12, 1.6}, {3, 3}, {2.4, 0.3}} {
		depth, q := c[0], c[1]
		at, feed, rapid := 0.0, 0.0, 0.0
		for at < depth-1e-9 {
			rapid += at // in again to the last depth
			next := min(at+q, depth)
			feed += next - at
			at = next
			rapid += at // out
		}
		gotFeed, gotRapid := shop.PeckPath(depth, q)
		require.InDelta(t, feed, gotFeed, 1e-9, "%v", c)
		require.InDelta(t, rapid, gotRapid, 1e-9, "%v", c)
	}
}

func TestVentDefaults(t *testing.T) {
	for _, c := range []struct{ d, peck, skin, back float64 }{
		{0.3, 0.3, 2.4, 3},
		{0.5, 0.5, 3, 4},
		{0.8, 0.8, 4, 6.4},
		{1.0, 2.0, 5, 8},
		{1.2, 2.4, 5, 8},
	} {
		require.InDelta(t, c.peck, shop.PeckDepth(c.d).V, 1e-12, "%g", c.d)
		require.InDelta(t, c.skin, shop.Skin(c.d).V, 1e-12, "%g", c.d)
		require.InDelta(t, c.back, shop.BackDrill(c.d).V, 1e-12, "%g", c.d)
		require.LessOrEqual(t, shop.Skin(c.d).V/c.d, shop.ReachPeck().V+1e-12, "%g", c.d)
		require.NotEqual(t, shop.BackFirst, shop.HowDeep(c.d, shop.Skin(c.d).V), "%g", c.d)
	}
	require.InDelta(t, 5.5, shop.BackDrillEdge(4).V, 1e-12)
	require.Less(t, shop.ReachStraight().V, shop.ReachVent().V)
	for _, v := range []source.Value{shop.ReachStraight(), shop.ReachPeck(), shop.ReachVent(), shop.Skin(1),
		shop.BackDrill(1), shop.PeckDepth(1), shop.BackDrillEdge(1), shop.Engagement(6), shop.FaceTolerance(),
		shop.LocatingTolerance(), shop.LeastFillet(3)} {
		require.True(t, v.Mark.IsKnown())
		require.NotEmpty(t, v.Source)
		require.False(t, v.Mark.Firm())
	}
	require.NotEmpty(t, shop.DrillSource().Source)
}
