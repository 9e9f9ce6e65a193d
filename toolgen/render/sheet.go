package render

import (
	"fmt"
	"image"
	"math"
	"strconv"
	"strings"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// sheet is the finished picture, on which marks and lettering are laid.
type sheet struct {
	img  *image.RGBA
	zoom float64 // pixels a pixel of the default height
	cam  *camera
	buf  *buffer
}

// Sizes of the lettering, in pixels of the default height.
const (
	titleSize = 27
	noteSize  = 18
	smallSize = 16
	border    = 40
)

// letter writes the title, the note with the size of the body, the scale bar and the axes.
func (s *sheet) letter(m *mesh.Mesh, view View, o Options) {
	box := geom.EmptyBox3()
	for _, v := range m.V {
		box = box.Hold(v)
	}
	d := box.Size()
	size := fmt.Sprintf("%s \u00d7 %s \u00d7 %s mm", length(d.X), length(d.Y), length(d.Z))
	note := size
	if o.Note != "" {
		note = o.Note + "  \u00b7  " + size
	}
	y := border + titleSize*0.8
	room := float64(o.Width)/s.zoom - 2*border
	if o.Title != "" {
		s.text(border, y, s.fit(o.Title, titleSize, true, room), titleSize, true, ink)
		y += 1.15 * titleSize
	}
	s.text(border, y, s.fit(note, noteSize, false, room), noteSize, false, quietInk)
	s.scaleBar(o.Width, o.Height, view)
	s.axes(o.Height, view)
}

// length writes a size with at most two decimals.
func length(x float64) string {
	t := strconv.FormatFloat(x, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(t, "0"), ".")
}

// barPart is the longest a scale bar may be, as part of the width.
const barPart = 0.2

// barLength returns the longest of 1, 2, 5 times a power of ten that fits, mm.
func barLength(most float64) float64 {
	if !(most > 0) {
		return 0
	}
	// Powers of ten as literals are exact; the range is wider than any tool.
	best := 0.0
	for _, ten := range []float64{1e-6, 1e-5, 1e-4, 1e-3, 0.01, 0.1, 1, 10, 100, 1e3, 1e4, 1e5, 1e6} {
		for _, k := range []float64{1, 2, 5} {
			if float64(k*ten) <= most {
				best = k * ten
			}
		}
	}
	return best
}

func (s *sheet) scaleBar(width, height int, view View) {
	mm := s.cam.scale / supersample / s.zoom // default pixels a mm
	w, h := float64(width)/s.zoom, float64(height)/s.zoom
	long := barLength(barPart * w / mm)
	x1, y := w-border, h-border
	x0 := x1 - float64(long*mm)
	s.stroke(x0, y, x1, y, 2, ink)
	for k := range 3 {
		x := x0 + float64(float64(k)*(x1-x0)/2)
		tick := 9.0
		if k == 1 {
			tick = 5
		}
		s.stroke(x, y-tick, x, y, 2, ink)
	}
	label := length(long) + " mm"
	if long < 0.01 {
		label = strconv.FormatFloat(long, 'g', -1, 64) + " mm"
	}
	if view != Top {
		label += " across the view"
	}
	s.text(x1-s.measure(label, smallSize, false), y-16, label, smallSize, false, ink)
}

// armLength is the length of an axis square to the view, in default pixels.
const armLength = 46

func (s *sheet) axes(height int, view View) {
	ox, oy := float64(border)+10, float64(height)/s.zoom-border-6
	if view == ThreeQuarter {
		oy -= 4
	}
	for i, a := range []geom.Vec3{{X: 1}, {Y: 1}, {Z: 1}} {
		dx, dy := a.Dot(s.cam.right), -a.Dot(s.cam.up)
		name, c := string(rune('X'+i)), axisTones[i]
		n := math.Sqrt(float64(dx*dx) + float64(dy*dy))
		if n < 0.01 { // towards the viewer
			s.ring(ox, oy, 6, 2, c)
			s.dot(ox, oy, 2, c)
			s.text(ox-22, oy+16, name, smallSize, true, c)
			continue
		}
		ex, ey := ox+float64(armLength*dx), oy+float64(armLength*dy)
		s.stroke(ox, oy, ex, ey, 2.2, c)
		ux, uy := dx/n, dy/n
		for _, turn := range []float64{1, -1} {
			s.stroke(ex, ey, ex-float64(8*ux)+float64(turn*4*uy), ey-float64(8*uy)-float64(turn*4*ux), 2.2, c)
		}
		half := float64(s.measure(name, smallSize, true) / 2)
		s.text(ex+float64(13*ux)-half, ey+float64(13*uy)+smallSize*0.36, name, smallSize, true, c)
	}
}
