package toolgen_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"runtime"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/examples"
	"platen/toolgen"
	"platen/toolgen/finding"
)

// thin is a deep pocket whose least wall is asked.
const thin = `
format: 1
name: deep pocket
sheet: {material: HIPS, gauge: %g, least_wall: 0.45}
tool: {material: aluminium 5083, contact: %s}
part: {outline: {rect: [130, 120], corner: 8}}
features:
  - {kind: %s, name: a, size: [60, 50], %s: 26, draft: 6, edge: 3, floor: 4}
`

// files returns the named files of a job text, formed.
func files(t *testing.T, text string, names ...string) map[string][]byte {
	t.Helper()
	o := options()
	o.NoSheet, o.Only = false, names
	r, err := toolgen.Build(context.Background(), read(t, text), o)
	require.NoError(t, err)
	out := map[string][]byte{}
	for _, a := range r.Artefacts() {
		var b bytes.Buffer
		require.NoError(t, a.Write(&b))
		out[a.Name] = b.Bytes()
	}
	return out
}

// TestSheetFile holds sheet.json to what the tool is made for: the section's wall in the middle of the
// floor brings the measured side to the asked depth, and the band holds the usual wall.
func TestSheetFile(t *testing.T) {
	data := files(t, fmt.Sprintf(thin, 1.5, "underside", "pocket", "depth"), "sheet.json")["sheet.json"]
	var f struct {
		Units   string
		Forming struct {
			Vacuum  float64    `json:"vacuum_kpa"`
			Assumed bool       `json:"vacuum_assumed"`
			Frame   [2]float64 `json:"frame_mm"`
			Feeds   float64    `json:"frame_area_mm2"`
			Model   string
			LeftOut string `json:"left_out"`
		}
		Areas []struct {
			Feature, Role string
			Low           float64 `json:"low_wall_mm"`
			Least         float64 `json:"low_wall_band_low_mm"`
			Most          float64 `json:"low_wall_band_high_mm"`
		}
		Sections []struct {
			Axis   string
			Points []struct {
				Arc     float64 `json:"arc_mm"`
				X, Y, Z float64
				Wall    float64 `json:"wall_mm"`
			}
		}
	}
	require.NoError(t, json.Unmarshal(data, &f))
	require.Equal(t, "mm", f.Units)
	require.Equal(t, 85.0, f.Forming.Vacuum)
	require.True(t, f.Forming.Assumed)
	require.InDelta(t, f.Forming.Frame[0]*f.Forming.Frame[1], f.Forming.Feeds, 0.01)
	require.Contains(t, f.Forming.Model, "membrane")
	require.Contains(t, f.Forming.LeftOut, "no published experiment with usable numbers was found")
	wide := 0.0
	for _, a := range f.Areas {
		require.LessOrEqual(t, a.Least, a.Low, "%s %s", a.Feature, a.Role)
		require.GreaterOrEqual(t, a.Most, a.Low)
		wide = max(wide, a.Most-a.Least)
	}
	require.Greater(t, wide, 0.005, "the stiffness of the sheet counts in the corners")
	require.Len(t, f.Sections, 2)
	for _, s := range f.Sections {
		require.Greater(t, len(s.Points), 80)
		middle := s.Points[0]
		for i, p := range s.Points {
			if i > 0 {
				q := s.Points[i-1]
				step := math.Sqrt((p.X-q.X)*(p.X-q.X) + (p.Y-q.Y)*(p.Y-q.Y) + (p.Z-q.Z)*(p.Z-q.Z))
				require.InDelta(t, step, p.Arc-q.Arc, 0.003)
				require.LessOrEqual(t, step, 1.01)
			}
			if math.Hypot(p.X, p.Y) < math.Hypot(middle.X, middle.Y) {
				middle = p
			}
		}
		require.InDelta(t, -26, middle.Z+middle.Wall, 0.06, "floor of the measured side along %s", s.Axis)
	}
}

// TestAdvisedGauge forms again with the gauge the review advises: the least wall is met.
func TestAdvisedGauge(t *testing.T) {
	for _, c := range []struct {
		contact, kind, height string
		gauge                 float64
	}{
		{"underside", "pocket", "depth", 1.5}, {"upper", "pocket", "depth", 1}, {"underside", "step", "height", 1},
	} {
		t.Run(c.kind+" on the "+c.contact, func(t *testing.T) {
			run := func(gauge float64) float64 {
				o := options()
				o.NoSheet = false
				r, err := toolgen.Check(context.Background(), read(t, fmt.Sprintf(thin, gauge, c.contact, c.kind, c.height)), o)
				require.NoError(t, err)
				for _, f := range findingsOf(r, "wall.least") {
					require.Contains(t, f.Text, "unverified", "the band is told")
				}
				return advisedGauge(t, r)
			}
			advised := run(c.gauge)
			require.Greater(t, advised, c.gauge)
			require.Zero(t, run(advised))
		})
	}
}

// advisedGauge returns the thickest gauge that the review advises against thin walls, 0 where it has nothing
// against the walls.
func advisedGauge(t *testing.T, r *toolgen.Result) (advised float64) {
	t.Helper()
	for _, f := range findingsOf(r, "wall.least") {
		require.Equal(t, finding.Warning, f.Severity)
		g := regexp.MustCompile(`gauge ([0-9.]+) mm`).FindStringSubmatch(f.Fix)
		require.Len(t, g, 2, f.Fix)
		v, err := strconv.ParseFloat(g[1], 64)
		require.NoError(t, err)
		advised = max(advised, v)
	}
	return advised
}

// TestAdvisedGaugeOfStarters asks a sixth more than the thinnest wall that a starter forms, and forms it
// again with the gauge that the review advises; all of them with -workloads.
func TestAdvisedGaugeOfStarters(t *testing.T) {
	names := []string{"lamp_tray"}
	if *workloads {
		names = examples.Starters()
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			text, err := examples.Starter(name)
			require.NoError(t, err)
			run := func(gauge, least float64) *toolgen.Result {
				j := read(t, string(text))
				if gauge > 0 {
					j.Sheet = j.Sheet.With("gauge", gauge)
				}
				if least > 0 {
					j.Sheet = j.Sheet.With("least_wall", least)
				}
				o := options()
				o.NoSheet, o.NoBand, o.NoStack = false, true, true
				r, err := toolgen.Check(context.Background(), j, o)
				require.NoError(t, err)
				return r
			}
			thinnest := math.Inf(1)
			for _, a := range run(0, 0).Formed.Areas {
				if a.Size > 0 && a.Feature != "block" {
					thinnest = min(thinnest, a.Low)
				}
			}
			asked := thinnest * 7 / 6
			gauge := advisedGauge(t, run(0, asked))
			require.Positive(t, gauge)
			require.Zero(t, advisedGauge(t, run(gauge, asked)), "%.3f mm from %.2f mm", asked, gauge)
			t.Logf("thinnest %.3f mm, %.3f mm asked, gauge %.2f mm advised", thinnest, asked, gauge)
		})
	}
}

// TestFormedSameBytes makes the files of the formed sheet on one core and on two.
func TestFormedSameBytes(t *testing.T) {
	names := []string{"part.stl", "part.3mf", "sheet.json", "thickness.png"}
	on := func(cores int) map[string][]byte {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		return files(t, fmt.Sprintf(thin, 1.5, "upper", "pocket", "depth"), names...)
	}
	one, two := on(1), on(2)
	require.Len(t, one, len(names))
	for name := range one {
		require.True(t, bytes.Equal(one[name], two[name]), name)
	}
}
