package toolgen_test

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/finding"
	"platen/toolgen/vent"
)

const pair = `
format: 1
name: pair of pockets
sheet: {material: HIPS, gauge: 1}
tool:
  material: aluminium 5083
  wall_allowance: none
  %s
part: {outline: {rect: [200, 120], corner: 8}}
features:
  - {kind: pocket, name: left, size: [60, 60], depth: 20, at: [-45, 0], edge: 2, floor: 3, draft: 6}
  - {kind: pocket, name: right, size: [60, 60], depth: 20, at: [45, 0], edge: 2, floor: 3, draft: 6}
`

// formed reviews a job with its sheet formed.
func formed(t *testing.T, text string) *toolgen.Result {
	t.Helper()
	o := options()
	o.NoSheet = false
	r, err := toolgen.Check(context.Background(), read(t, text), o)
	require.NoError(t, err)
	return r
}

// findingsOf returns the findings of one rule.
func findingsOf(r *toolgen.Result, id string) []finding.Finding {
	var out []finding.Finding
	for _, f := range r.Findings {
		if f.ID == id {
			out = append(out, f)
		}
	}
	return out
}

// TestAirOfAJob draws the air out of two like pockets; then with the right one kept clear of holes,
// and with a machine of the job's own.
func TestAirOfAJob(t *testing.T) {
	both := formed(t, fmt.Sprintf(pair, ""))
	a := both.Summary().Air
	require.True(t, a.Done)
	require.Contains(t, a.Machine, "built-in default")
	times := map[string]float64{}
	for _, g := range a.Regions {
		require.False(t, g.Sealed, g.Feature)
		times[g.Feature] = g.Time
	}
	require.InEpsilon(t, times["I1/left"], times["I1/right"], 0.05)
	require.Empty(t, findingsOf(both, "vent.trapped"))

	blind := formed(t, fmt.Sprintf(pair, "vents: {keep_clear: [right]}"))
	caught := findingsOf(blind, "vent.trapped")
	require.Len(t, caught, 1)
	require.Equal(t, "I1/right", caught[0].Feature)
	require.Equal(t, finding.Warning, caught[0].Severity, "the job asked for it")
	require.Greater(t, caught[0].Got, 1.0)
	require.True(t, blind.Air.Regions[0].Sealed)
	require.Equal(t, "I1/right", blind.Air.Regions[0].Feature)

	thin := formed(t, fmt.Sprintf(pair, "machine: {tank: 300, vacuum: 90, hose_bore: 0.25 in, hose_length: 4000, pump: 16, box: 10}"))
	m := thin.Summary().Air
	require.Equal(t, "tank 300 l at 90 kPa below the air, hose 6.35 mm bore and 4 m long, pump 16 m3/h, box 10 mm high", m.Machine)
	require.Greater(t, m.Floor, a.Floor)
	require.Greater(t, m.Time, m.Floor*0.99)
}

// TestAirTarget moves the target to where the air just does not keep it, and takes the advice.
func TestAirTarget(t *testing.T) {
	time := formed(t, fmt.Sprintf(pair, "")).Air.Time
	text := fmt.Sprintf(pair, "") + fmt.Sprintf("limits:\n  - {rule: vent.pull-down, limit: %.4f, reason: a quick cycle}\n", 0.8*time)
	r := formed(t, text)
	fs := findingsOf(r, "vent.pull-down")
	require.Len(t, fs, 1)
	require.Equal(t, "a quick cycle", fs[0].Override)
	require.NotEmpty(t, r.Air.Add)
	require.True(t, strings.HasPrefix(fs[0].Fix, "add "), fs[0].Fix)
}

// TestAirInManifest writes the figures, and no infinite ones.
func TestAirInManifest(t *testing.T) {
	r := formed(t, fmt.Sprintf(pair, "vents: {keep_clear: [right]}\n  machine: {tank: 1, pump: 0}"))
	require.False(t, r.Air.Done)
	text, err := r.Manifest("", nil)
	require.NoError(t, err)
	var m toolgen.Manifest
	require.NoError(t, json.Unmarshal(text, &m))
	require.False(t, m.Air.Done)
	require.NotEmpty(t, m.Air.Curve)
	require.Len(t, findingsOf(r, "vent.pull-down"), 1)
	require.Contains(t, findingsOf(r, "vent.pull-down")[0].Fix, "a tank of")
}

// TestVentsAlike drills the 12-pocket tray: every pocket gets the same holes at the same places, whatever
// noise the sheet's mesh has there, knows its four corners for the last, and is drawn out in like time.
func TestVentsAlike(t *testing.T) {
	text, err := os.ReadFile("../testdata/workloads/t12.yaml")
	require.NoError(t, err)
	o := options()
	o.NoSheet, o.NoBand, o.NoStack = false, true, true
	r, err := toolgen.Check(context.Background(), read(t, string(text)), o)
	require.NoError(t, err)
	holes := map[string][]vent.Hole{}
	for _, h := range r.Vents.Holes {
		holes[h.Feature] = append(holes[h.Feature], h)
	}
	var first []vent.Hole
	for _, s := range r.Body.Solids {
		centre, of := s.Outline.Bounds().Centre().At(0), holes[s.ID]
		for i := range of {
			of[i].At = of[i].At.Sub(centre)
		}
		slices.SortFunc(of, func(a, b vent.Hole) int {
			return cmp.Compare(math.Atan2(a.At.Y, a.At.X), math.Atan2(b.At.Y, b.At.X))
		})
		if first == nil {
			first = of
			require.GreaterOrEqual(t, len(first), 8, "corners and middles of the sides")
		}
		require.Len(t, of, len(first), s.ID)
		corners := 0
		for i := range of {
			require.InDelta(t, 0, of[i].At.Sub(first[i].At).Norm(), 1e-6, "%s: %.3f and %.3f", s.ID, of[i].At, first[i].At)
			require.Equal(t, first[i].Dia, of[i].Dia)
			if of[i].Reason == "last-floor-corner" {
				corners++
			}
		}
		require.Equal(t, 4, corners, "the sheet lands last in the corners of %s", s.ID)
	}
	for _, g := range r.Air.Regions {
		require.InEpsilon(t, r.Air.Regions[0].Time, g.Time, 0.01, g.Feature)
	}
}
