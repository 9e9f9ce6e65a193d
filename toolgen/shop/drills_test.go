package shop_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/shop"
)

func TestDrillLengths(t *testing.T) {
	drills := shop.Drills()
	// DIN 338, overall and flute.
	for d, want := range map[float64][2]float64{
		0.5: {22, 6}, 0.6: {24, 7}, 0.7: {28, 9}, 0.8: {30, 10}, 0.9: {32, 11}, 1.0: {34, 12}, 1.2: {38, 16},
		1.5: {40, 18}, 2.0: {49, 24}, 2.5: {57, 30}, 3.0: {61, 33}, 4.0: {75, 43}, 5.0: {86, 52}, 6.0: {93, 57},
		8.0: {117, 75}, 10.0: {133, 87},
	} {
		got, ok := drills.Nearest(d)
		require.True(t, ok)
		require.Equal(t, d, got.D)
		require.Equal(t, want, [2]float64{got.Overall, got.Flute}, "%g mm", d)
	}
}

func TestDrillsRise(t *testing.T) {
	drills := shop.Drills()
	require.Equal(t, 0.3, drills[0].D)
	require.Equal(t, 14.5, drills[len(drills)-1].D)
	for i := 1; i < len(drills); i++ {
		a, b := drills[i-1], drills[i]
		require.Less(t, a.D, b.D)
		require.LessOrEqual(t, a.Flute, b.Flute)
		require.LessOrEqual(t, a.Overall, b.Overall)
		require.Less(t, b.Flute, b.Overall)
		require.LessOrEqual(t, b.D-a.D, 0.5+1e-9)
	}
}

func TestDrillsHoldWhatScrewsAndDowelsNeed(t *testing.T) {
	drills := shop.Drills()
	for _, s := range shop.Screws() {
		for _, d := range []float64{s.Fine, s.Medium, s.Coarse, s.Tap} {
			got, ok := drills.Nearest(d)
			require.True(t, ok)
			require.InDelta(t, d, got.D, 1e-9, s.Name)
		}
	}
}

func TestPick(t *testing.T) {
	drills := shop.Drills()
	for _, c := range []struct{ ask, atMost, atLeast, nearest float64 }{
		{0.3, 0.3, 0.3, 0.3},
		{0.32, 0.3, 0.35, 0.3},
		{0.34, 0.3, 0.35, 0.35},
		{0.6, 0.6, 0.6, 0.6},
		{0.1 + 0.2, 0.3, 0.3, 0.3}, // the sum has a tail of binary digits
		{3.05, 3.0, 3.1, 3.0},      // as near to both: the thinner
		{6.78, 6.7, 6.8, 6.8},
		{10.1, 10.0, 10.2, 10.0},
	} {
		got, ok := drills.AtMost(c.ask)
		require.True(t, ok)
		require.Equal(t, c.atMost, got.D, "at most %g", c.ask)
		got, ok = drills.AtLeast(c.ask)
		require.True(t, ok)
		require.Equal(t, c.atLeast, got.D, "at least %g", c.ask)
		got, ok = drills.Nearest(c.ask)
		require.True(t, ok)
		require.Equal(t, c.nearest, got.D, "nearest %g", c.ask)
	}
	_, ok := drills.AtMost(0.29)
	require.False(t, ok)
	_, ok = drills.AtLeast(14.6)
	require.False(t, ok)
	_, ok = shop.Set(nil).Nearest(1)
	require.False(t, ok)
}

func TestPickAgreesWithASearch(t *testing.T) {
	const seed = 17
	r := rand.New(rand.NewPCG(seed, seed))
	drills := shop.Drills()
	for range 2000 {
		ask := 0.31 + 14*r.Float64()
		down, ok := drills.AtMost(ask)
		require.True(t, ok)
		up, ok := drills.AtLeast(ask)
		require.True(t, ok)
		near, _ := drills.Nearest(ask)
		for _, d := range drills {
			require.False(t, d.D > down.D && d.D <= ask, "%g between %g and %g", d.D, down.D, ask)
			require.False(t, d.D < up.D && d.D >= ask, "%g between %g and %g", d.D, ask, up.D)
		}
		require.InDelta(t, min(ask-down.D, up.D-ask), max(near.D-ask, ask-near.D), 1e-9)
	}
}

func TestSetOf(t *testing.T) {
	s, err := shop.SetOf([]float64{1.0, 0.5, 0.8, 0.5})
	require.NoError(t, err)
	require.Len(t, s, 3)
	got, ok := s.AtMost(0.7)
	require.True(t, ok)
	require.Equal(t, shop.Drill{D: 0.5, Flute: 6, Overall: 22}, got)
	_, err = shop.SetOf(nil)
	require.EqualError(t, err, "the list of drills is empty")
	_, err = shop.SetOf([]float64{1, 50})
	require.EqualError(t, err, "no jobber drill of 50 mm, allowed are diameters over 0.24 up to 15 mm")
	var zero float64
	for _, d := range []float64{0, -1, 0.2, zero / zero} {
		_, err = shop.NewDrill(d)
		require.Error(t, err, "%g", d)
	}
}

func TestTip(t *testing.T) {
	// Worked from the cone: 0.5 / tan 59, 0.5 / tan 67.5, 0.5 / tan 70.
	require.InDelta(t, 0.3004, shop.Tip(1, shop.PointStandard), 1e-4)
	require.InDelta(t, 0.2071, shop.Tip(1, shop.PointSplit), 1e-4)
	require.InDelta(t, 0.1820, shop.Tip(1, shop.PointFlat), 1e-4)
	require.InDelta(t, 0.5, shop.Tip(1, 90), 1e-12)
}
