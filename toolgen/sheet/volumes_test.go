package sheet_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestVolumesOfAFlatSheet: on a bare block the sheet keeps its gauge, so that the volume in the part is its plan area
// times that, stretch by stretch: 120 x 80 less corners of 10, and a hole of 40 about the middle.
func TestVolumesOfAFlatSheet(t *testing.T) {
	f := made(t, head+`sheet: {material: HIPS, gauge: 0.7}
tool: {material: aluminium 5083, wall_allowance: none, block: {size: [150, 110], base: 20}}
part: {outline: {rect: [120, 80], corner: 10}}
features: [{kind: aperture, diameter: 40}]
`)
	const g, r = 0.7, 20.0
	corner := (1 - math.Pi/4) * 100
	require.InEpsilon(t, g*(120*80-4*corner-math.Pi*r*r), f.Trimmed(), 2e-4)
	// A segment of the hole beyond 10 from its middle.
	segment := r*r*math.Acos(0.5) - 10*math.Sqrt(r*r-100)
	got := f.Volumes(0, []float64{-70, -40, 10, 65})
	for i, want := range []float64{0, 20*80 - 2*corner, 50*80 - (math.Pi*r*r - segment), 50*80 - 2*corner - segment, 0} {
		require.InDelta(t, g*want, got[i], 2e-4*g*120*80, "%d along X", i)
	}
	got = f.Volumes(1, []float64{10})
	require.InDelta(t, g*(50*120-2*corner-(math.Pi*r*r-segment)), got[0], 2e-4*g*120*80)
	require.InDelta(t, g*(30*120-2*corner-segment), got[1], 2e-4*g*120*80)
}
