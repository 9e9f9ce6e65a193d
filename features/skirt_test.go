package features_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/wall"
)

// TestSkirt holds the level flange and the panel of a cover along the trim line to what is asked: 500 x 500 with
// corners of 10.
func TestSkirt(t *testing.T) {
	_, b := made(t, "{kind: skirt, height: 30, flange: 12, draft: 5, edge: 4, root: 3, corner: 25}")
	at := func(x, y, z float64) float64 { return b.Field.Face(b.Map.Point(geom.Vec3{X: x, Y: y, Z: z})).D }
	foot := 250 - 12.0 // where the flange ends and the rounding begins
	require.InDelta(t, 0, at(foot+0.001, 40, 0), 1e-9)
	require.InDelta(t, 0, at(40, -foot-0.001, 0), 1e-9)
	require.Negative(t, at(foot-0.05, 40, 0))
	k := math.Tan(42.5 * math.Pi / 180)
	wall := foot - 3*k // its line at the foot
	for _, z := range []float64{4, 12, 25} {
		require.InDelta(t, 0, at(wall-z*math.Tan(5*math.Pi/180), 40, z), 1e-9)
	}
	flat := wall - 30*math.Tan(5*math.Pi/180) - 4*k // where the panel begins
	require.InDelta(t, 0, at(flat-0.001, 40, 30), 1e-9)
	require.Positive(t, at(flat+0.05, 40, 30))
	_, err := entry(t, "{kind: skirt, height: 30, at: [10, 0]}")
	require.ErrorContains(t, err, "along the trim line it has its place")
	p, _ := made(t, "{kind: skirt, height: 30, size: [100, 80], corner: 12, at: [40, 10], turn: 90, features: [{kind: pip}]}")
	require.Len(t, p.Features, 2)
	require.InDelta(t, 30, p.Features[1].ZHost, 1e-12)
}

// TestSkirtCorner: over a drape the tool's corner is sharper than the part's by the wall. The default suffices for
// it, and the corner that a refusal names is one that passes.
func TestSkirtCorner(t *testing.T) {
	assemble := func(keys string) error {
		p, err := entry(t, "{kind: skirt, height: 25, draft: 4, size: [160, 110]"+keys+"}", "gauge: 1}", "gauge: 2}", "aluminium 5083,", "aluminium 5083, contact: underside, measured: upper,")
		require.NoError(t, err)
		_, err = body.Assemble(p, wall.Nominal{Gauge: 2})
		return err
	}
	require.NoError(t, assemble(""))
	for _, c := range []string{"3", "4", "5", "5.111"} {
		err := assemble(", corner: " + c)
		require.ErrorContains(t, err, "corner at least ")
		_, after, _ := strings.Cut(err.Error(), "corner at least ")
		least, _, _ := strings.Cut(after, " mm")
		require.NoError(t, assemble(", corner: "+least), "%s instead of %s", least, c)
	}
}
