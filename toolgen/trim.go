package toolgen

import (
	"fmt"
	"io"
	"strings"

	"platen/toolgen/drawing"
	"platen/toolgen/export"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// The layers of trim.dxf.
const (
	trimLayer  = "TRIM"
	punchLayer = "PUNCH"
)

// partScale says of what the sizes of a trim or punch file are.
const partScale = "cold part size, no shrink allowance"

// writeTrim writes what is cut from the cold part: its trim line and its holes.
func writeTrim(r *Result, w io.Writer) error {
	punch := drawing.Layer{Name: punchLayer, Colour: 5}
	for _, h := range r.Part.Holes {
		if h.Punch.Shape == "circle" {
			punch.Circles = append(punch.Circles, drawing.Circle{At: h.Middle, R: h.Punch.Size.X / 2})
			continue
		}
		punch.Outlines = append(punch.Outlines, h.Outline)
	}
	layers := []drawing.Layer{{Name: trimLayer, Colour: 1, Outlines: []*outline.Outline{r.Part.Outline}}}
	if len(r.Part.Holes) > 0 {
		layers = append(layers, punch)
	}
	return drawing.WriteDXF(w, drawing.Sheet{
		Notes: []string{
			note("trim line and holes of " + r.title()),
			partScale,
			"part frame, seen from above: X right, Y away, origin as in the job file",
			fmt.Sprintf("layer %s: 1 line; layer %s: %d holes", trimLayer, punchLayer, len(r.Part.Holes)),
		},
		CheckBar: true, Layers: layers,
	})
}

// note cuts a text to what a line of a drawing holds.
func note(s string) string { return clip(s, 150) }

// writePunch writes the list of the holes.
func writePunch(r *Result, w io.Writer) error {
	rows := make([]export.Punch, len(r.Part.Holes))
	for i, h := range r.Part.Holes {
		rows[i] = export.Punch{
			ID: h.ID, Feature: featureOf(h), Shape: h.Punch.Shape, At: h.Middle.At(h.ZHost),
			Size: h.Punch.Size, Turn: h.Turn, Scale: partScale, Datum: "part frame: " + partFrame,
		}
	}
	return export.PunchCSV(w, rows)
}

// featureOf returns the name of a feature without its own place in a repeat.
func featureOf(f *part.Feature) string {
	if i := strings.LastIndex(f.ID, "/P"); i > 0 && strings.Trim(f.ID[i+2:], "0123456789") == "" {
		return f.ID[:i]
	}
	return f.ID
}
