package features_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
)

// TestArtwork scales a mark to its width, keeps its handedness on the part and mirrors what reads from
// below.
func TestArtwork(t *testing.T) {
	const flag = "outline: {polygon: [[-10, -5], [10, -5], [-10, 5]]}" // heavy to the left
	for _, tt := range []struct {
		keys   string
		width  float64
		heavy  float64 // side of the part on which it is heavy
		height float64 // of its face over the land
	}{
		{"", 20, -1, 0.8},
		{", width: 50, relief: 0.5", 50, -1, 0.5},
		{", width: 50, relief: 0.5, way: sunk", 50, -1, -0.5},
		{", width: 50, relief: 0.5, reads_from: below", 50, 1, 0.5},
	} {
		p, b := made(t, "{kind: artwork, "+flag+tt.keys+"}")
		o := p.Features[0].Outline
		require.InDelta(t, tt.width, o.Bounds().Size().X, 0.06*tt.width, "sharp tips are rounded")
		face := geom.Vec2{X: tt.heavy * 0.4 * tt.width, Y: -0.1 * tt.width}
		require.InDelta(t, 0, b.Field.Face(b.Map.Point(face.At(tt.height))).D, 1e-9, tt.keys)
		face.X = -face.X // here its thin end ends below
		require.InDelta(t, 0, b.Field.Face(b.Map.Point(face.Add(geom.Vec2{Y: 0.3 * tt.width}).At(0))).D, 1e-9, tt.keys)
	}
}
