package stack_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/formula"
	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/stack"
)

const head = `format: 1
name: trial
sheet: {material: HIPS, gauge: %g}
tool: {material: aluminium 6082, wall_allowance: none, contact: %s, measured: %s}
part: {outline: {rect: [%g, %g], corner: 8}}
shrink: {off: true}
`

func header(gauge, x, y float64, contact string) string {
	return fmt.Sprintf(head, gauge, contact, contact, x, y)
}

// TestNestPitchOfDraftedWalls: parts of even wall t and draft d nest t / sin d apart, on their walls.
func TestNestPitchOfDraftedWalls(t *testing.T) {
	for _, contact := range []string{"underside", "upper"} {
		for _, gauge := range []float64{0.3, 0.5, 0.8} {
			for _, draft := range []float64{3, 5, 6, 8, 10} {
				for _, shape := range []string{"outline: {circle: 60}", "outline: {rect: [70, 50], corner: 14}"} {
					text := header(gauge, 130, 110, contact) + fmt.Sprintf("features:\n  - {kind: pocket, %s, depth: 40, draft: %g, holds: opening, edge: 1.5, floor: 1.5}\n", shape, draft)
					p := made(t, text, gauge)
					r, err := stack.Put(context.Background(), p, p, stack.Place{})
					require.NoError(t, err)
					want := formula.NestPitch(gauge, geom.Angle(draft)*geom.Degree)
					require.InEpsilon(t, want, r.Lift, 1e-6, "%s %g mm %g deg %s", contact, gauge, draft, shape)
					require.Contains(t, []piece.Role{piece.Wall, piece.Corner}, r.Peaks[0].Lower.Role)
					require.InDelta(t, draft, r.Peaks[0].Slope.Degrees(), 1e-6)
				}
			}
		}
	}
}

// lugged is a tray whose lugs carry the next one turned by half a turn and go into each other the same way.
func lugged(gauge float64, contact, lugs string) string {
	return header(gauge, 200, 160, contact) + `features:
  - {kind: pocket, name: cup, size: [60, 50], corner: 12, depth: 12, draft: 8, holds: opening, edge: 1.5, floor: 1.5}
  - kind: stacking_lug
    name: lug
    size: [14, 12]
    height: 9
    draft: 15
    crown: 1
    root: 1
    repeat: {points: ` + lugs + "}\n"
}

// TestHalfTurnRestsOnLugs: turned, the land comes to lie on the crowns: their height and the wall on them.
// The same way the lugs go into each other, and the wall of the cup sets the pitch.
func TestHalfTurnRestsOnLugs(t *testing.T) {
	ctx := context.Background()
	for _, contact := range []string{"underside", "upper"} {
		for _, gauge := range []float64{0.5, 0.8, 1} {
			p := made(t, lugged(gauge, contact, "[[-80, 45], [-80, -65], [80, 18], [80, -18]]"), gauge)
			turned, err := stack.Put(ctx, p, p, stack.Half(p))
			require.NoError(t, err)
			require.InDelta(t, 9+gauge, turned.Lift, 1e-6)
			require.False(t, turned.Jams())
			on := map[string]bool{}
			for _, c := range turned.Carrying() {
				require.InDelta(t, 90, c.Slope.Degrees(), 1e-3)
				pieces := []piece.Piece{c.Lower, c.Upper}
				if contact == "upper" { // raised on the part: sunk in the tool
					require.Equal(t, piece.Floor, pieces[0].Role)
				} else {
					require.Equal(t, piece.Crown, pieces[0].Role)
				}
				require.Equal(t, piece.Land, pieces[1].Role)
				on[c.Lower.Feature] = true
			}
			require.Len(t, on, 4, "all four lugs carry")
			nest, err := stack.Put(ctx, p, p, stack.Place{})
			require.NoError(t, err)
			require.InEpsilon(t, formula.NestPitch(gauge, 8*geom.Degree), nest.Lift, 1e-6)
			require.True(t, nest.Jams())
		}
	}
}

// TestShoulderSetsTheNest: a cone too steep to be gone into carries the next one on the roundings of its
// crown and its root. In section these are arcs: of radius crown + t about the middle of the crown's
// rounding, and of radius root about that of the root's; they touch when their middles are the sum apart.
func TestShoulderSetsTheNest(t *testing.T) {
	const height, crown, root, draft, dia, gauge = 7.0, 0.8, 0.8, 1.5, 24.0, 0.8
	text := header(gauge, 160, 130, "underside") + fmt.Sprintf(`features:
  - {kind: pocket, size: [60, 50], corner: 12, depth: 12, draft: 8, holds: opening, edge: 1.5, floor: 1.5}
  - kind: nesting_cone
    diameter: %g
    height: %g
    draft: %g
    crown: %g
    root: %g
    repeat: {points: [[-58, 0], [58, 0]]}
`, dia, height, draft, crown, root)
	p := made(t, text, gauge)
	r, err := stack.Put(context.Background(), p, p, stack.Place{})
	require.NoError(t, err)
	// The sharp corners of the section stand at dia/2 at the foot and dia/2 - height tan d at the top. The
	// middle of a rounding lies its radius from both lines of its corner.
	d := geom.Angle(draft) * geom.Degree
	side := func(radius float64) float64 { return radius * math.Tan((math.Pi/2-float64(d))/2) }
	top := dia/2 - height*d.Tan() - side(crown)
	foot := dia/2 + side(root)
	apart := foot - top
	sum := crown + gauge + root
	want := height - crown - root + math.Sqrt(sum*sum-apart*apart)
	require.InDelta(t, want, r.Lift, 1e-4)
	require.InDelta(t, height, want, 0.5, "about its height")
	require.Greater(t, want, formula.NestPitch(gauge, 8*geom.Degree)+0.3)
	require.False(t, r.Jams())
	require.Equal(t, "nesting_cone", kindOf(p, r.Peaks[0].Lower.Feature))
	require.InDelta(t, r.Lift-formula.NestPitch(gauge, 8*geom.Degree), r.Margin(), 1e-5)
}

// kindOf returns the kind of a feature.
func kindOf(p *stack.Part, id string) string {
	for _, f := range p.Body.Part.Features {
		if f.ID == id {
			return f.Kind
		}
	}
	return ""
}
