package features_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/part/parttest"
	"platen/toolgen/piece"
	"platen/toolgen/vent"
	"platen/toolgen/wall"
)

// TestCradleSection holds the section of a trough to the circle: on it up to the draft, straight above.
func TestCradleSection(t *testing.T) {
	const arc, half = 16.5, 0.1 // radius with clearance, half the level strip
	for _, depth := range []float64{10, 16, 24, 40} {
		p, b := made(t, fmt.Sprintf("{kind: cradle, diameter: 32, length: 70, depth: %g, draft: 5, edge: 1}", depth))
		require.Len(t, p.Features, 1)
		// Where arc and edge have no room at 5 deg, they leave 0.2 mm of a flatter wall.
		draft := p.Features[0].Draft
		if room := (depth-0.2*draft.Cos())/(1-draft.Sin()) - arc - 1; depth > 17 {
			require.InDelta(t, 5, draft.Degrees(), 1e-9)
		} else {
			require.InDelta(t, 0, room, 1e-9)
			require.Greater(t, draft.Degrees(), 5.0)
		}
		level := arc * (1 - draft.Sin()) // height over the bottom at which the arc ends
		on := func(x, y, h float64) float64 { return b.Field.Face(b.Map.Point(geom.Vec3{X: x, Y: y, Z: h - depth})).D }
		for _, part := range []float64{0, 0.001, 0.1, 0.4, 0.8, 0.999, 1} {
			h := level * part
			y := half + math.Sqrt(arc*arc-(arc-h)*(arc-h))
			for _, x := range []float64{-35.4, 0, 20, 35.5} { // as far as the product's ends and their clearance
				require.InDelta(t, 0, on(x, y, h), 1e-5, "depth %g, %.3f over the bottom", depth, h)
				require.InDelta(t, 0, on(x, -y, h), 1e-5)
			}
			require.InDelta(t, 0, on(35.5+y, 0, h), 1e-5, "round end")
		}
		for h := level; h < depth-1-0.2; h += 3 {
			y := half + arc*draft.Cos() + (h-level)*draft.Tan()
			require.InDelta(t, 0, on(0, y, h), 1e-5, "wall at %.3f over the bottom", h)
		}
	}
}

// TestCradleTakesItsProduct lowers the product to the bottom of the trough, on either side of the sheet,
// with shrink and with walls: nothing of it comes nearer to the measured face than it lies there.
func TestCradleTakesItsProduct(t *testing.T) {
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	for _, depth := range []float64{4, 12, 20, 30} {
		for _, measured := range []string{"upper", "underside"} {
			text := "format: 1\nname: n\nsheet: {material: PP, gauge: 1.5}\ntool: {material: aluminium 5083, measured: " + measured + "}\npart: {outline: {rect: [400, 300]}}\nfeatures:\n" +
				fmt.Sprintf("  - {kind: cradle, diameter: 40, length: 90, depth: %g, turn: 30, at: [20, 10]}\n", depth)
			j, err := job.Read([]byte(text), "j.yaml", kinds, job.Names{})
			require.NoError(t, err)
			p, err := part.Resolve(j, features.All(), nil)
			require.NoError(t, err)
			walls := wall.Nominal{Gauge: 1.5}
			b, err := body.Assemble(p, walls)
			require.NoError(t, err)
			sheet := 0.0 // between tool and product
			if measured == "upper" {
				sheet = walls.End(p.Features[0]).MM
				require.Greater(t, sheet, 0.5)
			}
			least, at := math.Inf(1), geom.Vec3{}
			for i := range 72 {
				a := 5 * geom.Degree * geom.Angle(i)
				for _, x := range []float64{-45, -20, 0, 45} {
					for _, r := range []float64{20, 15, 5} { // flat ends
						q := geom.Vec2{X: x, Y: r * a.Sin()}.Turn(30 * geom.Degree).Add(geom.Vec2{X: 20, Y: 10})
						v := q.At(-depth + 20 - r*a.Cos())
						if d := b.Field.Face(b.Map.Point(v)).D; d < least {
							least, at = d, v
						}
					}
				}
			}
			// Where it lies, the height of the wall is scaled with the part.
			require.InDelta(t, sheet*b.Map.Scale.Z, least, 1e-6, "depth %g, %s: nearest at %v", depth, measured, at)
		}
	}
}

// TestCradleOnEitherSide makes the trough as a block as well, measured on either side of the sheet: where
// the block is the measured face, the product lies wholly within it and touches it at the bottom.
func TestCradleOnEitherSide(t *testing.T) {
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	for _, measured := range []string{"upper", "underside"} {
		for _, depth := range []float64{6, 20, 28} {
			text := "format: 1\nname: n\nsheet: {material: PP, gauge: 1.5}\ntool: {material: aluminium 5083, contact: upper, measured: " + measured + "}\npart: {outline: {rect: [400, 300]}}\nfeatures:\n" +
				fmt.Sprintf("  - {kind: cradle, diameter: 40, length: 90, depth: %g}\n", depth)
			j, err := job.Read([]byte(text), "j.yaml", kinds, job.Names{})
			require.NoError(t, err)
			p, err := part.Resolve(j, features.All(), nil)
			require.NoError(t, err)
			b, err := body.Assemble(p, wall.Nominal{Gauge: 1.5, Over: true})
			require.NoError(t, err)
			if measured != "upper" {
				continue
			}
			most := math.Inf(-1)
			for i := range 72 {
				a := 5 * geom.Degree * geom.Angle(i)
				for _, x := range []float64{-45, 0, 45} {
					q := geom.Vec3{X: x, Y: 20 * a.Sin(), Z: -depth + 20 - 20*a.Cos()}
					if q.Z < -1.5 { // below the rounding of the opening
						most = max(most, b.Field.Face(b.Map.Point(q)).D)
					}
				}
			}
			require.InDelta(t, 0, most, 1e-6, "depth %g", depth)
		}
	}
}

// TestCradleCrossing refuses what would round its arc away.
func TestCradleCrossing(t *testing.T) {
	p, err := entry(t, "{kind: cradle, diameter: 32, length: 70}\n  - {kind: pocket, size: [30, 80], depth: 9}")
	require.NoError(t, err)
	_, err = body.Assemble(p, wall.None{})
	var bad *part.BuildError
	require.ErrorAs(t, err, &bad)
	require.ErrorContains(t, err, "its arc of 16.50 mm is a size and can not be rounded together with I1/pocket-1")
	require.NoError(t, parttest.Unplaced(err, "\n\n\n\n\n\n\n\n\n"))
	// The bottom is level where the strip is.
	_, b := made(t, "{kind: cradle, diameter: 32, length: 70}")
	s := b.Field.Face(b.Map.Point(geom.Vec3{X: 5, Z: -16}))
	require.InDelta(t, 0, s.D, 1e-9)
	require.Equal(t, piece.Floor, b.Field.Pieces.At(s.Piece).Role)
}

// TestCradleVents stands the holes of a trough along its bottom line, the ends' at the ends of it.
func TestCradleVents(t *testing.T) {
	_, b := made(t, "{kind: cradle, diameter: 32, length: 70}")
	plan, err := vent.Place(t.Context(), b, vent.Sheet{})
	require.NoError(t, err)
	require.Empty(t, plan.Findings)
	ends := 0
	for _, h := range plan.Holes {
		require.InDelta(t, 0, b.Map.Back(h.At).Y, 1e-5)
		if x := math.Abs(b.Map.Back(h.At).X); x > 35 {
			require.InDelta(t, 35.5, x, 1e-5)
			ends++
		}
	}
	require.Equal(t, 2, ends)
	require.GreaterOrEqual(t, len(plan.Holes), 5)
}

// TestCradleAndFingers refuses a recess across a cradle with the way out, which then builds.
func TestCradleAndFingers(t *testing.T) {
	p, err := entry(t, "{kind: cradle, diameter: 32, length: 70, features: [{kind: finger_recess, at: [0, 20], turn: 90}]}")
	require.NoError(t, err)
	_, err = body.Assemble(p, wall.None{})
	require.ErrorContains(t, err, "a finger_recess can not cross I1/cradle-1")
	require.ErrorContains(t, err, "nest the cradle in the floor of a pocket as wide as product and fingers")
	require.ErrorContains(t, err, "j.yaml:8:57:", "at the recess")
	p, b := made(t, "{kind: pocket, size: [120, 90], depth: 14, features: [{kind: cradle, diameter: 32, length: 70, depth: 8}, {kind: finger_recess, at: [0, 45], turn: 90}]}")
	require.Len(t, p.Features, 3)
	require.Negative(t, b.Solids[1].Member, "the trough keeps its arc")
}
