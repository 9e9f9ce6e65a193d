package toolgen_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/examples"
	"platen/toolgen"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
)

// fillJob has one pocket: 40 x 30 mm at the floor, 10 deep at 6 deg, edge 2: opening 2 x (10 tan 6 + 2 tan 42)
// = 5.704 mm more.
const fillJob = `format: 1
name: fill
sheet: {material: HIPS, gauge: 1}
tool: {material: aluminium 5083, measured: underside}
part: {outline: {rect: [%g, %g], corner: 8}, flange: 8}
features:
  - {kind: pocket, name: cell, size: [40, 30], corner: 6, depth: 10, floor: 2}
%s`

func fill(t *testing.T, x, y float64, more string, ask toolgen.Filling) *toolgen.Filled {
	t.Helper()
	r, err := toolgen.Fill(context.Background(), read(t, fmt.Sprintf(fillJob, x, y, more)), options(), ask)
	require.NoError(t, err)
	return r
}

func TestFill(t *testing.T) {
	const more = 5.7038
	r := fill(t, 300, 200, "", toolgen.Filling{})
	require.InDelta(t, 40+more, r.Cell.X, 1e-3)
	require.InDelta(t, 30+more, r.Cell.Y, 1e-3)
	// Along 284 mm: 5 of 48.7 (240.5), 7 of 38.7 (268); along 184: 4 of 38.7 turned 3 of 48.7: 24 in rows at
	// most 5 x 4 = 20 plain, 7 x 3 = 21 turned.
	require.Equal(t, [2]int{7, 3}, r.Grid)
	require.GreaterOrEqual(t, r.Count(), 21)
	require.Empty(t, r.Refused)
	require.NotContains(t, fmt.Sprint(r.Findings), "error")

	// What is printed is built as it stands: a plain grid of two by one.
	r = fill(t, 2*(40+more)+3+16.05, 30+more+16.05, "", toolgen.Filling{NoTurn: true})
	require.Equal(t, 2, r.Count())
	require.Equal(t, [2]int{2, 1}, *r.Sets[0].Grid)
	require.InDelta(t, 40+more+3, r.Sets[0].Pitch.X, 1e-3)
	require.InDelta(t, 0, r.Sets[0].At.X, 1e-6)
	text := strings.Replace(fmt.Sprintf(fillJob, 2*(40+more)+3+16.05, 30+more+16.05, ""), "floor: 2}",
		fmt.Sprintf("floor: 2, repeat: {grid: [2, 1], pitch: [%.3f, 0]}}", r.Sets[0].Pitch.X), 1)
	for _, f := range check(t, text).Findings {
		require.NotEqual(t, "part.flange", f.ID, "the rule measures the reach at the size of the tool, 0.02 mm more: %s", f)
		require.NotEqual(t, finding.Error, f.Severity)
	}
	// And a hair less holds one less.
	require.Equal(t, 1, fill(t, 2*(40+more)+3+15.98, 30+more+16.05, "", toolgen.Filling{NoTurn: true}).Count())
}

func TestFillLeavesOutWhatIsTaken(t *testing.T) {
	free := fill(t, 300, 200, "", toolgen.Filling{NoTurn: true})
	taken := fill(t, 300, 200, "  - {kind: boss, name: post, diameter: 6, height: 3}\n", toolgen.Filling{Feature: "cell", NoTurn: true})
	require.Positive(t, taken.LeftOut)
	require.Equal(t, free.Count(), taken.Count()+taken.LeftOut)
	// A post in a corner of a room with room to spare costs nothing: the places move off it.
	spare := fill(t, 2*45.704+3+16+14, 35.704+16+14, "  - {kind: boss, name: post, diameter: 3, height: 1, at: [-49, 0]}\n", toolgen.Filling{Feature: "cell", NoTurn: true})
	require.Equal(t, 2, spare.Count())
	require.Zero(t, spare.LeftOut)
	require.NotContains(t, fmt.Sprint(taken.Findings), "error")
}

func TestFillTotes(t *testing.T) {
	// The part is 10 mm deep, the lower edge of its flange 10 mm over the base: of 200 mm, 40 mm taper along X
	// and 20 along Y.
	r := fill(t, 100, 80, "", toolgen.Filling{Inside: geom.Vec2{X: 580, Y: 380}, Base: geom.Vec2{X: 540, Y: 360}, Deep: 200, Loose: 2})
	require.InDelta(t, 540+40*10.0/200-4, r.Part.X, 1e-6)
	require.InDelta(t, 360+20*10.0/200-4, r.Part.Y, 1e-6)
	require.True(t, r.Changed)
	require.Greater(t, r.Count(), 70)
	r = fill(t, 100, 80, "", toolgen.Filling{Inside: geom.Vec2{X: 396, Y: 296}})
	require.Equal(t, geom.Vec2{X: 396, Y: 296}, r.Part)
	require.GreaterOrEqual(t, r.Count(), r.Grid[0]*r.Grid[1])
}

// TestFillClearsTheTotesSides: sides that grow by 2 mm to a mm of height, far flatter than the wall, so that the
// floor's rounding is nearest. Its middle lies 2 mm over the floor and 2 tan 42 = 1.8008 mm within the wall's line;
// a line of slope 2 touches it where at the base it stands 1.8008 + 2 (2 - sqrt 5) = 1.3287 mm within.
func TestFillClearsTheTotesSides(t *testing.T) {
	const within = 1.3287
	for _, tt := range []struct {
		name, old, with, more string
		base                  float64 // least of the tote, along X
	}{
		{"sizes on the underside", "", "", "", 2 * (20 - within)},
		// Areas: floor 1169.1, wall 1337.3, opening 1308.9 mm2: a wall of 0.5222 mm, level 0.5222 / cos 6 = 0.5251.
		{"sizes on the upper side", "underside}", "upper}", "", 2 * (20 + 0.5251 - within)},
		// Over a block of the tool the sheet keeps its 1 mm: 1 / cos 6 = 1.0055.
		{"no allowance: on the side that touches", "underside}", "underside, contact: upper, seal: platen, wall_allowance: none}", "", 2 * (20 + 1.0055 - within)},
		// The cell's floor is 3 mm over the base, the tote 6 mm larger a side there.
		{"beside a deeper one", "", "", "  - {kind: boss, name: post, diameter: 6, height: 3, at: [60, 0]}\n  - {kind: pocket, name: well, size: [8, 8], corner: 4, depth: 13, floor: 2, at: [0, 60]}\n", 2 * (20 - within - 6)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			text := strings.Replace(fmt.Sprintf(fillJob, 100.0, 80.0, tt.more), tt.old, tt.with, 1)
			ask := toolgen.Filling{Feature: "cell", Base: geom.Vec2{X: tt.base + 0.01, Y: 200}, Deep: 20, NoTurn: true}
			ask.Inside = ask.Base.Add(geom.Vec2{X: 80, Y: 80})
			r, err := toolgen.Fill(context.Background(), read(t, text), options(), ask)
			require.NoError(t, err)
			require.Positive(t, r.Count())
			for _, s := range r.Sets {
				for _, at := range s.Places {
					require.InDelta(t, 0, at.X, 0.01, "nowhere but in the middle")
				}
			}
			ask.Base.X, ask.Inside.X = ask.Base.X-0.02, ask.Inside.X-0.02
			_, err = toolgen.Fill(context.Background(), read(t, text), options(), ask)
			require.ErrorContains(t, err, "no cell clears the sides of the tote")
		})
	}
}

// TestFillFloorLargerThanTheBase: a floor of 360 x 260 mm stands on no base of 340 x 240 mm.
func TestFillFloorLargerThanTheBase(t *testing.T) {
	text := strings.NewReplacer("size: [40, 30]", "size: [360, 260]", "depth: 10", "depth: 90").Replace(fmt.Sprintf(fillJob, 500.0, 400.0, ""))
	ask := toolgen.Filling{Inside: geom.Vec2{X: 500, Y: 400}, Base: geom.Vec2{X: 340, Y: 240}, Deep: 100, Loose: 2}
	_, err := toolgen.Fill(context.Background(), read(t, text), options(), ask)
	require.ErrorContains(t, err, "no cell clears the sides of the tote")
	ask.Base = geom.Vec2{X: 364, Y: 264}
	r, err := toolgen.Fill(context.Background(), read(t, text), options(), ask)
	require.NoError(t, err)
	require.Equal(t, 1, r.Count())
	// What stays where it is must clear them too: its floor ends at 175 mm, the base at 170.
	_, err = toolgen.Fill(context.Background(), read(t, fmt.Sprintf(fillJob, 400.0, 300.0, "  - {kind: pocket, name: well, size: [20, 20], corner: 4, depth: 10, at: [165, 0]}\n")), options(),
		toolgen.Filling{Feature: "cell", Inside: geom.Vec2{X: 500, Y: 400}, Base: geom.Vec2{X: 340, Y: 240}, Deep: 20})
	require.ErrorContains(t, err, "I1/well does not clear the sides of the tote")
}

func TestFillRefused(t *testing.T) {
	for _, tt := range []struct {
		ask  toolgen.Filling
		says string
	}{
		{toolgen.Filling{Feature: "sell"}, `no feature "sell" on the land; there are ["cell"]`},
		{toolgen.Filling{Inside: geom.Vec2{X: 100, Y: 100}, Base: geom.Vec2{X: 90, Y: 90}, Deep: 5}, "a tote 5.0 mm deep and a part 11.0 mm high"},
		{toolgen.Filling{Inside: geom.Vec2{X: 14, Y: 14}}, "no part fits the tote"},
		{toolgen.Filling{Inside: geom.Vec2{X: 40, Y: 40}}, "no cell fits: its opening is"},
	} {
		_, err := toolgen.Fill(context.Background(), read(t, fmt.Sprintf(fillJob, 100.0, 80.0, "")), options(), tt.ask)
		var bad *toolgen.FillError
		require.ErrorAs(t, err, &bad)
		require.Contains(t, bad.Text, tt.says)
	}
	text, err := examples.Starter("hinged_pack")
	require.NoError(t, err)
	_, err = toolgen.Fill(context.Background(), read(t, string(text)), options(), toolgen.Filling{Feature: ""})
	if err != nil {
		require.ErrorContains(t, err, "name one")
	}
}
