package features_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/part"
)

// TestBoss holds its foot or its top to the size asked, and its top to the height.
func TestBoss(t *testing.T) {
	tan := (6 * geom.Degree).Tan()
	for _, tt := range []struct {
		keys  string
		x, z0 float64 // where the wall's line holds: half width, height
	}{
		{"diameter: 30", 15, 0},
		{"diameter: 30, holds: top", 15, 9},
		{"size: [40, 20]", 20, 0},
		{"outline: {slot: [50, 20]}, holds: top", 25, 9},
	} {
		_, b := made(t, "{kind: boss, height: 9, root: 1.5, crown: 1, "+tt.keys+", features: [{kind: pip, diameter: 4, height: 0.6, root: 0.3}]}")
		on := func(x, z float64) float64 { return b.Field.Face(b.Map.Point(geom.Vec3{X: x, Z: z})).D }
		for _, z := range []float64{3, 5, 7} {
			require.InDelta(t, 0, on(tt.x-(z-tt.z0)*tan, z), 1e-7, tt.keys)
		}
		require.InDelta(t, 0, on(5, 9), 1e-7, tt.keys)
		require.InDelta(t, 0, on(0, 9.6), 1e-7, "pip on %s", tt.keys)
	}
	_, err := entry(t, "{kind: boss, height: 9, diameter: 30, size: [9, 9]}")
	require.ErrorContains(t, err, "give diameter, size or outline")
}

// TestDome holds a cap to the circle through its foot and its top, and a cap higher than wide to its walls.
func TestDome(t *testing.T) {
	const f = 1.0 // level half width of the top
	for _, tt := range []struct{ dia, height float64 }{{60, 12}, {80, 5}, {100, 40}} {
		p, b := made(t, fmt.Sprintf("{kind: dome, diameter: %g, height: %g, root: 0}", tt.dia, tt.height))
		// The foot of the arc lies on a wall of 0.2 mm that it is tangent to.
		a := p.Features[0].Draft
		half, rise := tt.dia/2-f-part.ShortWall*a.Sin(), tt.height-part.ShortWall*a.Cos()
		r := (half*half + rise*rise) / (2 * rise)
		require.InDelta(t, r, p.Features[0].EndR, 1e-6)
		require.InDelta(t, 1-rise/r, a.Sin(), 1e-9)
		for _, share := range []float64{0, 0.2, 0.5, 0.9} {
			x := half * share
			z := tt.height - r + math.Sqrt(r*r-x*x)
			for _, a := range []geom.Angle{0, 1, 4} {
				q := geom.Vec2{X: x + f}.Turn(a).At(z)
				require.InDelta(t, 0, b.Field.Face(b.Map.Point(q)).D, 1e-5, "%g x %g at %.1f", tt.dia, tt.height, x)
			}
		}
	}
	// 40 wide and 50 high: walls of 10 deg below an arc that ends them.
	p, b := made(t, "{kind: dome, diameter: 40, height: 50, draft: 10, root: 2}")
	require.InDelta(t, 10, p.Features[0].Draft.Degrees(), 1e-9)
	require.InDelta(t, 0, b.Field.Face(b.Map.Point(geom.Vec3{X: 20 - 20*(10*geom.Degree).Tan(), Z: 20})).D, 1e-6)
	require.InDelta(t, 0, b.Field.Face(b.Map.Point(geom.Vec3{X: 0.9, Z: 50})).D, 1e-6)
	_, err := entry(t, "{kind: dome, diameter: 40, height: 150, draft: 10}")
	require.ErrorAs(t, err, new(*part.BuildError))
	require.ErrorContains(t, err, "a height of at most")
}

// TestRim holds a ring to its line, inset and width, and one without a line to the trim line.
func TestRim(t *testing.T) {
	tan := (10 * geom.Degree).Tan()
	for _, tt := range []struct {
		keys string
		line float64 // its half width along X
	}{{"size: [120, 80]", 60}, {"inset: 12", 250}} {
		_, b := made(t, "{kind: rim, width: 8, height: 3, crown: 0.5, root: 0.5, "+tt.keys+"}")
		outer := tt.line
		if tt.line == 250 {
			outer -= 12
		}
		for _, z := range []float64{1, 1.5, 2} {
			for _, x := range []float64{outer - z*tan, outer - 8 + z*tan} {
				require.InDelta(t, 0, b.Field.Face(b.Map.Point(geom.Vec3{X: x, Z: z})).D, 1e-7, "%s at %.2f", tt.keys, x)
			}
		}
		require.InDelta(t, 0, b.Field.Face(b.Map.Point(geom.Vec3{X: outer - 4, Z: 3})).D, 1e-7)
		require.InDelta(t, 0, b.Field.Face(b.Map.Point(geom.Vec3{})).D, 1e-7, "the land within the ring")
	}
	_, err := entry(t, "{kind: rim, inset: 12, at: [3, 0]}")
	require.ErrorContains(t, err, "along the trim line it has its place")
}

// TestGripRib holds the rib to its reach before the wall's line at the floor, and to its height.
func TestGripRib(t *testing.T) {
	_, b := made(t, `{kind: pocket, size: [70, 50], depth: 20, draft: 6, edge: 1.5, floor: 1.5,
    features: [{kind: grip_rib, height: 14, reach: 3, at: [-35, 0], crown: 1, root: 1.5}, {kind: grip_rib, height: 14, reach: 3, at: [35, 0], turn: 180, crown: 1, root: 1.5}]}`)
	tan := (6 * geom.Degree).Tan()
	for _, h := range []float64{4, 8, 12} { // over the floor
		for _, side := range []float64{-1, 1} {
			tip := geom.Vec3{X: side * (35 - 3 + h*tan), Z: h - 20}
			require.InDelta(t, 0, b.Field.Face(b.Map.Point(tip)).D, 1e-6, "rib at %g over the floor", h)
			wall := geom.Vec3{X: side * (35 + h*tan), Y: 15, Z: h - 20}
			require.InDelta(t, 0, b.Field.Face(b.Map.Point(wall)).D, 1e-6, "wall at %g over the floor", h)
		}
	}
	require.InDelta(t, 0, b.Field.Face(b.Map.Point(geom.Vec3{X: -35, Z: -6})).D, 1e-6, "top of the rib")
}

// TestPip holds its top and its foot.
func TestPip(t *testing.T) {
	_, b := made(t, "{kind: pip, diameter: 8, height: 1.5, root: 0.5}")
	require.InDelta(t, 0, b.Field.Face(b.Map.Point(geom.Vec3{Z: 1.5})).D, 1e-9)
	require.InDelta(t, 0, b.Field.Face(b.Map.Point(geom.Vec3{X: 7})).D, 1e-9)
	require.Less(t, b.Field.Face(b.Map.Point(geom.Vec3{X: 3, Z: 0.3})).D, 0.0)
}
