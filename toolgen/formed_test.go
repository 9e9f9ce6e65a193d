package toolgen_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/examples"
	"platen/toolgen"
	"platen/toolgen/finding"
)

// formedPart builds part.stl of a job alone.
func formedPart(t *testing.T, text string) *toolgen.Result {
	t.Helper()
	o := options()
	o.NoSheet, o.Only = false, []string{"part.stl"}
	r, err := toolgen.Build(context.Background(), read(t, text), o)
	require.NoError(t, err)
	return r
}

// TestPartOfExamples makes the formed part of every example and audits it: one sound shell inside its
// trim line, whose mass is that of the sheet that went into it. Starters are what a newcomer copies: the review
// finds no error in them.
func TestPartOfExamples(t *testing.T) {
	jobs := map[string][]byte{}
	for _, name := range examples.Starters() {
		text, err := examples.Starter(name)
		require.NoError(t, err)
		jobs[name] = text
	}
	for _, name := range examples.Kinds() {
		text, err := examples.Kind(name)
		require.NoError(t, err)
		jobs["kind "+name] = text
	}
	for name, text := range jobs {
		t.Run(name, func(t *testing.T) {
			r := formedPart(t, string(text))
			if slices.Contains(examples.Starters(), name) {
				for _, f := range r.Findings {
					require.NotEqual(t, finding.Error, f.Severity, "%s: %s [%s]", f.Feature, f.Text, f.ID)
				}
			}
			p := r.Shell
			require.NoError(t, p.Audit.Fault())
			require.Zero(t, p.Mesh.Float32Faults())
			box, trim := p.Audit.Box, r.Part.Outline.Bounds()
			require.InDelta(t, 0, box.Plan().Min.Sub(trim.Min).Norm(), 0.01)
			require.InDelta(t, 0, box.Plan().Max.Sub(trim.Max).Norm(), 0.01)
			for _, v := range p.Mesh.V[:p.Contact] {
				require.Less(t, r.Part.Outline.At(v.Plan()).D, 1e-4)
			}
			// One-sided offsets give concave places less than flat area times wall, and convex ones more.
			require.InEpsilon(t, p.SheetMass(), p.Mass(), 0.025)
			files := r.Artefacts()
			require.Len(t, files, 1)
			var b bytes.Buffer
			require.NoError(t, files[0].Write(&b))
			require.Equal(t, 84+50*len(p.Mesh.T), b.Len())
		})
	}
}

// TestPartOnTool holds the contact side of the part to the tool it was formed on: what landed lies on
// the face, and nothing lies in the tool deeper than the chords of the sheet's mesh do.
func TestPartOnTool(t *testing.T) {
	text, err := examples.Starter("parts_tray")
	require.NoError(t, err)
	r := formedPart(t, string(text))
	p := r.Shell
	on := 0
	for _, v := range p.Mesh.V[:p.Contact] {
		d := r.Body.Field.Face(r.Body.Map.Point(v)).D
		require.Greater(t, d, -1e-3)
		if d < 1e-3 {
			on++
		}
	}
	require.Greater(t, on, p.Contact*95/100)
	for _, c := range p.Mesh.T[:p.Sides] {
		mid := p.Mesh.V[c[0]].Add(p.Mesh.V[c[1]]).Add(p.Mesh.V[c[2]]).Scale(1.0 / 3)
		require.Greater(t, r.Body.Field.Face(r.Body.Map.Point(mid)).D, -0.25)
	}
}

// TestPartWithFolds makes parts whose sheet folds at the feet of a high block: they are mended, and the
// area is told.
func TestPartWithFolds(t *testing.T) {
	for _, gauge := range []float64{0.6, 0.8, 1, 1.2} {
		p := formedPart(t, fmt.Sprintf(thin, gauge, "upper", "pocket", "depth")).Shell
		require.NoError(t, p.Audit.Fault())
		require.Positive(t, p.Eased)
		require.InEpsilon(t, p.SheetMass(), p.Mass(), 0.02)
	}
}

// TestPartIsPunched takes the holes out of the formed part, and shows it whole where one runs over the trim line.
func TestPartIsPunched(t *testing.T) {
	text, err := examples.Kind("aperture")
	require.NoError(t, err)
	r := formedPart(t, string(text))
	require.Equal(t, 4, r.Shell.Holes)
	require.Empty(t, told(r, "part.not-punched"))
	for _, h := range r.Part.Holes {
		for _, v := range r.Shell.Mesh.V {
			require.Greater(t, h.Outline.At(v.Plan()).D, -1e-3, "%s: %v", h.ID, v)
		}
	}
	over := strings.Replace(string(text), "at: [-44, 0], turn: 90", "at: [-54, 0], turn: 90", 1)
	r = formedPart(t, over)
	require.Zero(t, r.Shell.Holes)
	fs := told(r, "part.not-punched")
	require.Len(t, fs, 1)
	require.Contains(t, fs[0].Text, "cross")
}

// TestFirstOfSeveral makes one part where several lie on the tool, and says how far they are alike.
func TestFirstOfSeveral(t *testing.T) {
	text, err := examples.Kind("aperture")
	require.NoError(t, err)
	two := strings.Replace(string(text), "block: {size: [130, 90], corner: 8, base: 20}", "block: {base: 20}\n  impressions: {grid: [2, 1], pitch: [140, 0]}", 1)
	r := formedPart(t, two)
	require.Len(t, r.Part.Impressions, 2)
	require.Equal(t, 4, r.Shell.Holes, "those of one part")
	require.InDelta(t, 110, r.Shell.Audit.Box.Size().X, 0.02)
	text, err = r.Manifest("", nil)
	require.NoError(t, err)
	var m struct {
		Part toolgen.PartSummary `json:"part_mesh"`
	}
	require.NoError(t, json.Unmarshal(text, &m))
	require.Equal(t, 2, m.Part.Parts)
	require.Less(t, m.Part.Unlike, 0.05)
	require.Positive(t, m.Part.Unlike)
}

// told returns the findings of a rule.
func told(r *toolgen.Result, id string) []finding.Finding {
	var out []finding.Finding
	for _, f := range r.Findings {
		if f.ID == id {
			out = append(out, f)
		}
	}
	return out
}

// TestWallAlongAStraightSide: half-way along a cup that was plugged the part shows about the same wall all along each
// height, though the sheet's triangles are stretched down the side and reach from a thick place to a thin one.
func TestWallAlongAStraightSide(t *testing.T) {
	text, err := examples.Starter("deep_pack")
	require.NoError(t, err)
	r := formedPart(t, string(text))
	m := r.Shell.Mesh
	for _, z := range []float64{-4, -6, -8, -10} {
		low, high, seen := math.Inf(1), 0.0, 0
		for _, tri := range m.T[:r.Shell.Sides] {
			for e, i := range tri {
				j := tri[(e+1)%3]
				a, b := m.V[i], m.V[j]
				if (a.Z-z)*(b.Z-z) >= 0 {
					continue
				}
				u := (z - a.Z) / (b.Z - a.Z)
				if at := a.Add(b.Sub(a).Scale(u)); at.Y > 0 && math.Abs(at.X+55) < 15 {
					w := r.Shell.Wall[i] + u*(r.Shell.Wall[j]-r.Shell.Wall[i])
					low, high, seen = min(low, w), max(high, w), seen+1
				}
			}
		}
		t.Logf("z %g: wall %.3f to %.3f at %d places", z, low, high, seen)
		require.Greater(t, seen, 8)
		require.Less(t, high/low, 1.1, "z %g", z)
	}
}
