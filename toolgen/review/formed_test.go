package review_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/finding"
	"platen/toolgen/form"
	"platen/toolgen/piece"
	"platen/toolgen/review"
	"platen/toolgen/sheet"
)

// TestFormedSheet judges a formed sheet made up for the purpose: each rule just beyond and just within.
func TestFormedSheet(t *testing.T) {
	const text = `sheet: {material: HIPS, gauge: 1, least_wall: 0.3}
features:
  - {kind: pocket, name: left, size: [40, 30], depth: 12, at: [-40, 0]}
  - {kind: pocket, name: right, size: [40, 30], depth: 12, at: [40, 0]}
`
	area := func(feature string, role piece.Role, low, bridged, web float64) sheet.Area {
		return sheet.Area{Feature: "I1/" + feature, Role: role, Low: low, Size: 10, Bridged: bridged, Webbing: web}
	}
	wrinkled := func(feature string, size, mm2 float64) sheet.Area {
		return sheet.Area{Feature: "I1/" + feature, Role: piece.Edge, Low: 1, Size: size, Wrinkle: mm2}
	}
	for _, c := range []struct {
		name, rule string
		area       sheet.Area
		want       []string // words of the fix; nil: no finding
	}{
		{"thin", "wall.least", area("left", piece.Fillet, 0.29, 0, 0), []string{"gauge 1.10 mm"}}, // 0.3 / 0.29 with 3 % to spare = 1.066
		{"thick enough", "wall.least", area("left", piece.Fillet, 0.3, 0, 0), nil},
		{"bridged", "wall.bridged", area("right", piece.Fillet, 1, form.Bridge+0.01, 0), []string{"2.8 mm"}},                                                             // 2 + 0.31 / (sqrt 2 - 1) = 2.748
		{"far off a small rounding", "wall.bridged", area("right", piece.Fillet, 1, 3, 0), []string{"10.3 mm"}},                                                          // 3 / (1 - 1 / sqrt 2) = 10.24
		{"no room for the rounding", "wall.bridged", area("right", piece.Fillet, 1, 5, 0), []string{"shallower or wider", "17.1 mm, which it would fill, does not fit"}}, // 5 / (1 - 1 / sqrt 2) = 17.07 of 12 deep
		{"landed", "wall.bridged", area("right", piece.Fillet, 1, form.Bridge, 0), nil},
		{"web", "wall.web", area("left", piece.Land, 1, 0, 12), []string{"more room"}},
		{"pressed together", "wall.wrinkle", wrinkled("left", 1000, 51), []string{"lower, farther apart, with more draft"}},
		{"less than a few triangles", "wall.wrinkle", wrinkled("left", 1000, 50), nil},
		{"a small share", "wall.wrinkle", wrinkled("left", 6000, 120), nil},
		{"no web", "wall.web", area("left", piece.Land, 1, 0, 0), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := assemble(t, whole(text))
			p.Formed = &sheet.Formed{Areas: []sheet.Area{c.area}}
			fs := review.Run(p)
			require.Len(t, of("wall.model", fs), 1, "what the model leaves out is said with its results")
			require.Empty(t, of("wall.mean-low", fs), "the estimate gives way to the formed wall")
			found := of(c.rule, fs)
			if c.want == nil {
				require.Empty(t, found, list(found))
				return
			}
			require.Len(t, found, 1)
			spoken(t, found[0])
			require.Equal(t, c.area.Feature, found[0].Feature)
			require.Equal(t, finding.Warning, found[0].Severity)
			for _, w := range c.want {
				require.Contains(t, found[0].Fix, w)
			}
		})
	}
	p := assemble(t, whole("limits:\n  - {rule: wall.least, limit: 0.25, reason: a trial held}\n"+text))
	p.Formed = &sheet.Formed{Areas: []sheet.Area{area("left", piece.Fillet, 0.29, 0, 0)}}
	found := of("wall.least", review.Run(p))
	require.Len(t, found, 1)
	require.Equal(t, finding.Note, found[0].Severity)
	require.Equal(t, "a trial held", found[0].Override)
	require.Empty(t, of("wall.model", judge(t, whole(text))))
}

// TestRepeatedFaults: one fault at many places is one finding, that of the worst place.
func TestRepeatedFaults(t *testing.T) {
	p := assemble(t, whole(`sheet: {material: HIPS, gauge: 1, least_wall: 0.3}
features:
  - {kind: pocket, name: cup, size: [30, 30], depth: 12, repeat: {grid: [4, 1], pitch: [44, 1]}}
`))
	p.Formed = &sheet.Formed{}
	for i, low := range []float64{0.28, 0.2, 0.2, 0.29} {
		p.Formed.Areas = append(p.Formed.Areas, sheet.Area{Feature: p.Body.Solids[i].ID, Role: piece.Fillet, Low: low, Size: 1})
	}
	found := of("wall.least", review.Run(p))
	require.Len(t, found, 1)
	require.Equal(t, "I1/cup/P2", found[0].Feature)
	require.InDelta(t, 0.2, found[0].Got, 0)
	require.Equal(t, "its fillet forms 0.20 mm thin, below 0.30 mm, the least asked; the same at one more place; less so at 2 more places", found[0].Text)
}

// TestPlugAdvised: a deep recess that forms thin is told of a plug; a shallow one, one that is thick enough
// and one that has its plug are not.
func TestPlugAdvised(t *testing.T) {
	const text = `%sfeatures:
  - {kind: pocket, name: cup, size: [60, %g], holds: opening, depth: 46, draft: 5, corner: 14, edge: 3, floor: 6}
`
	for _, c := range []struct {
		name, forming string
		width, low    float64
		told          bool
	}{
		{"thin", "", 56, 0.49, true}, // 46 / 56 = 0.82
		{"half the gauge", "", 56, 0.5, false},
		{"shallow", "", 58, 0.2, false}, // 0.793
		{"has its plug", "forming: {plug: {outline: {circle: 20}, travel: 20}}\n", 56, 0.2, false},
		{"plug elsewhere", "forming: {plug: {outline: {circle: 8}, at: [70, 0], edge: 1, travel: 0.5}}\n", 56, 0.2, true},
		{"least asked", "sheet: {material: HIPS, gauge: 1, least_wall: 0.2}\n", 56, 0.3, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := assemble(t, whole(fmt.Sprintf(text, c.forming, c.width)))
			p.Formed = &sheet.Formed{Areas: []sheet.Area{{Feature: "I1/cup", Role: piece.Fillet, Low: c.low, Size: 10}}}
			found := of("plug.advised", review.Run(p))
			if !c.told {
				require.Empty(t, found)
				return
			}
			require.Len(t, found, 1)
			spoken(t, found[0])
			// Nine tenths of the depth; 4 mm off the walls at right angles: 46 x 0.9 x tan 5 + 4 / cos 5 = 7.637.
			require.Contains(t, found[0].Fix, "{outline: {rect: [44.7 mm, 40.7 mm], corner: 6.3 mm}, at: [0.0 mm, 0.0 mm], travel: 41.4 mm, edge: 6.0 mm, draft: 5.0}")
		})
	}
}

// TestStretchOfFormedSheet: what a grade or a finish stands is held against the thinnest formed wall.
func TestStretchOfFormedSheet(t *testing.T) {
	const text = `sheet: {material: conductive ABS, gauge: 1.5}
features:
  - {kind: pocket, name: cup, size: [60, 60], depth: 12}
`
	for low, told := range map[float64]bool{0.49: true, 0.51: false} { // 1.5 / 3 = 0.5
		p := assemble(t, whole(text))
		p.Formed = &sheet.Formed{Areas: []sheet.Area{{Feature: "I1/cup", Role: piece.Fillet, Low: low, Size: 10}}}
		found := of("sheet.stretch", review.Run(p))
		require.Equal(t, told, len(found) == 1)
		if told {
			spoken(t, found[0])
			require.InDelta(t, 1.5/low, found[0].Got, 1e-12)
			require.Contains(t, found[0].Text, "its fillet is stretched 3.06 times, over 3.00, the most: conductive ABS loses its conduction there")
			require.Contains(t, found[0].Fix, "0.50 mm of 1.50 mm")
		}
	}
}

// TestUnevenFloor tells how far the measured side of a floor is off its middle, once and of the worst, and
// only where the tool is offset by the formed wall.
func TestUnevenFloor(t *testing.T) {
	const text = `tool: {material: aluminium 5083, contact: underside, measured: %s, wall_allowance: %s, block: {margin: 40, base: 30}}
features:
  - {kind: pocket, name: left, size: [40, 40], depth: 12, at: [-40, 0]}
  - {kind: pocket, name: right, size: [40, 40], depth: 12, at: [40, 0]}
`
	for _, c := range []struct {
		measured, allowance string
		low                 float64
		told                bool
	}{
		{"upper", "formed", 0.3, true}, {"upper", "formed", 0.46, false}, {"upper", "nominal", 0.3, false}, {"underside", "formed", 0.3, false},
	} {
		p := assemble(t, whole(fmt.Sprintf(text, c.measured, c.allowance)))
		p.Formed = &sheet.Formed{Levels: []sheet.Level{
			{Feature: "I1/left", Middle: 0.5, Low: 0.46, High: 0.5}, {Feature: "I1/right", Middle: 0.5, Low: c.low, High: 0.51},
		}}
		found := of("wall.uneven", review.Run(p))
		if !c.told {
			require.Empty(t, found, "%v", c)
			continue
		}
		require.Len(t, found, 1)
		spoken(t, found[0])
		require.Equal(t, "I1/right", found[0].Feature)
		require.InDelta(t, 0.2, found[0].Got, 1e-12)
	}
}
