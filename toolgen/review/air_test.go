package review_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/air"
	"platen/toolgen/finding"
	"platen/toolgen/form"
	"platen/toolgen/geom"
	"platen/toolgen/review"
)

// vented are two pockets in thin sheet: the target is 1 s.
const vented = `sheet: {material: HIPS, gauge: 1}
features:
  - {kind: pocket, name: left, size: [40, 30], depth: 12, at: [-40, 0]}
  - {kind: pocket, name: right, size: [40, 30], depth: 12, at: [40, 0]}
`

// TestPullDown judges a pull-down made up for the purpose: beyond and within the target, and by what
// it is mended.
func TestPullDown(t *testing.T) {
	const id = "vent.pull-down"
	pulled := func(time, floor float64) *air.Pulled {
		return &air.Pulled{Target: 1, Enough: 68, Time: time, Done: true, Vacuum: 80, Floor: floor, Regions: []air.Region{
			{Feature: "I1/left", Sealed: true}, {Feature: "I1/right", At: geom.Vec3{X: 40}, Holes: 4, Time: time},
		}}
	}
	found := func(text string, a *air.Pulled) []finding.Finding {
		p := assemble(t, whole(text))
		p.Air, p.Machine = a, "some machine"
		return of(id, review.Run(p))
	}
	require.Empty(t, found(vented, pulled(1, 0.2)))
	require.Empty(t, found(vented, nil))
	for _, c := range []struct {
		name   string
		change func(*air.Pulled)
		text   string
		fix    string
	}{
		{"holes", func(a *air.Pulled) {
			a.Add = []air.Extra{{Feature: "I1/right", Count: 3, Dia: 0.5}}
		}, "after 1.01 s, here last, target 1.00 s", "add 3 x 0.50 mm at the last place of I1/right"},
		{"hose", func(a *air.Pulled) { a.Floor = 1.005 }, "after 1.01 s", "hose, tank and pump alone take 1.00 s; a hose of about 2 times the area"},
		{"tank", func(a *air.Pulled) { a.Time, a.Done, a.Vacuum, a.Tank = 10, false, 61, 33.2 }, "not drawn out: after 10 s the vacuum under the tool is 61 kPa", "a tank of 34 l"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := pulled(1.01, 0.2)
			c.change(a)
			fs := found(vented, a)
			require.Len(t, fs, 1)
			spoken(t, fs[0])
			require.Equal(t, "I1/right", fs[0].Feature)
			require.Equal(t, finding.Warning, fs[0].Severity)
			require.Contains(t, fs[0].Text, c.text)
			require.Contains(t, fs[0].Fix, c.fix)
			require.Contains(t, fs[0].Source, "some machine")
		})
	}
	heavy := `sheet: {material: HIPS, gauge: 3}
features:
  - {kind: pocket, name: right, size: [80, 80], depth: 12, edge: 4, floor: 6}
`
	require.Empty(t, found(heavy, pulled(3, 0.2)))
	require.Len(t, found(heavy, pulled(3.1, 0.2)), 1)
	moved := "limits:\n  - {rule: vent.pull-down, limit: 2, reason: slow oven}\n" + vented
	fs := found(moved, pulled(1.5, 0.2))
	require.Len(t, fs, 1)
	require.Equal(t, finding.Note, fs[0].Severity)
	require.Equal(t, "slow oven", fs[0].Override)
}

// TestTrapped judges air that no hole is left for: surely off the tool, perhaps, and kept clear by the
// job.
func TestTrapped(t *testing.T) {
	const id = "vent.trapped"
	found := func(text string, all ...air.Trapped) []finding.Finding {
		p := assemble(t, whole(text))
		p.Air = &air.Pulled{Done: true, Target: 1, Trapped: all}
		return of(id, review.Run(p))
	}
	caught := func(feature string, gap, area float64) air.Trapped {
		return air.Trapped{Feature: "I1/" + feature, Gap: gap, Area: area, Volume: gap * area, Places: 1}
	}
	require.Empty(t, found(vented))
	for _, c := range []struct {
		name string
		one  air.Trapped
		want finding.Severity
	}{
		{"over the bridge", caught("left", form.Bridge+0.01, 100), finding.Warning},
		{"under it", caught("left", form.Bridge-0.01, 100), finding.Note},
		{"smaller than a hole serves", caught("left", 2, 70), finding.Note},
	} {
		fs := found(vented, c.one)
		require.Len(t, fs, 1, c.name)
		spoken(t, fs[0])
		require.Equal(t, c.want, fs[0].Severity, c.name)
		require.Equal(t, "I1/left", fs[0].Feature)
		require.InDelta(t, c.one.Gap, fs[0].Got, 0)
	}
	fs := found(vented, caught("left", 1, 100), caught("right", 0.2, 500))
	require.Len(t, fs, 2)
	require.Equal(t, finding.Warning, fs[0].Severity)
	require.Equal(t, finding.Note, fs[1].Severity)
	clear := "tool: {material: aluminium 6082, vents: {keep_clear: [left]}}\n" + vented
	fs = found(clear, caught("left", 5, 1000))
	require.Len(t, fs, 1)
	require.Equal(t, finding.Warning, fs[0].Severity)
	fs = found(vented, air.Trapped{Feature: "block", Gap: 1, Area: 100, Places: 3})
	require.Len(t, fs, 1)
	require.Equal(t, "block", fs[0].Feature)
	require.Contains(t, fs[0].Text, "3 such places")
}
