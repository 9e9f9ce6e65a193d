// Package glyph owns lettering: a line of text becomes an outline of lines and arcs.
//
// Curves are followed by tangent arcs within a stated tolerance, loops run by how they lie within each
// other, whatever the font's habit, and every corner is rounded by a radius a cutter can make. What can
// not be made is refused with the character. Text runs from left to right, one glyph a character: no
// ligatures, no combining marks, no scripts that need shaping.
package glyph

import (
	"errors"
	"fmt"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"platen/toolgen/geom"
)

// Font is a font file ready for use, by any number of callers at once.
type Font struct {
	Name string // for messages
	f    *sfnt.Font
	em   fixed.Int26_6 // font units to the em: as a size it keeps all coordinates in font units
	cap  float64       // height of capitals, font units
}

// Parse reads a TrueType or OpenType font file; data must not change afterwards. The height of
// capitals is that of the letter H, or what the file states where it has no H.
//
// ERROR: not a font, damaged, or without a height of capitals.
func Parse(name string, data []byte) (*Font, error) {
	out := &Font{Name: name}
	err := guard(func() (err error) {
		if out.f, err = sfnt.Parse(data); err != nil {
			return err
		}
		out.em = fixed.Int26_6(out.f.UnitsPerEm())
		out.cap, err = out.capUnits()
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("font %s: %w", name, err)
	}
	return out, nil
}

// Regular returns the built-in sans serif of even stroke.
func Regular() *Font { return regular() }

// Bold returns the built-in sans serif of heavy stroke.
func Bold() *Font { return bold() }

var (
	regular = sync.OnceValue(func() *Font { return builtIn("regular", goregular.TTF) })
	bold    = sync.OnceValue(func() *Font { return builtIn("bold", gobold.TTF) })
)

func builtIn(name string, data []byte) *Font {
	f, err := Parse(name, data)
	if err != nil {
		panic("glyph: " + err.Error())
	}
	return f
}

// errDamaged stands for a decoder that stumbled: it does not promise to survive every damaged file.
var errDamaged = errors.New("the file is damaged")

// guard turns a panic of the font decoder into an error.
func guard(do func() error) (err error) {
	defer func() {
		if recover() != nil {
			err = errDamaged
		}
	}()
	return do()
}

func (f *Font) capUnits() (float64, error) {
	var b sfnt.Buffer
	units := 0.0
	if i, err := f.f.GlyphIndex(&b, 'H'); err == nil && i != 0 {
		segs, err := f.f.LoadGlyph(&b, i, f.em, nil)
		if err != nil {
			return 0, err
		}
		box := geom.EmptyBox2()
		for _, s := range segs {
			for _, p := range s.Args[:points(s.Op)] {
				box = box.Hold(geom.Vec2{X: float64(p.X), Y: float64(p.Y)})
			}
		}
		units = -box.Min.Y // y is down in the decoder, the baseline at 0
	} else {
		m, err := f.f.Metrics(&b, f.em, font.HintingNone)
		if err != nil {
			return 0, err
		}
		units = float64(m.CapHeight)
	}
	if em := float64(f.em); !(units > em/20 && units < 2*em) {
		return 0, fmt.Errorf("its height of capitals, %.0f of %.0f units, makes no sense", units, em)
	}
	return units, nil
}

// points returns how many points an operation has.
func points(op sfnt.SegmentOp) int {
	switch op {
	case sfnt.SegmentOpQuadTo:
		return 2
	case sfnt.SegmentOpCubeTo:
		return 3
	}
	return 1
}
