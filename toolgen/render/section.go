package render

import (
	"errors"
	"fmt"
	"image"
	imagedraw "image/draw"
	"image/png"
	"io"

	"platen/toolgen/geom"
)

// Cut is a section of parts that lie on each other, mm: X along the cut, Y up.
type Cut struct {
	Title string
	Note  string
	Parts [][][2]geom.Vec2 // of each part, its edges with the material on their left; the lowest first
	Mark  geom.Vec2        // place to point out, and to show again larger
}

// Sizes of a picture of cuts, pixels.
const (
	cutWidth   = 1600
	cutPanel   = 520
	cutTop     = 110
	cutStrip   = 190
	cutDetail  = 250
	detailWide = 560
	detailMM   = 28.0 // shown across a detail
)

var partTones = []tone{hex(0x2b7a86), hex(0xcf8a34), hex(0x6a7f4f)}

// Cuts draws sections one above the other, each whole and around its mark. Same input, same bytes.
//
// ERROR: a cut without edges or with a number that is none, before the first byte.
func Cuts(w io.Writer, title, note string, cuts []Cut) error {
	for _, c := range cuts {
		n := 0
		for _, p := range c.Parts {
			for _, e := range p {
				if !e[0].At(0).IsFinite() || !e[1].At(0).IsFinite() {
					return errors.New("picture: a cut is not finite")
				}
			}
			n += len(p)
		}
		if n == 0 {
			return fmt.Errorf("picture: cut %q is empty", c.Title)
		}
	}
	s := blank(cutWidth, cutTop+cutPanel*len(cuts))
	room := float64(cutWidth - 2*border)
	s.text(border, border+titleSize*0.8, s.fit(title, titleSize, true, room), titleSize, true, ink)
	s.text(border, border+titleSize*1.95, s.fit(note, noteSize, false, room), noteSize, false, quietInk)
	for i, c := range cuts {
		y := float64(cutTop + cutPanel*i)
		s.text(border, y+noteSize, s.fit(c.Title, noteSize, true, room), noteSize, true, ink)
		s.text(border, y+2.3*noteSize, s.fit(c.Note, smallSize, false, room), smallSize, false, quietInk)
		box := geom.EmptyBox2()
		for _, p := range c.Parts {
			for _, e := range p {
				box = box.Hold(e[0]).Hold(e[1])
			}
		}
		size := box.Size()
		k := min(room/size.X, (cutStrip-10)/size.Y)
		s.pane(c, geom.Vec2{X: border, Y: y + 52}, geom.Vec2{X: room, Y: cutStrip}, box.Centre(), k)
		s.pane(c, geom.Vec2{X: border, Y: y + 52 + cutStrip + 14}, geom.Vec2{X: detailWide, Y: cutDetail}, c.Mark, detailWide/detailMM)
		bar := barLength(detailMM / 3)
		x := float64(border + detailWide + 24)
		s.stroke(x, y+52+cutStrip+cutDetail, x+float64(bar*detailWide/detailMM), y+52+cutStrip+cutDetail, 2, ink)
		s.text(x, y+52+cutStrip+cutDetail-14, length(bar)+" mm in the detail, which shows the place where they first touch", smallSize, false, ink)
	}
	if err := png.Encode(w, s.img); err != nil {
		return fmt.Errorf("picture: %w", err)
	}
	return nil
}

// blank returns a clean picture.
func blank(w, h int) *sheet {
	s := &sheet{img: image.NewRGBA(image.Rect(0, 0, w, h)), zoom: 1}
	c := paper.rgba()
	imagedraw.Draw(s.img, s.img.Bounds(), image.NewUniform(c), image.Point{}, imagedraw.Src)
	return s
}

// pane draws a cut into a window of the picture, k pixels a mm, with the place mid in its middle.
func (s *sheet) pane(c Cut, at, size, mid geom.Vec2, k float64) {
	p := blank(int(size.X), int(size.Y))
	to := func(v geom.Vec2) geom.Vec2 {
		return geom.Vec2{X: size.X/2 + float64(k*(v.X-mid.X)), Y: size.Y/2 - float64(k*(v.Y-mid.Y))}
	}
	for i, part := range c.Parts {
		edges := make([][2]geom.Vec2, len(part))
		for j, e := range part {
			edges[j] = [2]geom.Vec2{to(e[0]), to(e[1])}
		}
		p.fill(edges, partTones[i%len(partTones)])
	}
	m := to(c.Mark)
	p.ring(m.X, m.Y, 9, 2, errorTone)
	r := image.Rect(int(at.X), int(at.Y), int(at.X+size.X), int(at.Y+size.Y))
	imagedraw.Draw(s.img, r, p.img, image.Point{}, imagedraw.Src)
}
