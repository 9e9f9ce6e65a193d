package toolgen

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"platen/toolgen/drawing"
	"platen/toolgen/export"
	"platen/toolgen/geom"
	"platen/toolgen/part"
)

// The layers of trim.dxf.
const (
	trimLayer  = "TRIM"
	punchLayer = "PUNCH"
)

// punchName is the file of the holes.
const punchName = "punch.csv"

// partScale says of what the sizes of a trim or punch file are.
const partScale = "cold part size, no shrink allowance"

// writeTrim writes what is cut from the cold part: its trim line and its holes, and those of all
// impressions that are trimmed together.
func writeTrim(r *Result, w io.Writer) error {
	trim := drawing.Layer{Name: trimLayer, Colour: 1}
	punch := drawing.Layer{Name: punchLayer, Colour: 5}
	for i := range r.cuts() {
		o, err := r.Part.TrimOf(i)
		if err != nil {
			return err
		}
		trim.Outlines = append(trim.Outlines, o)
	}
	for _, h := range r.holes() {
		by := r.Part.Impressions[h.Impression]
		if h.Punch.Shape == "circle" {
			punch.Circles = append(punch.Circles, drawing.Circle{At: h.Middle.Add(by), R: h.Punch.Size.X / 2})
			continue
		}
		o, err := h.Outline.Map(geom.Moved(by))
		if err != nil {
			return err
		}
		punch.Outlines = append(punch.Outlines, o)
	}
	notes := []string{
		note("trim line and holes of " + r.title()),
		partScale,
		"part frame, seen from above: X right, Y away, origin as in the job file",
		fmt.Sprintf("layer %s: %s; layer %s: %s", trimLayer, count(len(trim.Outlines), "line"), punchLayer, count(len(r.holes()), "hole")),
	}
	if n := len(r.Part.Impressions); n > 1 && r.Part.Together {
		notes = append(notes, fmt.Sprintf("%d parts trimmed together, at the pitch of the cold parts; the frame is that of the first", n))
	} else if n > 1 {
		notes = append(notes, fmt.Sprintf("1 of the %d parts of the tool, which are trimmed apart", n))
	}
	layers := []drawing.Layer{trim}
	if len(r.holes()) > 0 {
		layers = append(layers, punch)
	}
	return drawing.WriteDXF(w, drawing.Sheet{Notes: notes, CheckBar: true, Layers: layers})
}

// listsHoles refuses a punch list asked for by name where there is nothing to list.
func (r *Result) listsHoles() error {
	if len(r.Part.Holes) > 0 || !slices.Contains(r.opt.Only, punchName) {
		return nil
	}
	return &part.BuildError{Pos: r.Job.Part.Pos("outline"), Feature: "part", Err: fmt.Errorf("%s is asked for and the part has 0 apertures; add one, or leave that file out", punchName)}
}

// cuts returns how many parts are cut at once.
func (r *Result) cuts() int {
	if r.Part.Together {
		return len(r.Part.Impressions)
	}
	return 1
}

// holes returns the holes of the parts that are cut at once.
func (r *Result) holes() []*part.Feature {
	return slices.DeleteFunc(slices.Clone(r.Part.Holes), func(h *part.Feature) bool { return h.Impression >= r.cuts() })
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// note cuts a text to what a line of a drawing holds.
func note(s string) string { return clip(s, 150) }

// writePunch writes the list of the holes.
func writePunch(r *Result, w io.Writer) error {
	rows := make([]export.Punch, len(r.holes()))
	for i, h := range r.holes() {
		rows[i] = export.Punch{
			ID: h.ID, Feature: featureOf(h), Shape: h.Punch.Shape, At: h.Middle.Add(r.Part.Impressions[h.Impression]).At(h.ZHost),
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

// clip cuts a text to at most n bytes, between characters.
func clip(s string, n int) string {
	for len(s) > n {
		_, size := utf8.DecodeLastRuneInString(s)
		s = s[:len(s)-size]
	}
	return s
}
