package features_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/glyph"
	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

// TestMarkingIsTheTools engraves a line in tools of either side under shrink and walls: it is as large as
// asked, sunk as deep as asked and reads on the tool; its place is the part's.
func TestMarkingIsTheTools(t *testing.T) {
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	asked, _, err := glyph.Line("FLR 7", glyph.Bold(), 6, glyph.Options{Align: glyph.Centre, Round: 0.3, Least: 0.1})
	require.NoError(t, err)
	for _, contact := range []string{"underside", "upper"} {
		text := "format: 1\nname: FLR 7\nsheet: {material: PP, gauge: 1}\ntool: {material: aluminium 5083, contact: " + contact + "}\npart: {outline: {rect: [200, 100]}}\n" +
			"features:\n  - {kind: marking, height: 6, at: [40, 60]}\n  - {kind: pocket, size: [80, 50], depth: 10}\n"
		j, err := job.Read([]byte(text), "j.yaml", kinds, job.Names{})
		require.NoError(t, err)
		p, err := part.Resolve(j, features.All(), nil)
		require.NoError(t, err)
		b, err := body.Assemble(p, wall.Nominal{Gauge: 1, Over: contact == "upper"})
		require.NoError(t, err)
		s := b.Solids[0]
		require.True(t, s.Female())
		require.InDelta(t, 0.4, s.Wall.Host-s.Wall.End, 1e-12)
		require.InDelta(t, b.Land(), s.Wall.Host, 1e-12)
		require.InDelta(t, asked.Bounds().Size().X, s.Outline.Bounds().Size().X, 1e-9)
		require.InDelta(t, asked.Area(), s.Outline.Area(), 1e-7)
		place := b.Map.Plan(p.Features[0].Outline.Bounds().Centre())
		require.InDelta(t, 0, s.Outline.Bounds().Centre().Sub(place).Norm(), 1e-9)
		// Every point of the strokes lies where it would stand in a line read from above.
		shift := place.Sub(asked.Bounds().Centre())
		for _, e := range asked.Elems {
			require.InDelta(t, 0, s.Outline.At(e.Point(0.5).Add(shift)).D, 1e-9)
		}
		// The floor of the first letter's stem, and the land beside it.
		stem := geom.Vec2{X: asked.Bounds().Min.X + 0.6, Y: 3}.Add(shift)
		require.InDelta(t, 0, b.Field.Face(stem.At(s.Wall.End)).D, 1e-9)
	}
}

func TestMarkingNamesTheJob(t *testing.T) {
	p, err := entry(t, "{kind: marking}")
	require.NoError(t, err)
	own, err := entry(t, "{kind: marking, text: conformance}")
	require.NoError(t, err)
	require.Equal(t, own.Features[0].Outline.Bounds(), p.Features[0].Outline.Bounds())
}
