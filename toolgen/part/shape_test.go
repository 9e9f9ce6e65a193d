package part_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/drawing"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// plate is a right-angled triangle with one blunted tip, its bounding box centred on (50, 30).
var plate = []geom.Vec2{{X: 10, Y: 10}, {X: 90, Y: 10}, {X: 90, Y: 14}, {X: 14, Y: 50}, {X: 10, Y: 50}}

const plateSVG = `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" viewBox="0 0 100 60">
<path d="M10 50 H90 V46 L14 10 H10 Z"/></svg>`

// files are the drawings of these tests, by name.
func files(t *testing.T) map[string][]byte {
	t.Helper()
	o, err := outline.Polygon(plate, 0)
	require.NoError(t, err)
	c, err := outline.Circle(10)
	require.NoError(t, err)
	far, err := c.Map(geom.Moved(geom.Vec2{X: 200}))
	require.NoError(t, err)
	var dxf bytes.Buffer
	require.NoError(t, drawing.WriteDXF(&dxf, drawing.Sheet{Layers: []drawing.Layer{
		{Name: "PLATE", Colour: 7, Outlines: []*outline.Outline{o}},
		{Name: "ROUND", Colour: 1, Outlines: []*outline.Outline{far}},
	}}))
	// The same plate in inches, the unit left unsaid.
	bare := "0\nSECTION\n2\nENTITIES\n"
	for i, p := range plate {
		q := plate[(i+1)%len(plate)]
		bare += fmt.Sprintf("0\nLINE\n8\n0\n10\n%.12f\n20\n%.12f\n11\n%.12f\n21\n%.12f\n", p.X/25.4, p.Y/25.4, q.X/25.4, q.Y/25.4)
	}
	return map[string][]byte{
		"plate.dxf": dxf.Bytes(),
		"bare.dxf":  []byte(bare + "0\nENDSEC\n0\nEOF\n"),
		"plate.svg": []byte(plateSVG),
		"two.svg":   []byte(`<svg width="99mm" height="9mm" viewBox="0 0 99 9"><circle cx="5" cy="5" r="4"/><circle cx="50" cy="5" r="4"/></svg>`),
		"open.svg":  []byte(`<svg width="9mm" height="9mm" viewBox="0 0 9 9"><path d="M1 1 H8 V8"/></svg>`),
		"open.dxf":  []byte("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nEDGE\n10\n1\n20\n2\n11\n5\n21\n2\n0\nENDSEC\n0\nEOF\n"),
	}
}

func opener(t *testing.T) part.Opener {
	known := files(t)
	return func(name string) ([]byte, error) {
		if data, ok := known[name]; ok {
			return data, nil
		}
		return nil, fmt.Errorf("no such file")
	}
}

// furthest returns how far the ends and middles of a's elements lie from b.
func furthest(a, b *outline.Outline) float64 {
	worst := 0.0
	for _, e := range a.Elems {
		for _, q := range []geom.Vec2{e.A, e.Point(0.5)} {
			worst = max(worst, b.At(q).D, -b.At(q).D)
		}
	}
	return worst
}

// TestOneOutlineManyFiles reads one outline as polygon, DXF and SVG, sharp and rounded.
func TestOneOutlineManyFiles(t *testing.T) {
	centred := make([]geom.Vec2, len(plate))
	for i, p := range plate {
		centred[i] = p.Sub(geom.Vec2{X: 50, Y: 30})
	}
	for _, corner := range []float64{0, 0.4, 1.5} {
		want, err := part.FromShape(&job.Shape{Kind: "polygon", Points: centred, Corner: corner, HasCorner: true}, 7, nil)
		require.NoError(t, err)
		inPlace, err := outline.Polygon(plate, corner)
		require.NoError(t, err)
		for name, s := range map[string]struct {
			shape job.Shape
			want  *outline.Outline
		}{
			"dxf":           {job.Shape{Kind: "dxf", File: "plate.dxf", Layer: "plate", Centre: true}, want},
			"dxf, in place": {job.Shape{Kind: "dxf", File: "plate.dxf", Layer: "PLATE"}, inPlace},
			"dxf, inch":     {job.Shape{Kind: "dxf", File: "bare.dxf", Unit: "inch", Centre: true}, want},
			"svg":           {job.Shape{Kind: "svg", File: "plate.svg", Centre: true}, want},
			"svg, in place": {job.Shape{Kind: "svg", File: "plate.svg"}, inPlace},
		} {
			for _, own := range []bool{true, false} { // the shape's own corner, and the one that stands in
				s.shape.Corner, s.shape.HasCorner = corner, own
				got, err := part.FromShape(&s.shape, corner, opener(t))
				require.NoError(t, err, name)
				require.Less(t, max(furthest(got, s.want), furthest(s.want, got)), 1e-6, "%s, corner %g", name, corner)
				require.InDelta(t, s.want.Area(), got.Area(), 1e-4, "%s, corner %g", name, corner)
			}
		}
	}
}

func TestDrawingsRefused(t *testing.T) {
	tests := []struct {
		name, outline, want string
	}{
		{"no such file", "{dxf: gone.dxf}", `drawing "gone.dxf": no such file`},
		{"no unit", "{dxf: bare.dxf}", `bare.dxf: DXF drawing:`},
		{"no such layer", "{dxf: plate.dxf, layer: RIM}", `plate.dxf: DXF drawing:`},
		{"open DXF", "{dxf: open.dxf}", `open.dxf: DXF drawing: line 15, entity 1 LINE, layer "EDGE" at (1, 2):`},
		{"open SVG", "{svg: open.svg}", `open.svg: SVG drawing: line 1, entity 2 path at (1, 1):`},
		{"DXF read as SVG", "{svg: plate.dxf}", `plate.dxf: SVG drawing: `},
		{"corner too large", "{svg: plate.svg, corner: 40}", `plate.svg: corner radius 40.000 mm does not fit at `},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := resolve(t, "{rect: [300, 200]}", "  - {kind: plug, outline: "+tt.outline+"}\n", opener(t))
			var bad *part.BuildError
			require.ErrorAs(t, err, &bad)
			require.Contains(t, bad.Err.Error(), tt.want)
			require.Equal(t, "j.yaml:7:18", bad.Pos.String())
			require.Equal(t, "I1/plug-1", bad.Feature)
		})
	}
}

// TestTrimLineFromDrawing reads the trim line from a layer; two loops are no trim line.
func TestTrimLineFromDrawing(t *testing.T) {
	p, err := resolve(t, "{dxf: plate.dxf, layer: ROUND, centre: false}", "  []\n", opener(t))
	require.NoError(t, err)
	require.Equal(t, []string{"plate.dxf"}, p.Files)
	require.InDelta(t, 200, p.Outline.Bounds().Centre().X, 1e-9)
	_, err = resolve(t, "{svg: two.svg}", "  []\n", opener(t))
	var bad *part.BuildError
	require.ErrorAs(t, err, &bad)
	require.Equal(t, "j.yaml:5:8", bad.Pos.String())
	require.Contains(t, bad.Err.Error(), "the trim line is one closed loop, not 2")
}

// TestFilesAreRecordedOnce names each file once, in order of use.
func TestFilesAreRecordedOnce(t *testing.T) {
	p, err := resolve(t, "{dxf: plate.dxf, layer: ROUND}", "  - {kind: plug, outline: {svg: plate.svg}}\n  - {kind: plug, at: [9, 9], outline: {dxf: plate.dxf, layer: PLATE}}\n  - {kind: plug, at: [19, 9], outline: {svg: plate.svg}}\n", opener(t))
	require.NoError(t, err)
	require.Equal(t, []string{"plate.dxf", "plate.svg"}, p.Files)
	require.Len(t, p.Features, 3)
}
