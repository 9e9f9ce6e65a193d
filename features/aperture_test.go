package features_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/part"
)

// TestSpotInTheMiddle marks a hole at its middle, also where discs as large as the largest fit all along it.
func TestSpotInTheMiddle(t *testing.T) {
	for hole, want := range map[string][2]float64{
		"diameter: 8": {7, -3}, "slot: [24, 6], turn: 90": {7, -3}, "size: [30, 8]": {7, -3},
		// Of an L the middle of the box lies outside the hole: the mark stands in its wide end.
		"outline: {polygon: [[0, 0], [30, 0], [30, 4], [10, 4], [10, 30], [0, 30]]}": {},
	} {
		p, err := entry(t, "{kind: aperture, "+hole+", at: [7, -3], mark: true}")
		require.NoError(t, err, hole)
		require.Len(t, p.Holes, 1, hole)
		require.Len(t, p.Features, 1, hole)
		require.Equal(t, part.Spot, p.Features[0].Use)
		c := p.Features[0].Outline.Bounds().Centre()
		if hole[0] == 'o' {
			require.Less(t, p.Holes[0].Outline.At(c).D, -4.0, hole)
			continue
		}
		require.InDelta(t, want[0], c.X, 1e-6, hole)
		require.InDelta(t, want[1], c.Y, 1e-6, hole)
	}
}
