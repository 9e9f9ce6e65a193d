package glyph

import (
	"errors"
	"fmt"
	"math"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// Align says which point of the text lies at x = 0.
type Align uint8

// The alignments; they go by the ink, not by the spacing around it.
const (
	Left Align = iota
	Centre
	Right
)

// Defaults and bounds.
const (
	DefaultRound = 0.3   // mm, smallest cutter radius in common use; common practice, no source
	DefaultTol   = 0.003 // mm
	MostChars    = 200   // a line
	leastTol     = 1e-6  // mm
	mostCap      = 1000  // mm
)

// Options are the choices for a line of text; the zero value is ready.
type Options struct {
	Spacing float64 // added between characters, mm; negative draws them together
	Align   Align
	Round   float64 // radius of all corners, mm; 0: DefaultRound, below 0: corners stay sharp
	Least   float64 // mm; above 0: a corner without room for Round is rounded less, down to this
	Tol     float64 // mm between the font's curves and the arcs; 0: DefaultTol
}

// Info is what a review needs to know of a line of text.
type Info struct {
	Stroke   outline.Neck // least stroke
	Gap      outline.Neck // least gap between strokes, also of neighbouring characters and in counters
	Radius   float64      // least corner radius, mm; 0 with sharp corners, +Inf without corners
	Loops    int
	Counters []Counter // holes, in the order of the text
	Glyphs   []Glyph   // characters with ink, in the order of the text
}

// Counter is a hole in a letter: raised lettering needs a vent there.
type Counter struct {
	Char rune
	In   geom.Vec2 // centre of the largest disc that fits
	R    float64   // its radius, mm
}

// Glyph is one character on the line.
type Glyph struct {
	Char rune
	Box  geom.Box2 // mm
}

// Line returns the outline of a line of text with its baseline on y = 0 and y up. Capitals (the letter
// H) are capHeight (mm) high.
//
// ERROR: empty or blank text, more than MostChars characters, control or combining characters, scripts
// written from right to left, a character the font has not, contours that overlap within or between
// characters, a corner without room for its radius (*outline.TooLarge inside, with the largest).
func Line(text string, f *Font, capHeight float64, o Options) (*outline.Outline, Info, error) {
	chars := []rune(text)
	if err := o.complete(capHeight); err != nil {
		return nil, Info{}, err
	}
	if err := readable(chars); err != nil {
		return nil, Info{}, err
	}
	s := &setter{f: f, scale: capHeight / f.cap, o: o, cut: map[rune]*cut{}}
	var glyphs []placed
	err := guard(func() (err error) {
		glyphs, err = s.set(chars)
		return err
	})
	if err != nil {
		return nil, Info{}, fmt.Errorf("font %s: %w", f.Name, err)
	}
	if len(glyphs) == 0 {
		return nil, Info{}, fmt.Errorf("the text %q has nothing to cut", text)
	}
	return assemble(glyphs, o)
}

// complete fills the defaults in and checks the figures.
func (o *Options) complete(capHeight float64) error {
	if o.Round == 0 {
		o.Round = DefaultRound
	}
	if o.Tol == 0 {
		o.Tol = DefaultTol
	}
	switch {
	case !(capHeight > 0 && capHeight <= mostCap):
		return fmt.Errorf("height of capitals %.3f mm is not between 0 and %d mm", capHeight, mostCap)
	case !(o.Tol >= leastTol && o.Tol <= capHeight/20):
		return fmt.Errorf("tolerance %g mm is not between %g mm and a twentieth of the capitals", o.Tol, leastTol)
	case !(math.Abs(o.Spacing) <= 10*mostCap):
		return fmt.Errorf("spacing %.3f mm is not between -%d and %d mm", o.Spacing, 10*mostCap, 10*mostCap)
	case o.Round-o.Round != 0 || o.Least-o.Least != 0 || o.Least < 0:
		return fmt.Errorf("corner radius %.3f mm, at least %.3f mm, is no radius", o.Round, o.Least)
	case o.Align > Right:
		return fmt.Errorf("alignment %d is not left, centre or right", o.Align)
	}
	return nil
}

// readable refuses what can not be set as one glyph a character from left to right.
func readable(chars []rune) error {
	if len(chars) == 0 {
		return errors.New("the text is empty")
	}
	if len(chars) > MostChars {
		return fmt.Errorf("the text has %d characters; at most %d a line", len(chars), MostChars)
	}
	for i, r := range chars {
		switch {
		case r == unicode.ReplacementChar:
			return fmt.Errorf("character %d of the text is not valid", i+1)
		case r == '\n' || r == '\r':
			return fmt.Errorf("character %d of the text breaks the line; give each line by itself", i+1)
		case unicode.IsControl(r) || unicode.Is(unicode.Cf, r):
			return fmt.Errorf("character %d of the text, %U, is a control character", i+1, r)
		case unicode.IsMark(r):
			return fmt.Errorf("character %d of the text, %U, is a combining mark; use the composed letter", i+1, r)
		case unicode.In(r, unicode.Arabic, unicode.Hebrew, unicode.Syriac, unicode.Thaana, unicode.Nko):
			return fmt.Errorf("character %d of the text, %q, is written from right to left", i+1, r)
		}
	}
	return nil
}

// cut is a character ready to be placed: its outline with the origin on the baseline.
type cut struct {
	char    rune
	index   sfnt.GlyphIndex
	advance float64          // mm
	o       *outline.Outline // nil without ink
	radius  float64          // least corner radius
}

type placed struct {
	*cut
	x float64 // of its origin
}

// setter sets the characters of one line.
type setter struct {
	f     *Font
	b     sfnt.Buffer
	scale float64 // mm a font unit
	o     Options
	cut   map[rune]*cut
}

// set places the characters with ink, the first at x = 0.
func (s *setter) set(chars []rune) ([]placed, error) {
	var out []placed
	x := 0.0
	var prev *cut
	for i, r := range chars {
		c := s.cut[r]
		if c == nil {
			var err error
			if c, err = s.char(r); err != nil {
				return nil, fmt.Errorf("character %q: %w", r, err)
			}
			s.cut[r] = c
		}
		if i > 0 {
			k, err := s.f.f.Kern(&s.b, prev.index, c.index, s.f.em, font.HintingNone)
			if err != nil && !errors.Is(err, sfnt.ErrNotFound) {
				return nil, fmt.Errorf("kerning of %q and %q: %w", prev.char, r, err)
			}
			x += prev.advance + s.scale*float64(k) + s.o.Spacing
		}
		if c.o != nil {
			out = append(out, placed{c, x})
		}
		prev = c
	}
	return out, nil
}

// char makes one character.
func (s *setter) char(r rune) (*cut, error) {
	i, err := s.f.f.GlyphIndex(&s.b, r)
	if err != nil {
		return nil, err
	}
	if i == 0 {
		return nil, fmt.Errorf("the font has no glyph for %U", r)
	}
	adv, err := s.f.f.GlyphAdvance(&s.b, i, s.f.em, font.HintingNone)
	if err != nil {
		return nil, err
	}
	c := &cut{char: r, index: i, advance: s.scale * float64(adv), radius: math.Inf(1)}
	segs, err := s.f.f.LoadGlyph(&s.b, i, s.f.em, nil)
	if err != nil {
		return nil, err
	}
	sharp, err := s.trace(segs)
	if err != nil || sharp == nil {
		return c, err
	}
	if s.o.Round < 0 {
		c.o, c.radius = sharp, min(sharp.Convex(), sharp.Concave())
		return c, nil
	}
	if s.o.Least > 0 {
		c.o, c.radius, err = sharp.RoundedDown(s.o.Round, s.o.Least)
		return c, err
	}
	if sharp.Corners() > 0 {
		c.radius = s.o.Round
	}
	c.o, err = sharp.Rounded(s.o.Round)
	return c, err
}

// trace returns the outline of a glyph with its own corners, nil where there is no ink.
func (s *setter) trace(segs sfnt.Segments) (*outline.Outline, error) {
	cs, err := contours(segs, s.scale, s.scale*s.f.cap)
	if err != nil || len(cs) == 0 {
		return nil, err
	}
	loops := make([][]outline.Elem, len(cs))
	for i, c := range cs {
		for _, g := range c {
			es, err := g.elems(s.o.Tol)
			if err != nil {
				return nil, err
			}
			loops[i] = append(loops[i], es...)
		}
	}
	o, err := outline.New(loops...)
	if err != nil {
		return nil, err
	}
	// Which way a loop runs is decided after this, by how the loops lie.
	var x *outline.Crossing
	if err := o.Simple(); errors.As(err, &x) {
		return nil, fmt.Errorf("its contours overlap: %w", err)
	}
	return o.Turned()
}

// assemble joins the characters and measures the line.
func assemble(glyphs []placed, o Options) (*outline.Outline, Info, error) {
	box := geom.EmptyBox2()
	for _, g := range glyphs {
		b := g.o.Bounds()
		shift := geom.Vec2{X: g.x}
		box = box.Join(geom.Box2{Min: b.Min.Add(shift), Max: b.Max.Add(shift)})
	}
	zero := [3]float64{box.Min.X, box.Centre().X, box.Max.X}[o.Align]
	info := Info{Radius: math.Inf(1)}
	var loops [][]outline.Elem
	var owner []int // glyph of a loop
	for gi, g := range glyphs {
		m, err := g.o.Map(geom.Moved(geom.Vec2{X: g.x - zero}))
		if err != nil {
			return nil, Info{}, fmt.Errorf("character %q: %w", g.char, err)
		}
		depths := m.Depths()
		for i := range m.Loops {
			loops, owner = append(loops, m.Loop(i)), append(owner, gi)
			if depths[i]%2 == 1 {
				d := m.Hole(i).Disc()
				info.Counters = append(info.Counters, Counter{g.char, d.Centre, d.R})
			}
		}
		info.Glyphs = append(info.Glyphs, Glyph{g.char, m.Bounds()})
		info.Radius = min(info.Radius, g.radius)
	}
	line, err := outline.New(loops...)
	if err != nil {
		return nil, Info{}, err
	}
	var x *outline.Crossing
	if err := line.Simple(); errors.As(err, &x) {
		a, b := owner[x.Loops[0]], owner[x.Loops[1]]
		return nil, Info{}, fmt.Errorf("characters %d and %d with ink, %q and %q, touch at (%.3f, %.3f); add spacing",
			a+1, b+1, glyphs[a].char, glyphs[b].char, x.At.X, x.At.Y)
	} else if err != nil {
		return nil, Info{}, err
	}
	info.Loops = len(line.Loops)
	info.Stroke, info.Gap = line.Stroke(), line.Gap()
	return line, info, nil
}
