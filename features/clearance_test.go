package features_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

// TestClearance holds the pocket around a product to the clearance asked: all round at its sides, a
// quarter of it at a sharp corner of the product unless the corner of any pocket leaves more.
func TestClearance(t *testing.T) {
	rect := func(l, w, r float64) *outline.Outline {
		o, err := outline.Rect(l, w, r)
		require.NoError(t, err)
		return o
	}
	wedge := []geom.Vec2{{X: -40, Y: -20}, {X: 40, Y: -20}, {X: -40, Y: 40}}
	sharp, err := outline.Polygon(wedge, 0)
	require.NoError(t, err)
	tests := []struct {
		keys    string
		product *outline.Outline
		side    float64 // clearance at the sides
		corner  float64 // least left anywhere
	}{
		{"size: [60, 40], corner: 4, clearance: 1", rect(60, 40, 4), 1, 1},
		{"size: [60, 40], corner: 4, fit: tight", rect(60, 40, 4), 0.35, 0.35},
		{"size: [60, 40], corner: 4, fit: glove, clearance: 0.5", rect(60, 40, 4), 0.5, 0.5},
		{"size: [60, 40], fit: hand", rect(60, 40, 0), 0.75, 0.75 / 4},
		{"size: [60, 40], fit: glove", rect(60, 40, 0), 1.5, 1.5 / 4},
		// The corner of 5 mm that pockets have leaves 5 - (5 - 3) sqrt 2.
		{"size: [60, 40], clearance: 3", rect(60, 40, 0), 3, 5 - 2*math.Sqrt2},
		{"outline: {circle: 30}, fit: hand", rect(30, 30, 15), 0.75, 0.75},
		{"outline: {polygon: [[-40, -20], [40, -20], [-40, 40]]}, clearance: 1.5", sharp, 1.5, 1.5 / 4},
	}
	for _, tt := range tests {
		t.Run(tt.keys, func(t *testing.T) {
			p, _ := made(t, "{kind: pocket, depth: 10, "+tt.keys+"}")
			o := p.Features[0].Outline
			least := math.Inf(1)
			for _, e := range tt.product.Elems {
				for _, q := range []geom.Vec2{e.A, e.Point(0.5), e.B} {
					least = min(least, -o.At(q).D)
				}
				require.InDelta(t, tt.side, -o.At(e.Point(0.5)).D, 1e-9)
			}
			require.InDelta(t, tt.corner, least, 1e-9)
		})
	}
}

// TestCloseFit: a product that fits tight has defaults that agree: the floor rounding gives way to the corner that
// its clearance leaves, down to 1 gauge.
func TestCloseFit(t *testing.T) {
	p, b := made(t, "{kind: pocket, depth: 10, size: [40, 30], fit: tight}")
	require.Len(t, b.Solids, 1)
	// A corner of 0.35 (1 - sin 45 / 4) / (1 - sin 45), which the floor rounding of 6 deg draft reaches.
	s := math.Sqrt(0.5)
	require.InDelta(t, 0.35*(1-s/4)/(1-s)/math.Tan(42*math.Pi/180), p.Features[0].EndR, 1.1e-3)
	p, _ = made(t, "{kind: pocket, depth: 10, size: [40, 30], fit: glove}")
	require.InDelta(t, 2, p.Features[0].EndR, 1e-12)
	_, err := entry(t, "{kind: pocket, depth: 10, size: [40, 30], fit: tight}", "gauge: 1}", "gauge: 2}")
	require.ErrorContains(t, err, "need 1.801 mm; clearance at least 0.641 mm")
	p, err = entry(t, "{kind: pocket, depth: 10, size: [40, 30], fit: tight, clearance: 0.641}", "gauge: 1}", "gauge: 2}")
	require.NoError(t, err)
	require.InDelta(t, 0.641, p.Features[0].Clearance, 1e-12)
	require.InDelta(t, 2, p.Features[0].EndR, 2e-3)
}

// TestFloorTooLarge: where the corner that a floor rounding asks for finds no room, the floor is told, and the
// largest that is named passes; the room is half the smaller side of 20 mm, and the corner 1.25 floors.
func TestFloorTooLarge(t *testing.T) {
	_, err := entry(t, "{kind: pocket, depth: 20, size: [24, 20], floor: 15}")
	var bad *part.BuildError
	require.ErrorAs(t, err, &bad)
	require.EqualError(t, bad.Err, "a rounding of 15.000 mm asks for a plan corner of 18.750 mm, which finds no room; floor at most 8.000 mm, or a corner by hand")
	require.Equal(t, "j.yaml:8:47", bad.Pos.String())
	_, b := made(t, "{kind: pocket, depth: 20, size: [24, 20], floor: 8}")
	require.Len(t, b.Solids, 1)
	p, err := entry(t, "{kind: pocket, depth: 20, size: [24, 20], floor: 15, corner: 9}")
	require.NoError(t, err)
	_, err = body.Assemble(p, wall.None{})
	require.ErrorContains(t, err, "the rounding at its end 15.000 mm does not fit; at most 11.1")
}

func TestClearanceRefused(t *testing.T) {
	_, err := entry(t, "{kind: pocket, depth: 10, size: [60, 40], fit: tight, floor: 2}")
	var bad *part.BuildError
	require.ErrorAs(t, err, &bad)
	require.Contains(t, bad.Err.Error(), "clearance 0.350 mm: the sharp corner of the product, of 90.0 deg, leaves the pocket a corner radius of at most 0.983 mm, and its wall and floor rounding need 1.801 mm; clearance at least 0.641 mm")
	require.Equal(t, "j.yaml:8:47", bad.Pos.String())
	// The clearance that the refusal names is enough.
	_, b := made(t, "{kind: pocket, depth: 10, size: [60, 40], clearance: 0.641, floor: 2}")
	require.Len(t, b.Solids, 1)
}
