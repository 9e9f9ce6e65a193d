package render

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"platen/toolgen/geom"
)

// fonts are the regular and the bold face of the lettering. Outlines are filled here and not by the
// font library, whose last grey level depends on the processor.
var fonts = sync.OnceValue(func() [2]*sfnt.Font {
	var out [2]*sfnt.Font
	for i, data := range [][]byte{goregular.TTF, gobold.TTF} {
		f, err := sfnt.Parse(data)
		if err != nil {
			panic("render: built-in font: " + err.Error())
		}
		out[i] = f
	}
	return out
})

// glyph is one character of a line of text.
type glyph struct {
	outline sfnt.Segments // pixels in 1/64, Y down
	at      float64       // pixels from the start of the line
}

// typeset returns the glyphs of a text and its width, in pixels of the picture.
func (s *sheet) typeset(t string, size float64, bold bool) ([]glyph, float64) {
	f := fonts()[0]
	if bold {
		f = fonts()[1]
	}
	ppem := fixed.Int26_6(float64(size*s.zoom*64) + 0.5)
	var buf sfnt.Buffer
	var out []glyph
	var pen fixed.Int26_6
	for _, r := range t {
		index, err := f.GlyphIndex(&buf, r)
		if err == nil {
			var outline sfnt.Segments
			outline, err = f.LoadGlyph(&buf, index, ppem, nil)
			out = append(out, glyph{slices.Clone(outline), float64(pen) / 64})
		}
		var advance fixed.Int26_6
		if err == nil {
			advance, err = f.GlyphAdvance(&buf, index, ppem, font.HintingNone)
		}
		if err != nil {
			panic("render: built-in font: " + err.Error())
		}
		pen += advance
	}
	return out, float64(pen) / 64
}

// measure returns the width of a text, default pixels.
func (s *sheet) measure(t string, size float64, bold bool) float64 {
	_, w := s.typeset(t, size, bold)
	return w / s.zoom
}

// fit cuts a text that is too long for the room.
func (s *sheet) fit(t string, size float64, bold bool, room float64) string {
	if s.measure(t, size, bold) <= room {
		return t
	}
	rs := []rune(t)
	for len(rs) > 0 && s.measure(string(rs)+"\u2026", size, bold) > room {
		rs = rs[:len(rs)-1]
	}
	return string(rs) + "\u2026"
}

// text writes a line whose baseline begins at (x, y), default pixels.
func (s *sheet) text(x, y float64, t string, size float64, bold bool, c tone) {
	gs, _ := s.typeset(t, size, bold)
	for _, g := range gs {
		s.fill(flatten(g.outline, geom.Vec2{X: float64(x*s.zoom) + g.at, Y: y * s.zoom}), c)
	}
}

// curveSteps is the number of chords of a curve of an outline: they miss it by less than a
// hundredth of a pixel at the sizes used here.
const curveSteps = 8

// flatten returns the edges of an outline, moved by d.
func flatten(outline sfnt.Segments, d geom.Vec2) [][2]geom.Vec2 {
	var out [][2]geom.Vec2
	var start, last geom.Vec2
	to := func(p geom.Vec2) {
		if p == last {
			return
		}
		out = append(out, [2]geom.Vec2{last, p})
		last = p
	}
	for _, seg := range outline {
		var p [3]geom.Vec2
		for i, a := range seg.Args {
			p[i] = d.Add(geom.Vec2{X: float64(a.X), Y: float64(a.Y)}.Scale(1.0 / 64))
		}
		switch seg.Op {
		case sfnt.SegmentOpMoveTo:
			to(start)
			start, last = p[0], p[0]
		case sfnt.SegmentOpLineTo:
			to(p[0])
		case sfnt.SegmentOpQuadTo:
			// A quadratic curve is a cubic one with its control points two thirds of the way.
			q := last
			curve(q, q.Add(p[0].Sub(q).Scale(2.0/3)), p[1].Add(p[0].Sub(p[1]).Scale(2.0/3)), p[1], to)
		case sfnt.SegmentOpCubeTo:
			curve(last, p[0], p[1], p[2], to)
		}
	}
	to(start)
	return out
}

func curve(a, b, c, d geom.Vec2, to func(geom.Vec2)) {
	for i := 1; i <= curveSteps; i++ {
		u := float64(i) / curveSteps
		mix := func(p, q geom.Vec2) geom.Vec2 { return p.Add(q.Sub(p).Scale(u)) }
		bc := mix(b, c)
		to(mix(mix(mix(a, b), bc), mix(bc, mix(c, d))))
	}
}

// subRows is the number of lines a pixel row is scanned by; along a line coverage is exact.
const subRows = 8

// fill paints the inside of closed outlines (winding number not 0), in pixels of the picture.
func (s *sheet) fill(edges [][2]geom.Vec2, c tone) {
	box := geom.EmptyBox2()
	for _, e := range edges {
		box = box.Hold(e[0]).Hold(e[1])
	}
	b := s.img.Bounds()
	x0, x1 := max(0, int(math.Floor(box.Min.X))), min(b.Dx()-1, int(math.Ceil(box.Max.X)))
	y0, y1 := max(0, int(math.Floor(box.Min.Y))), min(b.Dy()-1, int(math.Ceil(box.Max.Y)))
	if x0 > x1 {
		return
	}
	cover := make([]float64, x1-x0+1)
	var hits []hit
	for y := y0; y <= y1; y++ {
		clear(cover)
		for k := range subRows {
			hits = crossings(hits[:0], edges, float64(y)+float64((float64(k)+0.5)/subRows))
			winding := 0
			for i, h := range hits {
				if winding != 0 {
					addSpan(cover, hits[i-1].x-float64(x0), h.x-float64(x0))
				}
				winding += h.turn
			}
		}
		for i, v := range cover {
			if v > 0 {
				s.mix(x0+i, y, c, min(v/subRows, 1))
			}
		}
	}
}

// hit is where a scan line meets an edge that runs down (+1) or up (-1).
type hit struct {
	x    float64
	turn int
}

func crossings(hits []hit, edges [][2]geom.Vec2, y float64) []hit {
	for _, e := range edges {
		p, q, turn := e[0], e[1], 1
		if p.Y > q.Y {
			p, q, turn = q, p, -1
		}
		if p.Y <= y && y < q.Y {
			hits = append(hits, hit{p.X + float64((q.X-p.X)*((y-p.Y)/(q.Y-p.Y))), turn})
		}
	}
	slices.SortFunc(hits, func(a, b hit) int { return cmp.Compare(a.x, b.x) })
	return hits
}

// addSpan adds to each pixel of a row the part of it between a and b.
func addSpan(cover []float64, a, b float64) {
	a, b = max(a, 0), min(b, float64(len(cover)))
	for i := int(a); i < len(cover) && float64(i) < b; i++ {
		cover[i] += max(min(b, float64(i+1))-max(a, float64(i)), 0)
	}
}

// mix lays a colour over a pixel.
func (s *sheet) mix(x, y int, c tone, cover float64) {
	old := s.img.RGBAAt(x, y)
	under := tone{linear[old.R], linear[old.G], linear[old.B]}
	s.img.SetRGBA(x, y, under.mix(c, cover).rgba())
}
