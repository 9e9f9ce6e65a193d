package sheet_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/piece"
	"platen/toolgen/sheet"
	"platen/toolgen/wall"
)

// assemble makes the tool body of a job text.
func assemble(t *testing.T, text string) *body.Body {
	t.Helper()
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	j, err := job.Read([]byte(text), "job.yaml", kinds, job.Names{})
	require.NoError(t, err)
	p, err := part.Resolve(j, features.All(), os.ReadFile)
	require.NoError(t, err)
	b, err := body.Assemble(p, wall.None{})
	require.NoError(t, err)
	return b
}

func made(t *testing.T, text string) *sheet.Formed {
	t.Helper()
	f, err := sheet.Form(context.Background(), assemble(t, text), sheet.Options{Workers: 1})
	require.NoError(t, err)
	require.InDelta(t, 0, f.Sheet.Balance(), 1e-12, "the sheet's volume is kept")
	return f
}

// refused returns the reason a job can not be formed for, and the line of the key at fault.
func refused(t *testing.T, text string) (why string, key string) {
	t.Helper()
	_, err := sheet.Form(context.Background(), assemble(t, text), sheet.Options{})
	var bad *part.BuildError
	require.True(t, errors.As(err, &bad), "%v", err)
	return bad.Err.Error(), strings.TrimSpace(strings.Split(text, "\n")[bad.Pos.Line-1])
}

const head = `format: 1
name: trial
shrink: {off: true}
`

// TestFrameFeeds: the sheet in the frame is spread over what is formed, whatever the frame.
//
// R. J. Crawford, Plastics Engineering, 3rd ed., 1998, Example 4.7: a box 150 x 100 x 60 from 2 mm:
// 30,000 mm3 over 45,000 mm2, 0.67 mm. Here the sheet sticks to a land around it, which keeps what lies
// over it, and is a quarter as thick, to come closer into the sharp edges.
func TestFrameFeeds(t *testing.T) {
	const box = head + `sheet: {material: HIPS, gauge: 0.5}
tool: {material: aluminium 5083, wall_allowance: none, block: {size: [190, 140]}}
part: {outline: {rect: [170, 120], corner: 1}, flange: 0}
forming: {%s}
features:
  - {kind: pocket, name: box, size: [150, 100], depth: 60, holds: opening, draft: 0, corner: 0, edge: 0, floor: 0}
`
	for _, c := range []struct {
		forming string
		x, y    float64
	}{{"", 190, 140}, {"frame: [190, 140]", 190, 140}, {"frame: [240, 190]", 240, 190}} {
		f := made(t, fmt.Sprintf(box, c.forming))
		formed := 0.0
		for k := range f.Sheet.Triangles {
			formed += f.Sheet.Area(k)
		}
		require.InEpsilon(t, c.x*c.y, f.Sheet.Flat, 1e-12)
		mean, whole := f.Sheet.Mean(all)
		require.InEpsilon(t, formed, whole, 1e-9)
		require.InEpsilon(t, 0.5*c.x*c.y/formed, mean, 1e-9, "gauge x frame / formed area")
		var mm3, mm2 float64 // of what lay over the opening: there it is held
		for k := range f.Sheet.Triangles {
			if mid := flat(f, k); math.Abs(mid.X) < 75 && math.Abs(mid.Y) < 50 {
				mm3 += f.Sheet.FlatArea(k) * f.Sheet.Gauge
				mm2 += f.Sheet.Area(k)
			}
		}
		t.Logf("%s: %.0f mm3 over %.0f mm2, mean %.4f mm", c.forming, mm3, mm2, mm3/mm2)
		require.InEpsilon(t, 30000.0/4, mm3, 0.005)
		require.InEpsilon(t, 45000, mm2, 0.03) // the sharp edges at the floor are not reached
		require.InEpsilon(t, 0.667/4, mm3/mm2, 0.03)
	}
}

// flat returns the middle of a triangle on the flat sheet.
func flat(f *sheet.Formed, k int) geom.Vec2 {
	n := f.Sheet.Triangles[k].N
	return f.Sheet.Nodes[n[0]].Flat.Add(f.Sheet.Nodes[n[1]].Flat).Add(f.Sheet.Nodes[n[2]].Flat).Scale(1.0 / 3)
}

const block = head + `sheet: {material: HIPS, gauge: 1%s}
tool: {material: aluminium 5083, wall_allowance: none, seal: platen, block: {size: [100, 80], base: 50, skirt_draft: 6, edge: 4, corner: 10}}
part: {outline: {rect: [60, 40], corner: 8}}
forming: {%s}
`

// skirt returns the mean wall and the least over the middle of the sides of the block.
func skirt(f *sheet.Formed) (low, mean float64) {
	on := func(p geom.Vec3) bool { return p.Z > 8 && p.Z < 40 }
	low = math.Inf(1)
	for k := range f.Sheet.Triangles {
		if on(f.Sheet.Middle(k)) && !f.Sheet.Nodes[f.Sheet.Triangles[k].N[0]].Off {
			low = min(low, f.Sheet.Triangles[k].Thickness)
		}
	}
	mean, _ = f.Sheet.Mean(on)
	return low, mean
}

// TestWiderFrame: over a block, a wider frame gives more sheet to the skirt.
func TestWiderFrame(t *testing.T) {
	last := 0.0
	for _, frame := range [][2]float64{{120, 100}, {160, 140}, {220, 200}} {
		f := made(t, fmt.Sprintf(block, "", fmt.Sprintf("frame: [%g, %g]", frame[0], frame[1])))
		low, mean := skirt(f)
		t.Logf("frame %v: skirt mean %.3f, low %.3f", frame, mean, low)
		require.Greater(t, mean, 1.03*last)
		last = mean
	}
}

// TestVacuum: the job's vacuum draws the sheet; the more, the less it leaves unfilled in a sharp fillet.
// The closed form of what it leaves is held in form, TestOwnRadius.
func TestVacuum(t *testing.T) {
	const trough = head + `sheet: {material: HIPS, gauge: 9}
tool: {material: aluminium 5083, wall_allowance: none%s}
part: {outline: {rect: [360, 170], corner: 8}}
features:
  - {kind: pocket, name: trough, size: [300, 120], depth: 36, holds: opening, draft: 3, corner: 48, edge: 9, floor: 1}
`
	last := math.Inf(1)
	for _, vacuum := range []float64{40, 60, 85, 101} {
		f := made(t, fmt.Sprintf(trough, fmt.Sprintf(", machine: {vacuum: %g}", vacuum)))
		require.InDelta(t, vacuum/1000, f.Setup.Pressure, 1e-12)
		under := 0.0 // mm3 between sheet and tool
		for k := range f.Sheet.Triangles {
			for _, n := range f.Sheet.Triangles[k].N {
				under += f.Sheet.Area(k) / 3 * f.Sheet.Nodes[n].Gap
			}
		}
		gap, where := 0.0, 0.0
		for _, a := range f.Areas {
			if a.Bridged > gap {
				gap, where = a.Bridged, a.GapAt.Z-f.Body.Bottom()
			}
		}
		t.Logf("%g kPa: %.0f mm3 not filled, %.2f mm at most, %.1f mm over the base", vacuum, under, gap, where)
		require.Positive(t, gap)
		require.Less(t, where, 20+12.0, "it is at the foot of the wall: the base is 20 mm thick")
		require.Less(t, under, 0.9*last)
		last = under
	}
	plain := made(t, fmt.Sprintf(trough, ""))
	require.InDelta(t, 0.085, plain.Setup.Pressure, 1e-12, "the built-in machine")
}

// TestTravel: a tool that stops short of the platen leaves the skirt thin.
func TestTravel(t *testing.T) {
	last := 0.0
	for _, travel := range []float64{15, 30, 50} {
		f := made(t, fmt.Sprintf(block, "", fmt.Sprintf("travel: %g", travel)))
		low, mean := skirt(f)
		t.Logf("travel %g: skirt mean %.3f, low %.3f", travel, mean, low)
		require.Greater(t, low, last)
		last = low
		require.InDelta(t, 50, f.Plan.Full, 1e-9)
	}
	whole := made(t, fmt.Sprintf(block, "", ""))
	low, _ := skirt(whole)
	require.InDelta(t, last, low, 1e-12, "not given, the tool goes all the way")
}

// TestBubble: sheet blown up before it drapes over a block covers it more evenly.
func TestBubble(t *testing.T) {
	spread := func(f *sheet.Formed) float64 { // of the wall over all of the tool, by volume-weighted deviation
		var v, s, ss float64
		for k := range f.Sheet.Triangles {
			tr := &f.Sheet.Triangles[k]
			if f.Sheet.Nodes[tr.N[0]].Off || f.Sheet.Nodes[tr.N[1]].Off || f.Sheet.Nodes[tr.N[2]].Off || f.Sheet.Webs(k) {
				continue
			}
			a := f.Sheet.Area(k)
			v += a
			s += a * tr.Thickness
			ss += a * tr.Thickness * tr.Thickness
		}
		m := s / v
		return math.Sqrt(ss/v-m*m) / m
	}
	var even []float64
	for _, bubble := range []float64{0, 40} {
		f := made(t, fmt.Sprintf(block, "", fmt.Sprintf("frame: [180, 160], bubble: %g", bubble)))
		low, mean := skirt(f)
		t.Logf("bubble %g: spread %.3f, skirt mean %.3f, low %.3f", bubble, spread(f), mean, low)
		even = append(even, spread(f))
	}
	require.Less(t, even[1], 0.8*even[0])
}

func all(geom.Vec3) bool { return true }

// TestRefusedForming: what no machine can do is refused at its key, with the number that is allowed.
func TestRefusedForming(t *testing.T) {
	const tray = head + `sheet:
  material: HIPS
  gauge: 1
  %s
tool: {material: aluminium 5083, wall_allowance: none, seal: %s, block: {size: [100, 80], base: 30}}
part: {outline: {rect: [60, 40], corner: 8}}
forming:
  %s
features:
  - {kind: %s, size: [30, 20], %s: 12, draft: 6, edge: 2, floor: 3}
`
	text := func(sheetKey, seal, key, kind, height string) string {
		if sheetKey == "" {
			sheetKey = "texture: 0"
		}
		return fmt.Sprintf(tray, sheetKey, seal, key, kind, height)
	}
	for _, c := range []struct{ name, text, key, why string }{
		{"frame inside the block", text("", "frame", "frame: [99, 90]", "pocket", "depth"), "frame: [99, 90]", "100.0 x 80.0 mm at least"},
		{"no room down the sides", text("", "platen", "frame: [101, 90]", "pocket", "depth"), "frame: [101, 90]", "102.0 x 82.0 mm at least"},
		{"sheet too small", text("size: [120, 100]", "frame", "bubble: 0", "pocket", "depth"), "size: [120, 100]", "frame 96.0 x 76.0 mm is smaller"},
		{"past the platen", text("", "platen", "travel: 43", "pocket", "depth"), "travel: 43", "42.00 mm into the sheet: there the platen stops"},
		{"no seal", text("", "frame", "travel: 5", "step", "height"), "travel: 5", "12.00 mm into the sheet: with seal: frame"},
		{"bubble", text("", "frame", "bubble: 41", "pocket", "depth"), "bubble: 41", "allowed: up to 40.0 mm, half the shorter side"},
	} {
		t.Run(c.name, func(t *testing.T) {
			why, key := refused(t, c.text)
			require.Equal(t, c.key, key)
			require.Contains(t, why, c.why)
		})
	}
	for _, good := range []string{
		text("", "frame", "frame: [100, 80]", "pocket", "depth"), text("", "platen", "travel: 42", "pocket", "depth"),
		text("", "frame", "travel: 12", "step", "height"), text("", "frame", "bubble: 40", "pocket", "depth"),
		text("size: [124, 104]", "frame", "bubble: 0", "pocket", "depth"), text("", "reducing_plate", "travel: 20", "step", "height"),
	} {
		_, err := sheet.PlanOf(assemble(t, good))
		require.NoError(t, err, good)
	}
}

// TestBubbleInAPocket: a bubble brings more sheet into a pocket too; what the land has no use for is
// pressed together there, and told.
func TestBubbleInAPocket(t *testing.T) {
	made := func(bubble string) *sheet.Formed {
		return made(t, strings.Replace(fmt.Sprintf(cup, "frame: [180, 160]"), "bubble: 0", bubble, 1))
	}
	plain, blown := made("bubble: 0"), made("bubble: 40")
	for _, r := range []piece.Role{piece.Wall, piece.Fillet, piece.Floor} {
		was, is := area(t, plain, "I1/cup", r), area(t, blown, "I1/cup", r)
		t.Logf("%s: mean %.3f, blown %.3f", r, was.Mean, is.Mean)
		require.Greater(t, is.Mean, 1.1*was.Mean)
	}
	require.Zero(t, area(t, plain, "block", piece.Land).Wrinkle)
	require.Greater(t, area(t, blown, "block", piece.Land).Wrinkle, 500.0)
}

// TestWebIsFlaggedNotQuoted: between two blocks too high for their gap the sheet folds; there is no wall
// there, in no figure.
func TestWebIsFlaggedNotQuoted(t *testing.T) {
	f := made(t, head+`sheet: {material: HIPS, gauge: 1}
tool: {material: aluminium 5083, wall_allowance: none}
part: {outline: {rect: [190, 120], corner: 8}}
features:
  - {kind: step, name: left, size: [50, 70], height: 50, at: [-38, 0], draft: 4, edge: 2, floor: 2, corner: 6}
  - {kind: step, name: right, size: [50, 70], height: 50, at: [38, 0], draft: 4, edge: 2, floor: 2, corner: 6}
`)
	web, webs, quoted := 0.0, 0, 0.0
	for _, a := range f.Areas {
		web += a.Webbing
		quoted += a.Size
	}
	require.Greater(t, web, 50.0)
	whole := 0.0
	for k := range f.Sheet.Triangles {
		if f.Sheet.Webs(k) {
			webs++
			_, ok := f.Wall(f.Sheet.Middle(k))
			require.False(t, ok)
			continue
		}
		whole += f.Sheet.Area(k)
	}
	require.Positive(t, webs)
	require.LessOrEqual(t, quoted, whole, "no web is in a mean")
	seen := 0
	for _, s := range f.Sections() {
		for _, p := range s.Points {
			if p.Web {
				seen++
			}
		}
	}
	require.Positive(t, seen)
	t.Logf("%.0f mm2 of webs in %d triangles, %d readings of sections", web, webs, seen)
}
