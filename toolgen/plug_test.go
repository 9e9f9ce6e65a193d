package toolgen_test

import (
	"context"
	"fmt"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
)

// deep is a cup deeper than it forms well without a plug.
const deep = `
format: 1
name: deep cup
sheet: {material: HIPS, gauge: 1, least_wall: %g}
tool: {material: aluminium 5083, measured: underside%s}
part: {outline: {rect: [130, 110], corner: 8}}
%s
features:
  - {kind: pocket, name: cup, size: [80, 60], holds: opening, depth: 52, draft: 5, corner: 14, edge: 3, floor: 6}
`

// least returns the least wall of the cup.
func least(t *testing.T, r *toolgen.Result) float64 {
	t.Helper()
	a, ok := r.Formed.Least("I1/cup")
	require.True(t, ok)
	return a.Low
}

// TestAdvisedPlug forms again with the plug that the review advises: it has room, the finding is gone and
// the thinnest place is half as thick again at least.
func TestAdvisedPlug(t *testing.T) {
	plain := formed(t, fmt.Sprintf(deep, 0.1, "", ""))
	fs := findingsOf(plain, "plug.advised")
	require.Len(t, fs, 1)
	plug := regexp.MustCompile(`forming\.plug: (\{.*\})`).FindStringSubmatch(fs[0].Fix)
	require.Len(t, plug, 2, fs[0].Fix)
	r := formed(t, fmt.Sprintf(deep, 0.1, "", "forming: {plug: "+plug[1]+"}"))
	t.Logf("%s: %.3f mm, without %.3f", plug[1], least(t, r), least(t, plain))
	for _, id := range []string{"plug.advised", "plug.clear", "plug.travel", "depth.width", "wall.web"} {
		require.Empty(t, findingsOf(r, id), id)
	}
	require.Greater(t, least(t, r), 1.5*least(t, plain))
	m := r.Summary().Forming
	require.Equal(t, 1, m.Plug.Count)
	require.InDelta(t, 4, m.Plug.Gap, 0.3)
	require.Contains(t, m.LeftOut, "no published experiment")
}

// TestChoicesWithForming compares sides with a plug and a frame: turned over, the cup stands up on the tool
// and the plug would go into it, so that row is refused and says so.
func TestChoicesWithForming(t *testing.T) {
	j := read(t, fmt.Sprintf(deep, 0.1, ", machine: {vacuum: 60}", "forming: {frame: [200, 180], plug: {outline: {rect: [50, 30], corner: 8}, travel: 44}}"))
	rows, err := toolgen.Choices(context.Background(), j, options(), nil)
	require.NoError(t, err)
	require.Len(t, rows, 6)
	for i, r := range rows {
		if r.Contact == "upper" {
			require.Contains(t, r.Refused, "plug: travel 44.00 mm: it goes ")
			continue
		}
		require.Empty(t, r.Refused)
		if i > 0 {
			require.Greater(t, r.Least, rows[i-1].Least)
		}
	}
}

// TestCalibrateWithForming finds the stiffening of a sheet that was formed with the job's own vacuum and
// plug.
func TestCalibrateWithForming(t *testing.T) {
	text := fmt.Sprintf(deep, 0.1, ", machine: {vacuum: 60}", "forming: {plug: {outline: {rect: [50, 30], corner: 8}, travel: 44}}")
	o := options()
	o.NoSheet, o.NoBand = false, true
	j := read(t, text)
	j.Sheet = j.Sheet.With("stiffening", 0.3)
	made, err := toolgen.Check(context.Background(), j, o)
	require.NoError(t, err)
	require.InDelta(t, 0.06, made.Formed.Setup.Pressure, 1e-12)
	require.NotNil(t, made.Formed.Setup.Plug)
	var m toolgen.Measured
	for _, s := range made.Formed.Sections() {
		for i, p := range s.Points {
			if i%6 == 0 && !p.Web {
				m.Walls = append(m.Walls, toolgen.WallReading{Line: i, At: made.Body.Map.Back(p.At), MM: p.Wall})
			}
		}
	}
	c, err := toolgen.Calibrate(context.Background(), read(t, text), o, m)
	require.NoError(t, err)
	t.Logf("%.3f, rms %.4f mm over %d walls", c.Stiffening, toolgen.RMS(c.Walls), len(c.Walls))
	require.InEpsilon(t, 0.3, c.Stiffening, 0.2)
	// Without the plug that the part was made with the walls fit worse.
	other, err := toolgen.Calibrate(context.Background(), read(t, fmt.Sprintf(deep, 0.1, "", "")), o, m)
	require.NoError(t, err)
	require.Greater(t, toolgen.RMS(other.Walls), 3*toolgen.RMS(c.Walls))
}

// TestFilledRounding forms again with the rounding that the review says the sheet fills: it does.
func TestFilledRounding(t *testing.T) {
	const tray = `
format: 1
name: heavy tray
sheet: {material: HIPS, gauge: 4}
tool: {material: aluminium 5083, measured: underside}
part: {outline: {rect: [250, 190], corner: 8}}
features:
  - {kind: pocket, name: tray, size: [180, 120], holds: opening, depth: 30, draft: 6, corner: 40, edge: 6, floor: %s}
`
	fs := findingsOf(formed(t, fmt.Sprintf(tray, "4")), "wall.bridged")
	require.Len(t, fs, 1)
	radius := regexp.MustCompile(`a rounding there of ([0-9.]+) mm`).FindStringSubmatch(fs[0].Fix)
	require.Len(t, radius, 2, fs[0].Fix)
	t.Logf("gap %.2f mm; %s", fs[0].Got, fs[0].Fix)
	left := findingsOf(formed(t, fmt.Sprintf(tray, radius[1])), "wall.bridged")
	for _, f := range left {
		t.Logf("left: %.2f mm", f.Got)
	}
	require.Empty(t, left)
}
