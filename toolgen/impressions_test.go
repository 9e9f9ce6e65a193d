package toolgen_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/drawing"
	"platen/toolgen/geom"
	"platen/toolgen/part"
)

// several is a job of n x m parts.
func several(contact, grid, pitch, trimmed string) string {
	return fmt.Sprintf(`format: 1
name: strip
sheet: {material: PP, gauge: 1, extrusion: x}
tool: {material: aluminium 5083, contact: %s, impressions: {grid: %s, pitch: %s, trimmed: %s}, block: {margin: 25}}
part: {outline: {rect: [100, 70], corner: 6}}
features:
  - {kind: pocket, name: well, at: [-12, 5], turn: 20, size: [46, 30], depth: 10}
  - {kind: nesting_cone, name: pin, at: [36, -18], diameter: 12, height: 6}
  - {kind: aperture, name: hole, at: [38, 20], diameter: 6, mark: true}
  - {kind: marking, at: [0, -47]}
`, contact, grid, pitch, trimmed)
}

// TestImpressions lays parts side by side: every one has the same face about its own origin, as far from
// the next as the way it is trimmed asks, in a block that has grown by as much.
func TestImpressions(t *testing.T) {
	for _, contact := range []string{"underside", "upper"} {
		for _, trimmed := range []string{"together", "apart"} {
			t.Run(contact+", "+trimmed, func(t *testing.T) {
				one := check(t, strings.Replace(several(contact, "[1, 1]", "[0, 0]", trimmed), "- {kind: marking, at: [0, -47]}", "", 1))
				r := check(t, several(contact, "[3, 2]", "[110, 100]", trimmed))
				require.Equal(t, []geom.Vec2{{}, {X: 110}, {X: 220}, {Y: 100}, {X: 110, Y: 100}, {X: 220, Y: 100}}, r.Part.Impressions)
				scale := r.Body.Map.Scale
				require.Greater(t, scale.X-1, 0.005)
				step := geom.Vec2{X: 110, Y: 100}
				if trimmed == "together" {
					step = geom.Vec2{X: 110 * scale.X, Y: 100 * scale.Y}
				}
				away := 1.0
				if contact == "upper" {
					away = -1
				}
				for i, by := range r.Part.Impressions {
					want := r.Body.Map.Plan(geom.Vec2{X: 7, Y: 3}).Add(geom.Vec2{X: by.X / 110 * step.X, Y: away * by.Y / 100 * step.Y})
					require.InDelta(t, 0, r.Body.MapOf(i).Plan(geom.Vec2{X: 7, Y: 3}).Sub(want).Norm(), 1e-9)
					for _, q := range []geom.Vec3{{X: -30, Y: 2, Z: -4}, {X: -12, Y: 5, Z: -9}, {X: 5, Y: 18, Z: -3}, {X: 33, Y: -20, Z: 4}, {X: 38, Y: 20}, {X: 40, Y: 30}} {
						p := r.Body.MapOf(i).Point(q)
						require.InDelta(t, one.Body.Field.Face(one.Body.Map.Point(q)).D, r.Body.Field.Face(p).D, 1e-6, "impression %d at %v", i+1, q)
						require.InDelta(t, 0, r.Body.Back(p).Sub(q).Norm(), 1e-9)
					}
				}
				was, is := one.Body.Field.Box().Size(), r.Body.Field.Box().Size()
				require.InDelta(t, was.X+2*step.X, is.X, 1)
				require.InDelta(t, was.Y+step.Y, is.Y, 1)
				box := r.Body.Field.Box()
				require.InDelta(t, 0, box.Centre().Plan().Norm(), 1e-9, "the block's centre is the datum")
				first, last := r.Body.MapOf(0), r.Body.MapOf(5)
				mid := first.Plan(first.Centre).Add(last.Plan(last.Centre)).Scale(0.5)
				require.InDelta(t, 0, mid.Norm(), 1e-9, "the parts lie in its middle")

				ids := map[string]bool{}
				for _, f := range r.Part.Features {
					ids[f.ID] = true
				}
				require.Len(t, ids, 6*3+1, "the marking stands once")
				require.True(t, ids["I6/well"] && ids["I1/marking-1"] && !ids["I2/marking-1"])
			})
		}
	}
}

// TestImpressionsAreCut holds trim line and punch list to the way the parts are trimmed.
func TestImpressionsAreCut(t *testing.T) {
	for trimmed, n := range map[string]int{"together": 4, "apart": 1} {
		r := check(t, several("underside", "[2, 2]", "[110, 100]", trimmed))
		dxf := file(t, r, "trim.dxf")
		trim, err := drawing.ReadDXF(dxf, drawing.Options{Layers: []string{"TRIM"}})
		require.NoError(t, err)
		require.Len(t, trim.Loops, n)
		punch, err := drawing.ReadDXF(dxf, drawing.Options{Layers: []string{"PUNCH"}})
		require.NoError(t, err)
		require.Len(t, punch.Loops, n)
		rows, err := csv.NewReader(bytes.NewReader(file(t, r, "punch.csv"))).ReadAll()
		require.NoError(t, err)
		require.Len(t, rows, 1+n)
		if trimmed == "together" {
			require.InDelta(t, 100+110, trim.Bounds.Size().X, 1e-6)
			require.Equal(t, []string{"I4/hole", "148.000", "120.000"}, []string{rows[4][0], rows[4][3], rows[4][4]})
		}
	}
}

// TestImpressionsOverEachOther refuses a pitch below the part; parts that share a cut are no fault.
func TestImpressionsOverEachOther(t *testing.T) {
	_, err := toolgen.Check(t.Context(), read(t, several("underside", "[2, 1]", "[98, 0]", "together")), options())
	var bad *part.BuildError
	require.ErrorAs(t, err, &bad)
	require.Contains(t, bad.Err.Error(), "lies 2.00 mm over it")
	require.Equal(t, 4, bad.Pos.Line)
	r := check(t, several("underside", "[2, 1]", "[100, 0]", "together"))
	require.Len(t, r.Part.Impressions, 2)
}

// TestImpressionsFindTheSame finds in every part what is found in one, and says it once.
func TestImpressionsFindTheSame(t *testing.T) {
	near := strings.NewReplacer("at: [38, 20], diameter: 6", "at: [45, 20], diameter: 6")
	one := check(t, near.Replace(several("underside", "[1, 1]", "[0, 0]", "together")))
	four := check(t, near.Replace(several("underside", "[2, 2]", "[130, 120]", "together")))
	got := map[string]float64{}
	for _, f := range four.Findings {
		got[f.ID+" "+strings.TrimPrefix(f.Feature, "I1/")] = f.Got
	}
	seen := 0
	for _, f := range one.Findings {
		if v, ok := got[f.ID+" "+strings.TrimPrefix(f.Feature, "I1/")]; ok && math.Abs(v-f.Got) < 1e-3 {
			seen++
			continue
		}
		require.Fail(t, "lost", "%s %s %v", f.ID, f.Feature, f.Text)
	}
	require.Contains(t, got, "punch.flat hole")
	require.Equal(t, len(one.Findings), seen)
}
