package glyph_test

import (
	"encoding/binary"
	"slices"
)

// cffFont writes the smallest OpenType font with cubic curves: 1000 units to the em, every glyph 800
// wide. Glyph programs are given by character; kerning brings the first and second of the characters
// given closer by so many units.
//
// SOURCE: ISO/IEC 14496-22 (Open Font Format) and the compact font format it refers to.
func cffFont(glyphs map[byte][]byte, first, second byte, closer int) []byte {
	chars := []byte{}
	for c := range glyphs {
		chars = append(chars, c)
	}
	slices.Sort(chars)
	be := binary.BigEndian
	programs := [][]byte{{14}}
	cmap := make([]byte, 12+262)
	be.PutUint16(cmap[2:], 1) // one subtable: platform 1, encoding 0, at 12
	be.PutUint16(cmap[4:], 1)
	be.PutUint32(cmap[8:], 12)
	be.PutUint16(cmap[14:], 262)
	for i, c := range chars {
		cmap[12+6+int(c)] = byte(i + 1)
		programs = append(programs, append(slices.Clone(glyphs[c]), 14)) // endchar
	}
	n := uint16(len(programs))

	cff := []byte{1, 0, 4, 1}                             // header
	cff = append(cff, 0, 1, 1, 1, 2, 'T')                 // name
	cff = append(cff, 0, 1, 1, 1, 7, 29, 0, 0, 0, 25, 17) // top: glyph programs at 25
	cff = append(cff, 0, 0, 0, 0)                         // no strings, no subroutines
	cff = append(be.AppendUint16(cff, n), 2)              // glyph programs
	at := uint16(1)
	for _, p := range programs {
		cff = be.AppendUint16(cff, at)
		at += uint16(len(p))
	}
	cff = be.AppendUint16(cff, at)
	cff = append(cff, slices.Concat(programs...)...)

	head := make([]byte, 54)
	be.PutUint16(head[18:], 1000)
	hhea := make([]byte, 36)
	be.PutUint16(hhea[34:], n)
	hmtx := []byte{}
	for range n {
		hmtx = append(be.AppendUint16(hmtx, 800), 0, 0)
	}
	maxp := []byte{0, 0, 0x50, 0, byte(n >> 8), byte(n)}
	kern := []byte{0, 0, 0, 1, 0, 0, 0, 20, 0, 1, 0, 1, 0, 6, 0, 0, 0, 0} // one table of one pair
	for _, v := range []int{slices.Index(chars, first) + 1, slices.Index(chars, second) + 1, -closer} {
		kern = be.AppendUint16(kern, uint16(v))
	}
	post := make([]byte, 32)
	be.PutUint32(post, 0x30000)

	tables := []struct {
		tag  string
		data []byte
	}{{"CFF ", cff}, {"cmap", cmap}, {"head", head}, {"hhea", hhea}, {"hmtx", hmtx}, {"kern", kern}, {"maxp", maxp}, {"post", post}}
	out := be.AppendUint16([]byte("OTTO"), uint16(len(tables)))
	out = append(out, make([]byte, 6)...)
	offset := len(out) + 16*len(tables)
	var body []byte
	for _, t := range tables {
		out = append(out, t.tag...)
		out = be.AppendUint32(out, 0)
		out = be.AppendUint32(out, uint32(offset+len(body)))
		out = be.AppendUint32(out, uint32(len(t.data)))
		body = append(body, t.data...)
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
	}
	return append(out, body...)
}

// op writes numbers and an operator of a glyph program.
func op(code byte, v ...int) []byte {
	var out []byte
	for _, x := range v {
		out = append(out, 28, byte(x>>8), byte(x))
	}
	return append(out, code)
}

const (
	move  = 21
	lines = 5
	curve = 8
)

// box is a rectangle counter-clockwise from a corner the pen moves to, and the way back to it.
func box(dx, dy, w, h int) []byte {
	return slices.Concat(op(move, dx, dy), op(lines, w, 0, 0, h, -w, 0, 0, -h))
}

// ring is a circle counter-clockwise of four cubics, from its rightmost point, which the pen moves to.
func ring(dx, dy, r int) []byte {
	k := int(0.5522847*float64(r) + 0.5)
	return slices.Concat(op(move, dx, dy),
		op(curve, 0, k, k-r, r-k, -k, 0), op(curve, -k, 0, k-r, k-r, 0, -k),
		op(curve, 0, -k, r-k, k-r, k, 0), op(curve, k, 0, r-k, r-k, 0, k))
}

// sample is a font with an H, an O whose two contours run the same way, a plus of overlapping bars, a
// bowl with cubic ends that coincide with their control points, and a blank; u after H is kerned by 90 units.
func sample() []byte {
	return cffFont(map[byte][]byte{
		'H': slices.Concat(op(move, 100, 0), op(lines, 100, 0, 0, 300, 300, 0, 0, -300, 100, 0, 0, 700,
			-100, 0, 0, -300, -300, 0, 0, 300, -100, 0)),
		'O': slices.Concat(ring(750, 350, 350), ring(-150, 0, 200)),
		'+': slices.Concat(box(100, 300, 600, 100), box(250, -250, 100, 600)),
		'u': slices.Concat(op(move, 100, 0), op(lines, 600, 0), op(curve, 0, 0, 0, 400, -600, 0)),
		' ': nil,
	}, 'H', 'u', 90)
}
