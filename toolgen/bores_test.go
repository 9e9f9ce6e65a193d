package toolgen_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/examples"
	"platen/toolgen/shop"
)

// TestModelledVents holds the volume that modelled holes take out of the tool against the closed form of
// cylinder, frustum of the point's cone and cylinder, for holes in lone features and in a cluster.
func TestModelledVents(t *testing.T) {
	for _, kind := range []string{"pocket", "stacking_lug", "finger_recess"} {
		t.Run(kind, func(t *testing.T) {
			text, err := examples.Kind(kind)
			require.NoError(t, err)
			const tol = 0.01
			plain := build(t, string(text), tol, "tool.stl")
			bored := build(t, strings.Replace(string(text), "  block:", "  vents: {modelled: true}\n  block:", 1), tol, "tool.stl")
			require.NotEmpty(t, bored.Vents.Holes)
			require.Equal(t, plain.Vents.Holes, bored.Vents.Holes)
			want, slack := 0.0, 0.0
			for _, h := range bored.Vents.Holes {
				r, back := h.Dia/2, h.BackDia/2
				top := h.At.Z - bored.Body.Bottom() - h.BackDepth // of the small drill over the back drill's full diameter
				cone := shop.Tip(h.BackDia, shop.PointStandard) * (1 - r/back)
				if back == 0 {
					cone = 0
				}
				want += math.Pi * (r*r*(top-cone) + cone/3*(r*r+r*back+back*back) + back*back*h.BackDepth)
				// An inscribed polygon that strays by tol loses less than tol times the girth.
				slack += 2 * math.Pi * max(r, back) * tol * (h.At.Z - bored.Body.Bottom())
			}
			got := plain.Measure.Audit.Volume - bored.Measure.Audit.Volume
			require.Less(t, got, want)
			require.Greater(t, got, want-slack)
			require.Less(t, slack, 0.02*want)
		})
	}
}
