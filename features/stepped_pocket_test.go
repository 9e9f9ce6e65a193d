package features_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/part"
)

// TestSteppedPocket holds floors, walls and what is nested to the sizes asked: every size at the floor of
// its step, depths from the opening.
func TestSteppedPocket(t *testing.T) {
	p, b := made(t, `{kind: stepped_pocket, name: gauge, draft: 6, floor: 2, at: [10, -20],
    steps: [{size: [90, 70], depth: 6}, {size: [60, 44], depth: 20, at: [4, 3]}, {size: [30, 20], depth: 26.5, at: [4, 3]}],
    features: [{kind: stiffening_rib, length: 12, width: 4, height: 1, crown: 0.5, root: 0.5, at: [4, 3]}]}`)
	ids := []string{"I1/gauge/step-1", "I1/gauge/step-2", "I1/gauge/step-3", "I1/gauge/stiffening_rib-1"}
	ends := []float64{-6, -20, -26.5, -25.5}
	for i, f := range p.Features {
		require.Equal(t, ids[i], f.ID)
		require.InDelta(t, ends[i], f.ZEnd, 1e-12)
		if i > 0 {
			require.Same(t, p.Features[i-1], f.Parent)
		}
	}
	tan := (6 * geom.Degree).Tan()
	for i, s := range []struct{ x, half, z, end float64 }{
		{10, 45, -3, -6}, {14, 30, -13, -20}, {14, 15, -23, -26.5},
	} {
		wall := geom.Vec2{X: s.x + s.half + (s.z-s.end)*tan, Y: -20 + 3*min(1, float64(i))}
		require.InDelta(t, 0, b.Field.Face(b.Map.Point(wall.At(s.z))).D, 1e-6, "wall of step %d", i+1)
		floor := geom.Vec2{X: s.x + s.half - 4, Y: -17}
		require.InDelta(t, 0, b.Field.Face(b.Map.Point(floor.At(s.end))).D, 1e-6, "floor of step %d", i+1)
	}
}

func TestSteppedPocketRefused(t *testing.T) {
	for text, want := range map[string]string{
		"steps: [{size: [60, 40], depth: 6}]":                                                     "j.yaml:8:28: I1/stepped_pocket-1: one step; at least 2, or take a pocket",
		"steps: [{size: [60, 40], depth: 6}, {size: [30, 20], depth: 6}]":                         "j.yaml:8:64: I1/stepped_pocket-1: depth 6.000 mm of step 2 is not 0.2 mm below 6.000 mm, the floor above it; depths are all from the opening",
		"steps: [{size: [60, 40], depth: 6}, {size: [58, 20], depth: 20}]":                        "j.yaml:8:64: I1/stepped_pocket-1: the step's opening runs 0.47 mm over the floor of the step above, near ",
		"steps: [{size: [60, 40], depth: 6}, {size: [30, 20], outline: {circle: 9}, depth: 9}]":   "j.yaml:8:64: I1/stepped_pocket-1: size: give either size or outline",
		"steps: [{size: [60, 40], depth: 6}, {size: [30, 20], depth: 9, corner: 19}], floor: 1.5": "j.yaml:8:64: I1/stepped_pocket-1: size: corner radius 19.000 mm does not fit",
	} {
		_, err := entry(t, "{kind: stepped_pocket, "+text+"}")
		require.ErrorAs(t, err, new(*part.BuildError), text)
		require.Contains(t, err.Error(), want)
	}
}

// TestSteppedProduct: the sizes of the steps are the product's, and its height and mass lie on the lowest step.
func TestSteppedProduct(t *testing.T) {
	p, _ := made(t, "{kind: stepped_pocket, product: {height: 26, mass: 40, tolerance: 0.2}, clearance: 1, steps: [{size: [84, 60], corner: 3, depth: 6}, {size: [56, 34], corner: 3, depth: 20, at: [4, 0]}]}")
	require.Len(t, p.Features, 2)
	require.Nil(t, p.Features[0].Held)
	h := p.Features[1].Held
	require.Equal(t, [3]float64{26, 40, 0.2}, [3]float64{h.Height, h.Mass, h.Tolerance})
	require.InDelta(t, 86, p.Features[0].Outline.Bounds().Size().X, 1e-9)
	require.InDelta(t, 58, p.Features[1].Outline.Bounds().Size().X, 1e-9)
	require.InDelta(t, 56, h.Plan.Bounds().Size().X, 1e-9)
	require.InDelta(t, 4, h.Plan.Bounds().Centre().X, 1e-9)
	// Without a fit it is put in by hand.
	p, _ = made(t, "{kind: stepped_pocket, product: {height: 26}, steps: [{size: [84, 60], corner: 3, depth: 6}, {size: [56, 34], corner: 3, depth: 20}]}")
	require.InDelta(t, 85.5, p.Features[0].Outline.Bounds().Size().X, 1e-9)
}
