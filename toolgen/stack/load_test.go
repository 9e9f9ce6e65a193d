package stack_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/stack"
)

const fourLugs = "[[-80, 45], [-80, -65], [80, 18], [80, -18]]"

// cupped is a tray with a deep cup whose lugs carry the next one.
func cupped(gauge float64) string {
	return header(gauge, 200, 160, "underside") + `features:
  - {kind: pocket, name: cup, size: [60, 50], corner: 12, depth: 22, draft: 8, holds: opening, edge: 1.5, floor: 1.5}
  - {kind: stacking_lug, name: lug, size: [14, 12], height: 9, draft: 15, crown: 1, root: 1, repeat: {points: ` + fourLugs + "}}\n"
}

// TestPlay: stacked at the lift L, the walls of the cups stand L tan d - t / cos d apart; the part rides
// 0.05 mm higher while it is moved.
func TestPlay(t *testing.T) {
	const gauge = 0.8
	p := made(t, cupped(gauge), gauge)
	r, err := stack.Put(context.Background(), p, p, stack.Half(p))
	require.NoError(t, err)
	plays, err := r.Plays(context.Background())
	require.NoError(t, err)
	d := 8 * geom.Degree
	want := (9+gauge+0.05)*d.Tan() - gauge/d.Cos()
	for _, w := range plays[:4] {
		require.InDelta(t, want, w.Far, 1e-3, w.Way.Name)
		require.Equal(t, stack.Strikes, w.Ends)
		require.Equal(t, "I1/cup", w.Lower)
	}
	// The corners of the cup stand farthest out and strike first as it turns: about its middle, by the
	// clearance at right angles to the wall over the arm. The straight of a wall ends 12 mm before its
	// corner: at most 18 mm from the middle of the long one.
	for _, w := range plays[4:] {
		require.Equal(t, stack.Strikes, w.Ends)
		require.Greater(t, w.Far, want/39)
		require.Less(t, w.Far, want/17)
	}
}

// TestPlayEndsOffTheSeat slides a part that nothing holds: it tips where the middle of its load passes the
// crowns. Crowns 12 mm long are level for 12 - 2 x 0.77 mm; places looked at are 3 mm apart.
func TestPlayEndsOffTheSeat(t *testing.T) {
	const gauge = 0.8
	text := header(gauge, 200, 160, "underside") +
		"features:\n  - {kind: stacking_lug, size: [14, 12], height: 9, draft: 15, crown: 1, root: 1, repeat: {points: [[-80, 1], [-40, 0], [80, 1.5], [40, -0.5]]}}\n"
	p := made(t, text, gauge)
	r, err := stack.Put(context.Background(), p, p, stack.Place{Centre: p.Centre(), Shift: geom.Vec2{X: 20}})
	require.NoError(t, err)
	require.InDelta(t, 9+gauge, r.Lift, 1e-6)
	plays, err := r.Plays(context.Background())
	require.NoError(t, err)
	for _, w := range plays[2:4] {
		require.Equal(t, stack.Leaves, w.Ends, w.Way.Name)
		require.InDelta(t, 5.2+0.5, w.Far, 2.5, w.Way.Name)
	}
}

// TestStandAndBear: four crowns carry the load; what presses on them is that of all parts above.
func TestStandAndBear(t *testing.T) {
	const gauge = 0.8
	p := made(t, cupped(gauge), gauge)
	r, err := stack.Put(context.Background(), p, p, stack.Half(p))
	require.NoError(t, err)
	require.True(t, r.Settled.Held)
	require.InDelta(t, 0, r.Settled.Tilt().Degrees(), 1e-6)
	require.InDelta(t, 9+gauge, r.Settled.Lift, 1e-6)

	// The centre of the cup is that of the part; the polygon's nearest edge runs between the lugs at
	// (-80, 45) and (80, 18), or below between those at (-80, -65) and (80, -18), from the middles of their
	// outer long sides, 5.2 mm level and up to 0.6 mm of rounding farther out.
	s := r.Stand(5)
	require.Len(t, s.Layers, 4)
	far := func(a, b geom.Vec2) float64 { return math.Abs(b.Sub(a).Unit().Cross(a)) }
	want := min(far(geom.Vec2{X: -80, Y: 45 + 5}, geom.Vec2{X: 80, Y: 18 + 5}), far(geom.Vec2{X: -80, Y: -70}, geom.Vec2{X: 80, Y: -23}))
	worst, ok := s.Worst()
	require.True(t, ok)
	require.InDelta(t, want, worst.Margin, 3)
	for _, b := range s.Layers {
		require.InDelta(t, 0, b.Centre.Norm(), 1e-9)
	}

	// A crown is level within its rounding's tangent; 0.1 mm lower, the free side's arc of 1.8 mm is 0.6 mm
	// farther out.
	b, err := r.Bear(context.Background(), stack.Asked{Layers: 5, Load: 500, Own: 40})
	require.NoError(t, err)
	require.InDelta(t, 4*(0.5+0.04)*9.80665, b.Force, 1e-9)
	require.Len(t, b.Places, 4)
	k := ((90*geom.Degree - 15*geom.Degree) / 2).Tan()
	// area is that of a crown down to so many mm below its top.
	area := func(below float64) float64 {
		out := math.Sqrt(1.8*1.8-(1.8-below)*(1.8-below)) - 1*k
		corner := 3 + out
		return (14+2*out)*(12+2*out) - (4-math.Pi)*corner*corner
	}
	for _, pad := range b.Places {
		require.InEpsilon(t, area(0.1), pad.Area, 0.04)
		require.InEpsilon(t, area(0.01), pad.Tight, 0.04)
	}
	require.InEpsilon(t, b.Force/(4*area(0.1)), b.Pressure, 0.04)
	require.InEpsilon(t, b.Force/(4*area(0.01)), b.Most, 0.04)

	require.InDelta(t, 3*(9+gauge)+p.Height(), r.StackHeight(4), 1e-6)
	require.Equal(t, 4, r.Fits(r.StackHeight(4)+0.1))
	require.Equal(t, 3, r.Fits(r.StackHeight(4)-0.1))
	require.Zero(t, r.Fits(p.Height()-0.1))
}

// TestLoadOfLayersAlternates: with the load off the middle, the parts of a half-turned stack carry it on
// alternate sides, and what stands on the lowest but one is nearly centred.
func TestLoadOfLayersAlternates(t *testing.T) {
	const gauge = 0.8
	text := header(gauge, 200, 160, "underside") + `features:
  - {kind: pocket, name: cup, size: [40, 40], corner: 12, depth: 8, draft: 8, holds: opening, edge: 1.5, floor: 1.5, at: [30, 0]}
  - {kind: stacking_lug, name: lug, size: [14, 12], height: 12, draft: 15, crown: 1, root: 1, repeat: {points: ` + fourLugs + "}}\n"
	p := made(t, text, gauge)
	r, err := stack.Put(context.Background(), p, p, stack.Half(p))
	require.NoError(t, err)
	s := r.Stand(4)
	require.Len(t, s.Layers, 3)
	for i, want := range []float64{-10, 0, -30} { // means of -30, 30, -30; of -30, 30; of -30, each on its lower part
		require.InDelta(t, want, s.Layers[i].Centre.X, 1e-9)
		require.InDelta(t, 0, s.Layers[i].Centre.Y, 1e-9)
	}
}

// TestLid lowers another part on a tray: land on land, its step of 6 mm over the pocket of 10 mm.
func TestLid(t *testing.T) {
	const gauge = 0.8
	tray := made(t, header(gauge, 160, 120, "underside")+
		"features:\n  - {kind: pocket, name: cell, size: [80, 60], corner: 12, depth: 10, draft: 8, holds: opening, edge: 1.5, floor: 1.5}\n", gauge)
	lid := made(t, header(gauge, 150, 110, "underside")+
		"features:\n  - {kind: step, size: [100, 80], height: 6, draft: 8, edge: 1.5, floor: 2}\n", gauge)
	r, err := stack.Put(context.Background(), tray, lid, stack.Place{})
	require.NoError(t, err)
	require.InDelta(t, gauge, r.Lift, 1e-6)
	rooms, err := r.Rooms(context.Background())
	require.NoError(t, err)
	require.Len(t, rooms, 1)
	require.Equal(t, "I1/cell", rooms[0].Feature.ID)
	require.InDelta(t, 10+6, rooms[0].Free, 1e-6)
	require.InDelta(t, 10+6+2*gauge, r.Tall(), 1e-6)
}

// TestPlugOfALid lowers the plug of a lid into the pocket of a tray, drafted alike, the tool's side of one
// to that of the other: the walls meet all over, by however much the plug is wider at its mouth over twice
// the tangent of the draft. Free side to free side, both walls' thickness over the sine comes on top.
func TestPlugOfALid(t *testing.T) {
	const gauge = 0.6
	d := 8 * geom.Degree
	cell := "features:\n  - {kind: pocket, name: cell, size: [%g, %g], corner: %g, depth: 20, draft: 8, holds: opening, edge: 1.5, floor: 1.5}\n"
	for _, c := range []struct {
		tray, lid string
		more      float64 // of lift, mm
		met       [2]int  // groups of walls looked at, on the tray and on the lid
	}{
		{"upper", "underside", 0, [2]int{1, 1}}, {"underside", "upper", 2 * gauge / d.Sin(), [2]int{1, 1}},
		{"underside", "underside", gauge / d.Sin(), [2]int{1, 0}}, {"upper", "upper", gauge / d.Sin(), [2]int{0, 1}},
	} {
		tray := made(t, header(gauge, 160, 120, c.tray)+fmt.Sprintf(cell, 80.0, 60.0, 12.0), gauge)
		lid := made(t, header(gauge, 150, 110, c.lid)+fmt.Sprintf(cell, 80.6, 60.6, 12.3), gauge)
		r, err := stack.Put(context.Background(), tray, lid, stack.Place{})
		require.NoError(t, err)
		require.InDelta(t, 0.3/d.Tan()+c.more, r.Lift, 1e-5, "%s under %s", c.tray, c.lid)
		require.True(t, r.Jams())
		p := r.Peaks[0]
		require.InDelta(t, 8, p.Slope.Degrees(), 1e-4)
		for _, role := range []piece.Role{p.Lower.Role, p.Upper.Role} {
			require.Contains(t, []piece.Role{piece.Wall, piece.Corner}, role)
		}
		met, err := r.WallsMet(context.Background())
		require.NoError(t, err)
		require.Equal(t, c.met, met, "%s under %s", c.tray, c.lid)
	}
}
