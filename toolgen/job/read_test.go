package job_test

import (
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/job"
)

// head is a job without features, 8 lines; features follow.
const head = `format: 1
name: parts tray
units: mm
sheet: {material: sheet-a, gauge: 1 mm}
tool: {material: board-a}
part: {outline: {rect: [300, 200], corner: 15}}
defaults: {draft: 5, edge: 0.05 in}
features:
`

var names = job.Names{
	Materials:     []string{"sheet-a", "sheet-b", "polymer-x"},
	ToolMaterials: []string{"board-a", "alloy-b"},
	Rules:         []string{"wall.draft-low", "vent.too-few"},
}

// kinds are made for these tests; they shape nothing.
func kinds() []job.Kind {
	return []job.Kind{
		{
			Name: "pocket", Text: "a recess", On: "sunk",
			Example: "kind: pocket\noutline: {rect: [60, 40]}\ndepth: 20\n",
			Params: []job.Param{
				{Key: "outline", Type: job.Outline, Text: "plan", Required: true},
				{Key: "depth", Type: job.Length, Text: "depth below the land", Required: true, Min: 0.5, Max: 400},
				{Key: "draft", Type: job.Angle, Text: "draft of the wall", Default: 3.0, From: "draft", Max: 45},
				{Key: "edge", Type: job.Length, Text: "radius at the top", Default: 1.5, From: "edge", Max: 20},
			},
		},
		{
			Name: "boss", Text: "a raised round", On: "raised",
			Example: "kind: boss\ndiameter: 12\nheight: 6\n",
			Params: []job.Param{
				{Key: "diameter", Type: job.Length, Text: "across the top", Required: true, Min: 1, Max: 100},
				{Key: "height", Type: job.Length, Text: "above the land", Required: true, Min: 0.5, Max: 50},
				{Key: "faces", Type: job.Count, Text: "flats round it", Default: 0, Max: 12},
				{Key: "shade", Type: job.Choice, Text: "how it is drawn", Default: "plain", Choices: []string{"plain", "dark"}},
				{Key: "open", Type: job.Flag, Text: "without a crown", Default: false},
			},
		},
	}
}

func TestReadResolves(t *testing.T) {
	j, err := job.Read([]byte(head+`  - kind: pocket
    name: left
    at: [-50, 0]
    outline: {slot: [52, 28]}
    depth: 0.5 in
    features:
      - kind: boss
        diameter: 10
        height: 3
        turn: 30
        repeat: {grid: [3, 2], pitch: [10, 20]}
`), "tray.yaml", kinds(), names)
	require.NoError(t, err)
	require.Equal(t, "parts tray", j.Name)
	require.Equal(t, 1.0, j.Sheet.Length("gauge"))
	p := j.Features[0]
	require.Equal(t, 12.7, p.Values.Length("depth"))
	require.Equal(t, 5*geom.Degree, p.Values.Angle("draft"))
	require.InDelta(t, 1.27, p.Values.Length("edge"), 1e-15)
	require.Equal(t, geom.Vec2{X: -50}, p.At)
	require.Equal(t, "tray.yaml:13:5", p.Values.Pos("depth").String())
	b := p.Children[0]
	require.Equal(t, []geom.Vec2{{X: -10, Y: -10}, {Y: -10}, {X: 10, Y: -10}, {X: -10, Y: 10}, {Y: 10}, {X: 10, Y: 10}}, b.Places)
	require.InDelta(t, 30, b.Turn.Degrees(), 1e-12)
	require.Equal(t, []string{"diameter", "height", "faces", "shade", "open"}, b.Values.Unread())
}

func TestRefusalNamesPlaceAndNearest(t *testing.T) {
	_, err := job.Read([]byte(head+`  - kind: pocket
    name: left
    outline: {circle: 30}
    dpeth: 20
`), "tray.yaml", kinds(), names)
	var ref *job.Refusal
	require.ErrorAs(t, err, &ref)
	require.Len(t, ref.Faults, 1, "a misspelt key is not missing too")
	require.Equal(t, "tray.yaml:12:5", ref.Faults[0].Pos.String())
	require.Equal(t, "depth", ref.Faults[0].Nearest)
}

func TestRepeatAlongPoints(t *testing.T) {
	j, err := job.Read([]byte(strings.NewReplacer("units: mm", "units: inch", "rect: [300, 200], corner: 15", "rect: [12, 8]", "edge: 0.05 in", "edge: 0.05").Replace(head)+`  - kind: boss
    diameter: 10 mm
    height: 3 mm
    at: [1, 0]
    turn: 90
    repeat: {points: [[0, 0], [2, 0], [0, 10 mm]]}
`), "tray.yaml", kinds(), names)
	require.NoError(t, err)
	require.Equal(t, "inch", j.Unit)
	require.Equal(t, geom.Vec2{X: 304.8, Y: 203.2}, j.Part.Outline("outline").Size)
	require.Equal(t, 1.27, j.Defaults.Length("edge"))
	at := 25.4 // a variable, so that the sum is rounded as the reader's is
	require.Equal(t, []geom.Vec2{{X: at}, {X: at + 2*at}, {X: at, Y: 10}}, j.Features[0].Places, "turn leaves the offsets")
}

func TestValuesMayBeReadAtOnce(t *testing.T) {
	v, err := one("")
	require.NoError(t, err)
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 100 {
				_ = v.Length("length") + v.Group("group").Length("inner")
			}
		})
	}
	wg.Wait()
	require.NotContains(t, v.Unread(), "length")
	require.NotContains(t, v.Unread(), "group.inner")
}

func BenchmarkRead(b *testing.B) {
	text := []byte(top + "features:\n" + strings.Repeat("  - {kind: boss, diameter: 9, height: 3, at: [10, 20]}\n", 1000))
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, err := job.Read(text, "j.yaml", kinds(), names); err != nil {
			b.Fatal(err)
		}
	}
}
