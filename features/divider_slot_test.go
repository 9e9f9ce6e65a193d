package features_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/wall"
)

// TestDividerFits stands a square-edged divider in its slot: nothing of it comes nearer to the tool than half the
// clearance at its sides, and it stands on the flat.
func TestDividerFits(t *testing.T) {
	const thick, long, clear = 4.0, 50.0, 0.6
	for _, held := range []string{"groove", "ribs", "walls"} {
		for _, draft := range []float64{2, 6, 15} {
			slot := fmt.Sprintf("kind: divider_slot, held: %s, thickness: %g, length: %g, clearance: %g, depth: 5, draft: %g, floor: 1, turn: 20, at: [3, -2]",
				held, thick, long, clear, draft)
			text, foot, up := "{"+slot+"}", -5.0, 3.4
			switch held {
			case "ribs":
				foot, up = 0, 3
			case "walls":
				text = "{kind: pocket, outline: {circle: 40}, depth: 5, edge: 1, floor: 1, features: [{" + slot + "}]}"
			}
			_, b := made(t, text)
			least := math.Inf(1)
			for i := range 21 {
				x := long * (float64(i)/20 - 0.5)
				for _, y := range []float64{-thick / 2, thick / 2} {
					for _, h := range []float64{1e-9, 1e-6, 0.3, 1, up} {
						q := geom.Vec2{X: x, Y: y}.Turn(20 * geom.Degree).Add(geom.Vec2{X: 3, Y: -2})
						if h > 1e-8 {
							least = min(least, sideways(b, q, geom.Vec2{Y: y}.Unit().Turn(20*geom.Degree), foot+h))
						}
						require.GreaterOrEqual(t, b.Field.Face(b.Map.Point(q.At(foot+h))).D, -1e-6, "%s at %.1f, %.1f, %.2f over its foot", held, x, y, h)
					}
				}
			}
			if held != "walls" {
				require.InDelta(t, clear/2, least, 3e-3, "%s, %g deg", held, draft)
				continue
			}
			require.GreaterOrEqual(t, least, clear/2-2e-3, "%g deg", draft)
			// It reaches into both walls: its ends stand where the pocket alone is solid.
			_, bare := made(t, "{kind: pocket, outline: {circle: 40}, depth: 5, edge: 1, floor: 1}")
			for _, x := range []float64{-long / 2, long / 2} {
				q := geom.Vec2{X: x}.Turn(20 * geom.Degree).Add(geom.Vec2{X: 3, Y: -2}).At(-2)
				require.Negative(t, bare.Field.Face(bare.Map.Point(q)).D)
				require.Positive(t, b.Field.Face(b.Map.Point(q)).D)
			}
		}
	}
}

// sideways returns how far a point may be moved in a direction until it meets the tool, at most 2 mm.
func sideways(b *body.Body, q, way geom.Vec2, z float64) float64 {
	for d := 0.0; d < 2; {
		clear := b.Field.Face(b.Map.Point(q.Add(way.Scale(d)).At(z))).D
		if clear < 1e-6 {
			return d
		}
		d += max(clear, 1e-4)
	}
	return 2
}

func TestDividerRefused(t *testing.T) {
	for text, want := range map[string]string{
		"{kind: divider_slot, thickness: 4, length: 30, depth: 6, held: ribs, rib: 2}": "rib at least 4.17",
		"{kind: divider_slot, thickness: 4, length: 30, depth: 6, held: walls}":        "must be nested in the pocket",
		"{kind: divider_slot, thickness: 4, length: 30, depth: 0.6, floor: 0.5}":       "roundings",
	} {
		p, err := entry(t, text)
		if err == nil {
			_, err = body.Assemble(p, wall.None{})
		}
		require.ErrorContains(t, err, want, text)
	}
}
