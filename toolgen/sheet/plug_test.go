package sheet_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/sheet"
)

const cup = head + `sheet: {material: HIPS, gauge: 1}
tool: {material: aluminium 5083, wall_allowance: none}
part: {outline: {rect: [120, 100], corner: 8}}
forming:
  bubble: 0
  %s
features:
  - {kind: pocket, name: cup, size: [80, 60], depth: 60, holds: opening, draft: 4, corner: 14, edge: 3, floor: 6}
`

const plugged = "plug: {outline: {rect: [64, 44], corner: 10}, travel: %g, edge: 4, draft: 4%s}"

// area returns one role of one feature.
func area(t *testing.T, f *sheet.Formed, feature string, role piece.Role) sheet.Area {
	t.Helper()
	for _, a := range f.Areas {
		if a.Feature == feature && a.Role == role {
			return a
		}
	}
	require.Fail(t, "no such area", "%s %s", feature, role)
	return sheet.Area{}
}

// TestPlugEvens: what a plug that the sheet sticks to carries down is missing from the walls and saves the
// corners of the floor: the thinnest place of the cup is more than twice as thick.
func TestPlugEvens(t *testing.T) {
	plain := made(t, fmt.Sprintf(cup, "travel: 0"))
	stuck := made(t, fmt.Sprintf(cup, fmt.Sprintf(plugged, 54.0, "")))
	slid := made(t, fmt.Sprintf(cup, fmt.Sprintf(plugged, 54.0, ", stick: false")))
	for _, f := range []*sheet.Formed{plain, stuck, slid} {
		for _, r := range []piece.Role{piece.Wall, piece.Fillet, piece.Floor} {
			a := area(t, f, "I1/cup", r)
			require.Zero(t, a.Webbing)
			require.Zero(t, a.Bridged)
			t.Logf("%s: low %.3f, mean %.3f", r, a.Low, a.Mean)
		}
	}
	least := func(f *sheet.Formed) float64 { a, _ := f.Least("I1/cup"); return a.Low }
	mean := func(f *sheet.Formed, r piece.Role) float64 { return area(t, f, "I1/cup", r).Mean }
	t.Logf("least %.3f, with a plug %.3f, with one it slides on %.3f", least(plain), least(stuck), least(slid))
	require.Greater(t, least(stuck), 2*least(plain))
	require.Greater(t, mean(stuck, piece.Fillet), 2*mean(plain, piece.Fillet))
	require.Greater(t, mean(stuck, piece.Floor), 2*mean(slid, piece.Floor), "sliding it leaves the floor")
	require.Less(t, mean(stuck, piece.Wall), mean(plain, piece.Wall), "the walls pay for it")
	require.Greater(t, least(slid), least(plain))
}

// TestPlugGap: with walls of equal draft the plug is as far off all the way up; derived: (8 - 54 tan 4) cos 4
// deg at the sides, depth less travel at the floor. What goes into the tool is refused, with the travel
// that does not.
func TestPlugGap(t *testing.T) {
	at := func(forming string) sheet.Plan {
		p, err := sheet.PlanOf(assemble(t, fmt.Sprintf(cup, forming)))
		require.NoError(t, err)
		return p
	}
	a := 4 * geom.Degree
	p := at(fmt.Sprintf(plugged, 54.0, ""))
	require.InDelta(t, (8-54*a.Tan())*a.Cos(), p.Gap, 1e-3)
	p = at(fmt.Sprintf(plugged, 57.5, ""))
	require.InDelta(t, 2.5, p.Gap, 1e-9)
	for _, c := range []struct{ forming, why string }{
		{fmt.Sprintf(plugged, 61.5, ""), "travel 61.50 mm: it goes 1.50 mm into the floor of I1/cup; travel at most 60.00 mm there"},
		{"plug: {outline: {rect: [64, 44], corner: 10}, at: [10, 0], travel: 54}", "into the "},
		{"plug: {outline: {circle: 20}, at: [60, 0], travel: 10}", "into the land of block; there the tool lets it no way down"},
		{"plug: {outline: {circle: 30}, at: [75, 0], travel: 10}", "does not go through the frame"},
	} {
		why, key := refused(t, fmt.Sprintf(cup, c.forming))
		require.Contains(t, why, c.why)
		require.Equal(t, c.forming, key)
	}
	// Beside the middle the wall is met first: derived, (-2 - t tan 4) cos 4 with the plug 10 mm over.
	why, _ := refused(t, fmt.Sprintf(cup, "plug: {outline: {rect: [64, 44], corner: 10}, at: [6, 0], travel: 54}"))
	require.Contains(t, why, fmt.Sprintf("goes %.2f mm into", -(2-54*a.Tan())*a.Cos()))
	require.Contains(t, why, fmt.Sprintf("travel at most %.2f mm", math.Floor(100*2/a.Tan())/100))
}

// TestPlugTurnedOver: a plug stands where the job says, on the tool that carries the part turned over too,
// and over every impression.
func TestPlugTurnedOver(t *testing.T) {
	const text = head + `sheet: {material: HIPS, gauge: 1}
tool: {material: aluminium 5083, wall_allowance: none, contact: %s, impressions: {grid: [2, 1], pitch: [130, 0]}}
part: {outline: {rect: [120, 100], corner: 8}}
forming: {plug: {outline: {polygon: [[-20, -10], [20, -10], [-20, 15]], corner: 3}, at: [5, 20], turn: 30, travel: 10, edge: 2}}
features:
  - {kind: %s, size: [90, 70], %s: 20}
`
	for _, c := range [][3]string{{"underside", "pocket", "depth"}, {"upper", "step", "height"}} {
		b := assemble(t, fmt.Sprintf(text, c[0], c[1], c[2]))
		p, err := sheet.PlanOf(b)
		require.NoError(t, err)
		for i := range 2 {
			for _, v := range []struct {
				at     geom.Vec2 // of the plug's own plan, before turning
				inside bool
			}{{geom.Vec2{X: -14, Y: 5}, true}, {geom.Vec2{X: 14, Y: 5}, false}, {geom.Vec2{X: -14, Y: -15}, false}} {
				on := v.at.Turn(30 * geom.Degree).Add(geom.Vec2{X: 5, Y: 20})
				q := b.MapOf(i).Plan(on).At(p.Start + p.Blow + 60)
				d, n := p.Plug.Face.Distance(q)
				require.Equal(t, v.inside, d < 0, "%v %v %g", c, v.at, d)
				require.InDelta(t, 1, n.Norm(), 1e-9)
			}
		}
	}
}
