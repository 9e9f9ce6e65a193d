package limits_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/limits"
	"platen/toolgen/material"
	"platen/toolgen/source"
)

func TestDraftOnTexture(t *testing.T) {
	// Mould-texture supplier's rules, 0.05 mm deep on a base of 2 degrees: 4 by the lesser rule, 5 by
	// the safer one, which is the limit.
	base := source.Of(2, source.A, "test")
	l := limits.DraftMin(base, limits.Wall{Texture: 0.05})
	require.InDelta(t, 5, l.Value.V, 1e-12)
	require.Equal(t, limits.Error, l.Grade)
	require.Equal(t, "wall.draft-low", l.ID)
	require.Contains(t, l.Value.Source, "texture")
	lesser := limits.Get(limits.DraftTextureLeast).Value
	require.InDelta(t, 4, base.V+lesser.V*0.05/0.025, 1e-12)
}

func TestDraftOfTheCase(t *testing.T) {
	hips, err := material.SheetNamed("HIPS")
	require.NoError(t, err)
	pp, err := material.SheetNamed("PP")
	require.NoError(t, err)
	for _, c := range []struct {
		sheet     material.Sheet
		kind      material.Kind
		wall      limits.Wall
		min, want float64
	}{
		{hips, material.Female, limits.Wall{}, 1, 3},
		{hips, material.Male, limits.Wall{}, 3, 5},
		{pp, material.Male, limits.Wall{}, 5, 6},
		{hips, material.Female, limits.Wall{DepthToWidth: 1}, 1, 3},
		{hips, material.Female, limits.Wall{DepthToWidth: 1.01}, 2, 4},
		{hips, material.Male, limits.Wall{Texture: 0.025, DepthToWidth: 2}, 5.5, 7.5},
		{hips, material.Female, limits.Wall{Heavy: true}, 1, 3.5},
		{hips, material.Female, limits.Wall{Sharp: true}, 1, 4},
		{hips, material.Female, limits.Wall{Texture: -1}, 1, 3},
	} {
		require.InDelta(t, c.min, limits.DraftMin(c.sheet.Draft[c.kind].Min, c.wall).Value.V, 1e-12, "%+v", c.wall)
		require.InDelta(t, c.want, limits.DraftWant(c.sheet.Draft[c.kind].Want, c.wall).Value.V, 1e-12, "%+v", c.wall)
	}
}

func TestEverySheetHasAnErrorLimitForDraftAndAWarningForDraw(t *testing.T) {
	for _, s := range material.Sheets() {
		for _, k := range []material.Kind{material.Female, material.Male} {
			require.Equal(t, limits.Error, limits.DraftMin(s.Draft[k].Min, limits.Wall{}).Grade, s.Name)
		}
		// No source was found for draw limits by resin.
		require.Equal(t, limits.Warning, limits.Areal(s.Areal.Free).Grade, s.Name)
		require.InDelta(t, s.Areal.Free.V, limits.Areal(s.Areal.Free).Value.V, 0)
	}
}

func TestRadii(t *testing.T) {
	require.InDelta(t, 1.5, limits.RadiusLeast(1.5).Value.V, 1e-12)
	require.Equal(t, limits.Error, limits.RadiusLeast(1.5).Grade)
	require.InDelta(t, 3.0, limits.RadiusGood(1.5).Value.V, 1e-12)
	require.Equal(t, limits.Warning, limits.RadiusGood(1.5).Grade)
	require.Equal(t, "mm", limits.RadiusGood(1.5).Unit)
	for _, c := range []struct{ gauge, depth, want float64 }{{0.5, 10, 1.5}, {1, 10, 2}, {1, 60, 3}} {
		require.InDelta(t, c.want, limits.FloorRadius(c.gauge, c.depth).Value.V, 1e-12, "%+v", c)
	}
}

func TestFemalePressureRadius(t *testing.T) {
	// Course pages INME 4055: 0.015, 0.030 and 0.060 in by depth.
	for depth, want := range map[float64]float64{50: 0.4, 64: 0.4, 100: 0.8, 127: 0.8, 140: 1.5, 200: 1.5, 254: 1.5} {
		l, ok := limits.FemalePressure(depth)
		require.True(t, ok)
		require.Equal(t, want, l.Value.V, "%g mm", depth)
		require.Equal(t, limits.Note, l.Grade, "vacuum does not reach it")
	}
	_, ok := limits.FemalePressure(255)
	require.False(t, ok)
}

func TestWebGap(t *testing.T) {
	// Course pages INME 4055: a rib 10 mm high in 1 mm sheet wants 10 mm clear.
	l := limits.WebGapLeast(10, 1)
	require.InDelta(t, 10, l.Value.V, 1e-12)
	require.Equal(t, limits.Error, l.Grade)
	require.Equal(t, "web.gap-error", l.ID)
	// And never less than the gauge.
	l = limits.WebGapLeast(1, 3)
	require.InDelta(t, 3, l.Value.V, 1e-12)
	require.Equal(t, "web.gap-gauge", l.ID)
	require.InDelta(t, 17.5, limits.WebGapGood(10).Value.V, 1e-12)
	require.Equal(t, limits.Warning, limits.WebGapGood(10).Grade)
}

func TestDepthLimitsRise(t *testing.T) {
	warn, plug, fail := limits.Get(limits.DepthWarn), limits.Get(limits.DepthPlug), limits.Get(limits.DepthError)
	require.Equal(t, [3]float64{0.5, 0.8, 1.0}, [3]float64{warn.Value.V, plug.Value.V, fail.Value.V})
	require.Equal(t, [3]limits.Grade{limits.Warning, limits.Warning, limits.Error}, [3]limits.Grade{warn.Grade, plug.Grade, fail.Grade})
}

func TestSheetInItsFrame(t *testing.T) {
	require.InDelta(t, 40, limits.Margin(true, 40).Value.V, 1e-12)
	require.InDelta(t, 20, limits.Margin(true, 10).Value.V, 1e-12)
	require.InDelta(t, 20, limits.Margin(false, 40).Value.V, 1e-12)
	size := limits.SheetSize(300, limits.Margin(true, 40).Value, limits.Get(limits.Grip).Value)
	require.InDelta(t, 300+2*(40+12), size.V, 1e-12)
	require.Equal(t, source.P, size.Mark)
}

func TestLettering(t *testing.T) {
	for _, c := range []struct{ gauge, stroke float64 }{{0.4, 1}, {0.8, 1.6}, {1, 2}} {
		require.InDelta(t, c.stroke, limits.StrokeMin(c.gauge).Value.V, 1e-12, "%g", c.gauge)
	}
	require.InDelta(t, 1.2, limits.ReliefMax(1.2).Value.V, 1e-12)
	require.InDelta(t, 1.5, limits.ReliefMax(2).Value.V, 1e-12)
}

func TestVents(t *testing.T) {
	require.Equal(t, limits.VentEdgeThin, limits.VentPitch(1.5).ID)
	require.Equal(t, limits.VentEdgeHeavy, limits.VentPitch(1.6).ID)
	require.InDelta(t, 1, limits.PullDown(0.5).Value.V, 0)
	require.InDelta(t, 3, limits.PullDown(4).Value.V, 0)
}

func TestTolerances(t *testing.T) {
	// Shop's table of dimensions and tolerances: machined tool, 600 mm: 0.50 + 12 x 0.025.
	require.InDelta(t, 0.80, limits.AgreedTolerance(limits.FormedMachined, 600).Value.V, 1e-12)
	require.InDelta(t, 0.50, limits.AgreedTolerance(limits.FormedMachined, 300).Value.V, 1e-12)
	require.InDelta(t, 0.50, limits.AgreedTolerance(limits.FormedMachined, 10).Value.V, 1e-12)
	require.InDelta(t, 0.75+0.2, limits.AgreedTolerance(limits.FormedCast, 500).Value.V, 1e-12)
	require.InDelta(t, 0.5, limits.FormedTolerance(100, false).Value.V, 1e-12)
	require.InDelta(t, 0.9, limits.FormedTolerance(300, false).Value.V, 1e-12)
	require.InDelta(t, 2.4, limits.FormedTolerance(300, true).Value.V, 1e-12)
}
