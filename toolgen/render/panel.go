package render

import (
	"errors"
	"fmt"
	"image"
	imagedraw "image/draw"
	"image/png"
	"io"
	"math"

	"platen/toolgen/geom"
)

// Panel is one window on a section.
type Panel struct {
	Title  string
	Window geom.Box2        // mm; it is widened to fill its place in the picture
	Parts  [][][2]geom.Vec2 // mm, across and up: of each part, its edges, the material on the same side of all
}

// Sizes of a picture of panels, pixels, and the share of the height that the first takes where others
// stand below it.
const (
	panelsWidth  = 1600
	panelsHeight = 1100
	firstShare   = 0.38
)

// Panels draws windows on sections: the first over the whole width, the others side by side below it, each
// with a scale bar of its own. Same input, same bytes.
//
// ERROR: a panel without size or with a number that is none, before the first byte.
func Panels(w io.Writer, title, note string, panels []Panel) error {
	if err := checkPanels(panels); err != nil {
		return fmt.Errorf("picture: %w", err)
	}
	s := blank(panelsWidth, panelsHeight)
	const wide = panelsWidth - 2*border
	s.text(border, border+titleSize*0.8, s.fit(title, titleSize, true, wide), titleSize, true, ink)
	s.text(border, border+titleSize*1.95, s.fit(note, noteSize, false, wide), noteSize, false, quietInk)
	const y = border + titleSize*2.95
	const tall = panelsHeight - y - border
	first := tall
	below := float64(len(panels) - 1)
	if below > 0 {
		first = firstShare * tall
	}
	s.panel(panels[0], border, y, wide, first)
	for i, p := range panels[1:] {
		room := (wide - float64((below-1)*titleSize)) / below
		s.panel(p, border+float64(float64(i)*(room+titleSize)), y+first, room, tall-first)
	}
	if err := png.Encode(w, s.img); err != nil {
		return fmt.Errorf("picture: %w", err)
	}
	return nil
}

func checkPanels(panels []Panel) error {
	if len(panels) == 0 {
		return errors.New("no panel")
	}
	for _, p := range panels {
		if size := p.Window.Size(); !(size.X > 0 && size.Y > 0) || math.IsInf(size.X+size.Y, 0) {
			return fmt.Errorf("the window of panel %q has no size", p.Title)
		}
		for _, part := range p.Parts {
			for _, e := range part {
				if !e[0].At(0).IsFinite() || !e[1].At(0).IsFinite() {
					return fmt.Errorf("panel %q is not finite", p.Title)
				}
			}
		}
	}
	return nil
}

// panel draws one window with its title above and its scale bar below, at (x, y) and of a size in pixels.
func (s *sheet) panel(p Panel, x, y, w, h float64) {
	const head, foot = 1.6 * noteSize, 1.5 * smallSize
	s.text(x, y+noteSize, s.fit(p.Title, noteSize, true, w), noteSize, true, ink)
	y, h = y+head, h-head-foot
	size, mid := p.Window.Size(), p.Window.Centre()
	k := min(w/size.X, h/size.Y) // pixels a mm
	view := blank(int(w), int(h))
	for i, part := range p.Parts {
		edges := make([][2]geom.Vec2, len(part))
		for j, e := range part {
			for c, v := range e {
				edges[j][c] = geom.Vec2{X: w/2 + float64(k*(v.X-mid.X)), Y: h/2 - float64(k*(v.Y-mid.Y))}
			}
		}
		view.fill(edges, partTones[i%len(partTones)])
	}
	imagedraw.Draw(s.img, image.Rect(int(x), int(y), int(x)+int(w), int(y)+int(h)), view.img, image.Point{}, imagedraw.Src)
	for _, l := range [][4]float64{{x, y, x + w, y}, {x, y + h, x + w, y + h}, {x, y, x, y + h}, {x + w, y, x + w, y + h}} {
		s.stroke(l[0], l[1], l[2], l[3], 1, quietInk)
	}
	long := barLength(barPart * w / k)
	s.stroke(x+w-float64(long*k), y+h+10, x+w, y+h+10, 2, ink)
	label := length(long) + " mm"
	s.text(x+w-float64(long*k)-s.measure(label, smallSize, false)-8, y+h+16, label, smallSize, false, ink)
}
