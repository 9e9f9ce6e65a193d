package shop_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/shop"
	"platen/toolgen/source"
)

func TestScrews(t *testing.T) {
	// ISO 273 medium: 6.6 for M6, 9.0 for M8.
	for name, want := range map[string]float64{"M6": 6.6, "m8": 9.0, " M3 ": 3.4} {
		s, err := shop.ScrewNamed(name)
		require.NoError(t, err)
		require.Equal(t, want, s.Medium, name)
	}
	_, err := shop.ScrewNamed("M7")
	require.EqualError(t, err, `unknown thread "M7", allowed are M3, M4, M5, M6, M8, M10, M12`)
	for _, s := range shop.Screws() {
		require.Less(t, s.D, s.Fine, s.Name)
		require.Less(t, s.Fine, s.Medium, s.Name)
		require.Less(t, s.Medium, s.Coarse, s.Name)
		require.Less(t, s.Coarse, s.Head, "%s: the head must not fall through", s.Name)
		require.Less(t, s.Head, s.Counterbore, s.Name)
		require.Equal(t, s.D, s.HeadHeight, s.Name)
		// Tapping drill: nominal less pitch, to the drill at hand.
		require.InDelta(t, s.D-s.Pitch, s.Tap, 0.05+1e-9, s.Name)
		for _, row := range s.Describe() {
			require.NotEmpty(t, row.Source)
			require.NotEqual(t, "0", row.Value)
		}
	}
}

func TestDeviation(t *testing.T) {
	// ISO 286-2.
	for _, c := range []struct {
		zone      shop.Zone
		d         float64
		low, high float64
	}{
		{shop.H7, 8, 0, 0.015},
		{shop.DowelM, 8, 0.006, 0.015},
		{shop.H7, 6, 0, 0.012},
		{shop.DowelM, 6, 0.004, 0.012},
		{shop.H7, 12, 0, 0.018},
		{shop.DowelM, 12, 0.007, 0.018},
		{shop.DrillH, 1, -0.014, 0},
		{shop.DrillH, 6, -0.018, 0},
		{shop.DrillH, 6.1, -0.022, 0},
	} {
		r, err := shop.Deviation(c.zone, c.d)
		require.NoError(t, err)
		require.InDelta(t, c.low, r.Low, 1e-12, "%s %g", c.zone, c.d)
		require.InDelta(t, c.high, r.High, 1e-12, "%s %g", c.zone, c.d)
		require.Equal(t, source.C, r.Mark)
	}
	r, err := shop.Deviation(shop.DrillH, 12)
	require.NoError(t, err)
	require.Equal(t, source.M, r.Mark)
	_, err = shop.Deviation(shop.H7, 20)
	require.EqualError(t, err, "no H7 for 20 mm, allowed are diameters up to 18 mm")
	_, err = shop.Deviation(shop.H7, 0)
	require.Error(t, err)
	for _, d := range shop.Dowels() {
		_, err := shop.Deviation(shop.DowelM, d)
		require.NoError(t, err)
	}
}

func TestGeneralTolerance(t *testing.T) {
	// ISO 2768-1.
	for _, c := range []struct {
		class     shop.General
		len, want float64
	}{
		{shop.ClassC, 200, 1.2},
		{shop.ClassM, 200, 0.5},
		{shop.ClassC, 0.5, 0.2},
		{shop.ClassC, 3, 0.2},
		{shop.ClassC, 3.1, 0.3},
		{shop.ClassC, 4000, 4},
		{shop.ClassM, 400, 0.5},
		{shop.ClassM, 400.1, 0.8},
	} {
		v, err := shop.GeneralTolerance(c.class, c.len)
		require.NoError(t, err)
		require.Equal(t, c.want, v.V, "%s %g", c.class, c.len)
	}
	for _, l := range []float64{0.4, 4001} {
		_, err := shop.GeneralTolerance(shop.ClassC, l)
		require.ErrorContains(t, err, "allowed are 0.5 to 4000 mm")
	}
}
