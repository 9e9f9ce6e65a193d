// Package render owns shaded pictures of the tool: parallel projection, so lengths across the view
// can be measured off the picture, with edges drawn as lines and vents marked. It draws with its own
// rasteriser and gives the same bytes for the same input, whatever the number of cores.
//
// Start at PNG: camera.go places the body in the picture, raster.go finds what each sample sees,
// light.go how light falls on it, edge.go which edges are drawn, sheet.go the lettering.
package render

import (
	"errors"
	"fmt"
	"image/png"
	"io"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
)

// View is the direction a picture is taken from.
type View uint8

// The views.
const (
	ThreeQuarter View = iota // from above, in front and to the right: X runs right, Y away
	Top                      // from straight above, X right and Y up
)

// String returns the name of the view.
func (v View) String() string {
	if v == Top {
		return "top"
	}
	return "three-quarter"
}

// Kind is the kind of a mark.
type Kind uint8

// The kinds of marks.
const (
	Vent    Kind = iota // a disc: a vacuum hole
	Note                // a ring: a finding
	Warning             // a cross: a finding
	Error               // a heavy cross: a finding
)

// Mark is a place to point out on the surface. One that the body hides is drawn faintly.
type Mark struct {
	At     geom.Vec3 // mm
	Normal geom.Vec3 // out of the surface; discs lie on it; zero makes the mark face the viewer
	Kind   Kind
	Plain  bool // drawn in full although the body hides it
}

// Options says how a picture is made; the zero value is a picture of 1600 by 1100 without a title.
type Options struct {
	Width, Height int          // pixels, 64 to 8192; 0 for 1600 by 1100
	Title         string       // first line, e.g. the name of the job
	Note          string       // second line, e.g. sheet and date of the job; the body's size follows it
	Pieces        *piece.Table // pieces that m.P names; nil draws the body in one colour
	Wire          bool         // draw every edge of the mesh
	Scale         *Scale       // colours by value instead of by piece; nil does not
	Window        *geom.Box3   // the part of the space, mm, that fills the picture; nil for the whole body
}

// Sizes of a picture, pixels.
const (
	defaultWidth  = 1600
	defaultHeight = 1100
	leastSide     = 64
	mostSide      = 8192
)

func (o Options) withDefaults() (Options, error) {
	if o.Width == 0 && o.Height == 0 {
		o.Width, o.Height = defaultWidth, defaultHeight
	}
	for _, side := range []int{o.Width, o.Height} {
		if side < leastSide || side > mostSide {
			return o, fmt.Errorf("picture of %d by %d pixels, each side must be %d to %d",
				o.Width, o.Height, leastSide, mostSide)
		}
	}
	return o, nil
}

// PNG draws the mesh with its marks. The mesh should be closed: triangles seen from behind are left
// out. A scale bar holds across the view, that is for everything square to the line of sight.
//
// A mesh that is empty, not finite or has a broken index, and a picture size out of range are
// refused before the first byte.
func PNG(w io.Writer, m *mesh.Mesh, view View, marks []Mark, o Options) error {
	o, err := o.withDefaults()
	if err == nil {
		err = check(m, marks, o.Pieces)
	}
	if err == nil && o.Scale != nil && len(o.Scale.Values) != len(m.V) {
		err = fmt.Errorf("%d values for %d vertices", len(o.Scale.Values), len(m.V))
	}
	if w := o.Window; err == nil && w != nil && !(w.Min.IsFinite() && w.Max.IsFinite() && w.Min.X < w.Max.X && w.Min.Y < w.Max.Y && w.Min.Z <= w.Max.Z) {
		err = fmt.Errorf("window %v is not a box", *w)
	}
	if err == nil && view != ThreeQuarter && view != Top {
		err = fmt.Errorf("no view %d", view)
	}
	if err != nil {
		return fmt.Errorf("picture: %w", err)
	}
	if err := png.Encode(w, draw(m, view, marks, o)); err != nil {
		return fmt.Errorf("picture: %w", err)
	}
	return nil
}

func check(m *mesh.Mesh, marks []Mark, pieces *piece.Table) error {
	if len(m.T) == 0 {
		return errors.New("mesh without triangles")
	}
	for i, v := range m.V {
		if !v.IsFinite() {
			return fmt.Errorf("vertex %d is not finite: %v", i, v)
		}
	}
	for i, t := range m.T {
		for _, k := range t {
			if k < 0 || int(k) >= len(m.V) {
				return fmt.Errorf("triangle %d names vertex %d of %d", i, k, len(m.V))
			}
		}
	}
	for i, k := range marks {
		if !k.At.IsFinite() || !k.Normal.IsFinite() {
			return fmt.Errorf("mark %d is not finite: %v", i, k)
		}
	}
	if len(m.P) != 0 && len(m.P) != len(m.T) {
		return fmt.Errorf("%d pieces for %d triangles", len(m.P), len(m.T))
	}
	if pieces == nil {
		return nil
	}
	for i, id := range m.P {
		if id != piece.None && (id < 0 || int(id) >= pieces.Len()) {
			return fmt.Errorf("triangle %d is of piece %d of %d", i, id, pieces.Len())
		}
	}
	return nil
}
