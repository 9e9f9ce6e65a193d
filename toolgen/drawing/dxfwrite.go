package drawing

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// Sheet is a drawing to be written. Lengths are mm, X right, Y up.
type Sheet struct {
	Notes    []string // lines of text below the drawing: what it is, its scale and datum
	CheckBar bool     // a bar of 100 mm below the drawing, to measure on the print or the first cut
	Layers   []Layer  // in the order written
}

// Layer is what stands on one layer.
type Layer struct {
	Name     string // A to Z, 0 to 9, $ - _, at most 31
	Colour   int    // number 1 to 255: 1 red, 3 green, 5 blue, 7 black or white
	Outlines []*outline.Outline
	Circles  []Circle
	Points   []geom.Vec2
	Texts    []Text
}

// Circle is a hole or a mark.
type Circle struct {
	At geom.Vec2
	R  float64 // mm
}

// Text is a line of letters.
type Text struct {
	At     geom.Vec2 // left end of the base line
	Height float64   // mm
	Text   string
}

// NotesLayer is the layer of the notes and of the check bar; no other layer may have its name.
const NotesLayer = "NOTES"

// Sizes of notes and check bar, mm.
const (
	barLength  = 100.0
	noteHeight = 3.0
	noteStep   = 5.0  // between base lines
	noteSpace  = 10.0 // below the drawing
)

// WriteDXF writes a sheet as ASCII DXF R12 (AC1009), the version that most programs read: outlines as
// closed polylines with bulges, one vertex an element, CIRCLE, POINT and TEXT; lines end in CR LF. The
// unit, mm, stands in $INSUNITS, in a comment and in words on the layer NOTES. Coordinates have 9
// decimals, so that tangent joints stay tangent to readers. The same sheet gives the same bytes.
//
// ERROR: a sheet without anything on it, a layer name that R12 does not have or that is used twice, a
// colour out of range, an outline that crosses itself, a circle or a text without size, a number that is
// not finite or beyond 100 m, text with control characters; nothing is written then.
func WriteDXF(w io.Writer, s Sheet) error {
	if err := s.check(); err != nil {
		return fmt.Errorf("dxf: %w", err)
	}
	box := s.bounds()
	notes := s.notes(box)
	layers := append(append([]Layer(nil), s.Layers...), notes)
	for _, t := range notes.Texts {
		box = box.Hold(t.At)
	}
	d := &dxfWriter{}
	d.text(999, "units mm")
	d.header(box)
	d.tables(layers)
	d.section("ENTITIES")
	for _, l := range layers {
		d.layer(l)
	}
	if s.CheckBar {
		d.bar(geom.Vec2{X: s.bounds().Min.X, Y: s.bounds().Min.Y - noteSpace})
	}
	d.text(0, "ENDSEC")
	d.text(0, "EOF")
	if _, err := io.WriteString(w, d.String()); err != nil {
		return fmt.Errorf("dxf: %w", err)
	}
	return nil
}

// bounds returns the box of the drawing without notes.
func (s Sheet) bounds() geom.Box2 {
	box := geom.EmptyBox2()
	for _, l := range s.Layers {
		for _, o := range l.Outlines {
			box = box.Join(o.Bounds())
		}
		for _, c := range l.Circles {
			box = box.Join(geom.Box2{Min: c.At, Max: c.At}.Grow(c.R))
		}
		for _, p := range l.Points {
			box = box.Hold(p)
		}
		for _, t := range l.Texts {
			box = box.Hold(t.At)
		}
	}
	return box
}

// notes returns the layer of the notes, the unit first.
func (s Sheet) notes(box geom.Box2) Layer {
	l := Layer{Name: NotesLayer, Colour: 7}
	at := geom.Vec2{X: box.Min.X, Y: box.Min.Y - noteSpace - noteStep}
	lines := []string{"unit: mm"}
	if s.CheckBar {
		lines[0] = "unit: mm; the bar is 100 mm long"
	}
	for _, t := range append(lines, s.Notes...) {
		l.Texts = append(l.Texts, Text{at, noteHeight, t})
		at.Y -= noteStep
	}
	return l
}

func (s Sheet) check() error {
	seen := map[string]bool{NotesLayer: true}
	things := 0
	for _, l := range s.Layers {
		if err := l.check(); err != nil {
			return fmt.Errorf("layer %q: %w", l.Name, err)
		}
		if seen[l.Name] {
			return fmt.Errorf("layer %q is used twice, or is the layer of the notes", l.Name)
		}
		seen[l.Name] = true
		things += len(l.Outlines) + len(l.Circles) + len(l.Points) + len(l.Texts)
	}
	if things == 0 {
		return errors.New("the sheet is empty")
	}
	for _, t := range s.Notes {
		if err := checkText(t); err != nil {
			return fmt.Errorf("notes: %w", err)
		}
	}
	return nil
}

const layerLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789$-_"

func (l Layer) check() error {
	if l.Name == "" || len(l.Name) > 31 || strings.Trim(l.Name, layerLetters) != "" {
		return errors.New("a name of 1 to 31 letters A to Z, 0 to 9, $ - _ is wanted")
	}
	if l.Colour < 1 || l.Colour > 255 {
		return fmt.Errorf("colour %d, 1 to 255 are known", l.Colour)
	}
	for i, o := range l.Outlines {
		b := o.Bounds()
		if !within(b.Min) || !within(b.Max) {
			return fmt.Errorf("outline %d is beyond 100 m", i+1)
		}
		if err := o.Simple(); err != nil {
			return fmt.Errorf("outline %d: %w", i+1, err)
		}
	}
	for i, c := range l.Circles {
		if !within(c.At) || !(c.R > same && c.R <= farthest) {
			return fmt.Errorf("circle %d at %v with the radius %v mm", i+1, c.At, c.R)
		}
	}
	for i, p := range l.Points {
		if !within(p) {
			return fmt.Errorf("point %d at %v", i+1, p)
		}
	}
	for i, t := range l.Texts {
		if !within(t.At) || !(t.Height > same && t.Height <= farthest) {
			return fmt.Errorf("text %d at %v with the height %v mm", i+1, t.At, t.Height)
		}
		if err := checkText(t.Text); err != nil {
			return fmt.Errorf("text %d: %w", i+1, err)
		}
	}
	return nil
}

func within(p geom.Vec2) bool { return math.Abs(p.X) <= farthest && math.Abs(p.Y) <= farthest }

// mostText is how long a line of text may be.
const mostText = 200

func checkText(s string) error {
	if s == "" || len(s) > mostText {
		return fmt.Errorf("text of %d bytes, 1 to %d are written", len(s), mostText)
	}
	for _, r := range s {
		if r < ' ' || r == 0x7f || r == '\uFFFD' {
			return fmt.Errorf("text %q has control characters", s)
		}
	}
	return nil
}

// Decimals of lengths, mm, and of bulges, which the length of the chord magnifies.
const (
	lengthDecimals = 9
	bulgeDecimals  = 15
)

// plain writes x without exponent, trailing zeros and negative zero.
func plain(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	s = strings.TrimRight(s, "0")
	if s[len(s)-1] == '.' {
		s += "0"
	}
	if s == "-0.0" {
		return "0.0"
	}
	return s
}
