package glyph_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"platen/toolgen/geom"
	"platen/toolgen/glyph"
	"platen/toolgen/outline"
)

var fonts = map[string]struct {
	f    *glyph.Font
	data []byte
}{
	"regular": {glyph.Regular(), goregular.TTF},
	"bold":    {glyph.Bold(), gobold.TTF},
}

func TestLettersHaveTheirLoops(t *testing.T) {
	loops := map[string]int{"H": 1, "O": 2, "B": 3, "i": 2, "8": 3, "%": 5, "=": 2, "Ä": 4, "A B": 5}
	for name, f := range fonts {
		for text, want := range loops {
			o, info, err := glyph.Line(text, f.f, 20, glyph.Options{Round: 0.2})
			require.NoError(t, err, "%s %s", name, text)
			require.Len(t, o.Loops, want, "%s %s", name, text)
			require.Equal(t, want, info.Loops)
			require.NoError(t, o.Simple())
		}
	}
}

func TestCapitalsAreAsHighAsAsked(t *testing.T) {
	for name, f := range fonts {
		for _, h := range []float64{3, 5, 8, 20, 120} {
			o, _, err := glyph.Line("HHI", f.f, h, glyph.Options{Round: 0.1})
			require.NoError(t, err, name)
			require.InDelta(t, 0, o.Bounds().Min.Y, 1e-9)
			require.InDelta(t, h, o.Bounds().Max.Y, 1e-9, "a straight top is exact")
		}
	}
}

// fontArea integrates x dy over the font's own curves, in font units: three Gauss points are exact for
// curves up to cubic.
func fontArea(t *testing.T, data []byte, r rune) float64 {
	t.Helper()
	f, err := sfnt.Parse(data)
	require.NoError(t, err)
	var b sfnt.Buffer
	i, err := f.GlyphIndex(&b, r)
	require.NoError(t, err)
	segs, err := f.LoadGlyph(&b, i, fixed.Int26_6(f.UnitsPerEm()), nil)
	require.NoError(t, err)
	var at, start geom.Vec2
	area := 0.0
	add := func(p ...geom.Vec2) {
		g := math.Sqrt(0.6) / 2
		for k, u := range [3]float64{0.5 - g, 0.5, 0.5 + g} {
			q, d := casteljau(p, u)
			area += [3]float64{5, 8, 5}[k] / 18 * q.X * d.Y
		}
		at = p[len(p)-1]
	}
	pt := func(p fixed.Point26_6) geom.Vec2 { return geom.Vec2{X: float64(p.X), Y: -float64(p.Y)} }
	for _, s := range segs {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			add(at, start)
			at, start = pt(s.Args[0]), pt(s.Args[0])
		case sfnt.SegmentOpLineTo:
			add(at, pt(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			add(at, pt(s.Args[0]), pt(s.Args[1]))
		case sfnt.SegmentOpCubeTo:
			add(at, pt(s.Args[0]), pt(s.Args[1]), pt(s.Args[2]))
		}
	}
	add(at, start)
	return math.Abs(area)
}

// casteljau returns point and derivative of a Bezier curve.
func casteljau(p []geom.Vec2, t float64) (q, d geom.Vec2) {
	n := float64(len(p) - 1)
	p = slices.Clone(p)
	for len(p) > 2 {
		for i := range p[1:] {
			p[i] = p[i].Scale(1 - t).Add(p[i+1].Scale(t))
		}
		p = p[:len(p)-1]
	}
	return p[0].Scale(1 - t).Add(p[1].Scale(t)), p[1].Sub(p[0]).Scale(n)
}

func TestArcsEncloseTheFontsOwnArea(t *testing.T) {
	for name, f := range fonts {
		units := 0.0
		h, _, err := glyph.Line("H", f.f, 10, glyph.Options{Round: -1})
		require.NoError(t, err)
		units = math.Sqrt(fontArea(t, f.data, 'H') / h.Area()) // font units a mm: H has no curves
		for _, r := range "OSeg8&@Qaß3" {
			for _, tol := range []float64{0.02, 0.003, 1e-4} {
				o, _, err := glyph.Line(string(r), f.f, 10, glyph.Options{Round: -1, Tol: tol})
				require.NoError(t, err, "%s %c", name, r)
				want := fontArea(t, f.data, r) / (units * units)
				require.InDelta(t, want, o.Area(), tol*o.Length()/2, "%s %c", name, r)
			}
		}
	}
}

func TestTraceStaysWithinTolerance(t *testing.T) {
	// Every point of the font's curves lies within the tolerance of the arcs.
	f, err := sfnt.Parse(goregular.TTF)
	require.NoError(t, err)
	var b sfnt.Buffer
	h, _, err := glyph.Line("H", glyph.Regular(), 12, glyph.Options{Round: -1})
	require.NoError(t, err)
	scale := math.Sqrt(h.Area() / fontArea(t, goregular.TTF, 'H'))
	for _, r := range "Sg&8" {
		i, err := f.GlyphIndex(&b, r)
		require.NoError(t, err)
		segs, err := f.LoadGlyph(&b, i, fixed.Int26_6(f.UnitsPerEm()), nil)
		require.NoError(t, err)
		// The H before it, all straight, says exactly where the character starts.
		o, _, err := glyph.Line("H"+string(r), glyph.Regular(), 12, glyph.Options{Round: -1})
		require.NoError(t, err)
		hi, err := f.GlyphIndex(&b, 'H')
		require.NoError(t, err)
		var pts []geom.Vec2
		at := geom.Vec2{}
		for _, s := range segs {
			p := []geom.Vec2{at}
			for _, q := range s.Args[:map[sfnt.SegmentOp]int{sfnt.SegmentOpMoveTo: 1, sfnt.SegmentOpLineTo: 1, sfnt.SegmentOpQuadTo: 2}[s.Op]] {
				p = append(p, geom.Vec2{X: scale * float64(q.X), Y: -scale * float64(q.Y)})
			}
			at = p[len(p)-1]
			for k := range 33 {
				if s.Op != sfnt.SegmentOpMoveTo {
					q, _ := casteljau(p, float64(k)/32)
					pts = append(pts, q)
				}
			}
		}
		adv, err := f.GlyphAdvance(&b, hi, fixed.Int26_6(f.UnitsPerEm()), 0)
		require.NoError(t, err)
		box, _, err := f.GlyphBounds(&b, hi, fixed.Int26_6(f.UnitsPerEm()), 0)
		require.NoError(t, err)
		shift := geom.Vec2{X: scale * float64(adv-box.Min.X)}
		for _, p := range pts {
			require.LessOrEqual(t, math.Abs(o.At(p.Add(shift)).D), glyph.DefaultTol, "%c", r)
		}
	}
}

func TestMirroredTextKeepsAreaAndSense(t *testing.T) {
	o, _, err := glyph.Line("Lid R2 & 40%", glyph.Regular(), 9, glyph.Options{Round: 0.2})
	require.NoError(t, err)
	m, err := o.Map(geom.Scaled(1, -1))
	require.NoError(t, err)
	require.NoError(t, m.Simple())
	require.InDelta(t, o.Area(), m.Area(), 1e-10)
	require.InDelta(t, o.At(geom.Vec2{X: 10, Y: 3}).D, m.At(geom.Vec2{X: 10, Y: -3}).D, 1e-12)
}

func TestPrintableCharactersBuildOrAreRefusedWithANumber(t *testing.T) {
	for name, f := range fonts {
		for _, h := range []float64{5, 8, 20} {
			for _, round := range []float64{0.15, 0.3} {
				built := 0
				for c := rune('!'); c <= '~'; c++ {
					o, info, err := glyph.Line(string(c), f.f, h, glyph.Options{Round: round})
					if err != nil {
						var large *outline.TooLarge
						require.ErrorAs(t, err, &large, "%s %c", name, c)
						require.ErrorContains(t, err, "character "+quoted(c))
						require.Less(t, large.Largest, round)
						o, info, err = glyph.Line(string(c), f.f, h, glyph.Options{Round: round, Least: 0.01})
						require.NoError(t, err, "%s %c", name, c)
						require.Less(t, info.Radius, round)
						require.GreaterOrEqual(t, info.Radius, 0.01)
					} else {
						built++
						require.GreaterOrEqual(t, info.Radius, round)
					}
					require.NoError(t, o.Simple(), "%s %c", name, c)
					require.Zero(t, o.Corners(), "%s %c", name, c)
					require.Greater(t, info.Stroke.Width, 0.0)
				}
				if h == 20 {
					require.GreaterOrEqual(t, built, 92, "%s at %.0f mm, r %.2f", name, h, round)
				}
			}
		}
	}
}

func quoted(r rune) string {
	if r == '\\' || r == '\'' {
		return `'\` + string(r) + `'`
	}
	return "'" + string(r) + "'"
}

func TestInfoMeasuresTheText(t *testing.T) {
	f, err := glyph.Parse("sample", sample())
	require.NoError(t, err)
	// 1 mm is 70 units: the H has strokes of 100 and inlets of 300 units.
	o, info, err := glyph.Line("H", f, 10, glyph.Options{Round: 0.25})
	require.NoError(t, err)
	require.InDelta(t, 100.0/70, info.Stroke.Width, 1e-9)
	require.InDelta(t, 300.0/70, info.Gap.Width, 1e-9)
	require.Equal(t, 0.25, info.Radius)
	require.Empty(t, info.Counters)
	corner := (1 - math.Pi/4) * 0.25 * 0.25
	require.InDelta(t, (2*100*700+300*100)/4900.0-8*corner+4*corner, o.Area(), 1e-9)

	_, info, err = glyph.Line("H OH", f, 10, glyph.Options{Spacing: 1})
	require.NoError(t, err)
	require.Equal(t, 4, info.Loops)
	require.Len(t, info.Counters, 1)
	require.Equal(t, 'O', info.Counters[0].Char)
	// The font's cubics come in to this on their diagonals: handles of 110 units on a radius of 200.
	require.InDelta(t, 200.0/70*math.Sqrt2*(4+3*0.55)/8, info.Counters[0].R, 0.003)
	require.InDelta(t, 100.0/70, info.Stroke.Width, 1e-9)
	require.Len(t, info.Glyphs, 3)
	// Advances of 800 units and 1 mm: blank included.
	require.InDelta(t, 2*(800.0/70+1)-50.0/70, info.Glyphs[1].Box.Min.X-info.Glyphs[0].Box.Min.X, 0.003)
	require.InDelta(t, info.Glyphs[1].Box.Centre().X, info.Counters[0].In.X, 0.003)
	require.InDelta(t, 5, info.Counters[0].In.Y, 0.003)
	// O ends at 750 of 800, H starts at 100 of the next: the gap of 150 units and 1 mm, less than 300.
	require.InDelta(t, 150.0/70+1, info.Gap.Width, 0.006)
}

func TestCubicFont(t *testing.T) {
	data := sample()
	f, err := glyph.Parse("sample", data)
	require.NoError(t, err)
	o, _, err := glyph.Line("O", f, 7, glyph.Options{})
	require.NoError(t, err)
	require.NoError(t, o.Simple(), "contours that run alike are told apart by nesting")
	require.Equal(t, []int{0, 1}, o.Depths())
	require.InEpsilon(t, math.Pi*(3.5*3.5-2*2), o.Area(), 2e-3)
	require.Positive(t, o.Convex(), "the quarters meet smoothly")
	u, _, err := glyph.Line("u", f, 7, glyph.Options{Round: -1, Tol: 1e-4})
	require.NoError(t, err)
	require.InDelta(t, fontArea(t, data, 'u')/1e4, u.Area(), 1e-3)
	_, _, err = glyph.Line("H+", f, 7, glyph.Options{})
	require.ErrorContains(t, err, "character '+': its contours overlap")
}

func TestAlignment(t *testing.T) {
	for a, want := range map[glyph.Align]func(b geom.Box2) float64{
		glyph.Left:   func(b geom.Box2) float64 { return b.Min.X },
		glyph.Centre: func(b geom.Box2) float64 { return b.Centre().X },
		glyph.Right:  func(b geom.Box2) float64 { return b.Max.X },
	} {
		o, _, err := glyph.Line(" Tray 7 ", glyph.Bold(), 10, glyph.Options{Align: a, Round: 0.2})
		require.NoError(t, err)
		require.InDelta(t, 0, want(o.Bounds()), 1e-9)
	}
}

func TestLineRefuses(t *testing.T) {
	f := glyph.Regular()
	cases := map[string]struct {
		text string
		h    float64
		o    glyph.Options
		want string
	}{
		"empty":         {"", 10, glyph.Options{}, "empty"},
		"blank":         {"   ", 10, glyph.Options{}, "nothing to cut"},
		"line break":    {"A\nB", 10, glyph.Options{}, "character 2 of the text breaks the line"},
		"control":       {"AB\x07", 10, glyph.Options{}, "character 3 of the text, U+0007, is a control"},
		"invisible":     {"A\u200dB", 10, glyph.Options{}, "control character"},
		"not UTF-8":     {"A\xff", 10, glyph.Options{}, "character 2 of the text is not valid"},
		"combining":     {"e\u0301", 10, glyph.Options{}, "combining mark"},
		"right to left": {"\u05d0", 10, glyph.Options{}, "right to left"},
		"missing":       {"A\u4e2d", 10, glyph.Options{}, "no glyph for U+4E2D"},
		"long":          {strings.Repeat("A", 201), 10, glyph.Options{}, "201 characters; at most 200"},
		"no height":     {"A", 0, glyph.Options{}, "height of capitals"},
		"nan height":    {"A", math.NaN(), glyph.Options{}, "height of capitals"},
		"tolerance":     {"A", 10, glyph.Options{Tol: 1}, "tolerance"},
		"spacing":       {"A", 10, glyph.Options{Spacing: math.Inf(1)}, "spacing"},
		"radius":        {"A", 10, glyph.Options{Round: math.NaN()}, "no radius"},
		"too round":     {"A", 10, glyph.Options{Round: 3}, "at most 0."},
		"touching":      {"HH", 10, glyph.Options{Spacing: -2.4}, "characters 1 and 2 with ink, 'H' and 'H', touch"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, _, err := glyph.Line(c.text, f, c.h, c.o)
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestKerningDrawsPairsTogether(t *testing.T) {
	f, err := glyph.Parse("sample", sample())
	require.NoError(t, err)
	step := func(text string) float64 {
		_, info, err := glyph.Line(text, f, 7, glyph.Options{Round: -1})
		require.NoError(t, err)
		return (info.Glyphs[1].Box.Min.X - info.Glyphs[0].Box.Min.X) * 100 // in font units
	}
	require.InDelta(t, 800, step("HH"), 1e-9)
	require.InDelta(t, 800-90, step("Hu"), 1e-9)
	require.InDelta(t, 800, step("uH"), 1e-9)
}

func FuzzLine(f *testing.F) {
	for _, s := range []string{"H", "Lot 7", "", "a\nb", "ÄÖÜ ß", "\xff", "()[]{}<>"} {
		f.Add(s, 8.0, 0.2, 0.1)
	}
	f.Fuzz(func(t *testing.T, s string, h, round, spacing float64) {
		if len(s) > 12 {
			s = s[:12]
		}
		o, info, err := glyph.Line(s, glyph.Regular(), h, glyph.Options{Round: round, Spacing: spacing})
		if err != nil {
			return
		}
		require.NoError(t, o.Simple())
		require.Equal(t, len(o.Loops), info.Loops)
		require.Positive(t, o.Area())
		require.False(t, strings.ContainsFunc(s, unicode.IsControl))
	})
}

func FuzzParse(f *testing.F) {
	// The seeds spoil one place of a font each; the fuzzer goes on from there.
	f.Add(uint32(0), byte(0), sample())
	for i := range 40 {
		f.Add(uint32(i*31+12), byte(0xff), sample())
	}
	f.Fuzz(func(_ *testing.T, at uint32, v byte, data []byte) {
		if len(data) == 0 || len(data) > 1<<16 {
			return
		}
		data = slices.Clone(data)
		data[int(at)%len(data)] = v
		font, err := glyph.Parse("spoilt", data)
		if err != nil {
			return
		}
		for _, s := range []string{"H", "O", "u", "+"} {
			_, _, _ = glyph.Line(s, font, 10, glyph.Options{Round: 0.1})
		}
	})
}

func TestSpoiltFontsNeverPanic(t *testing.T) {
	rng := seeded(11)
	read := 0
	for range 150 {
		data := slices.Clone(goregular.TTF)
		for range 1 + rng.IntN(200) {
			data[rng.IntN(len(data))] = byte(rng.Uint32())
		}
		if rng.IntN(4) == 0 {
			data = data[:rng.IntN(len(data))]
		}
		f, err := glyph.Parse("spoilt", data)
		if err != nil {
			continue
		}
		read++
		o, _, err := glyph.Line("Rg8&", f, 8, glyph.Options{Round: 0.1})
		if err == nil {
			require.NoError(t, o.Simple())
		}
	}
	require.Greater(t, read, 20, "some must get past the header")
}

func BenchmarkLine(b *testing.B) {
	for b.Loop() {
		_, _, err := glyph.Line("LEFT 12 & Tray 0.5 kg", glyph.Regular(), 8, glyph.Options{Round: 0.2})
		require.NoError(b, err)
	}
}
