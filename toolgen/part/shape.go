package part

import (
	"fmt"
	"strings"

	"platen/toolgen/drawing"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
)

// FromShape returns the outline that a job file describes, centred on the origin unless it is asked
// otherwise; corner is the radius of corners where the shape names none, for a drawing that of its sharp
// corners. open opens the file of a drawing.
//
// ERROR: sizes that make no outline; a drawing that can not be opened or read, with the places in it.
func FromShape(s *job.Shape, corner float64, open Opener) (*outline.Outline, error) {
	if s.HasCorner {
		corner = s.Corner
	}
	switch s.Kind {
	case "rect":
		return outline.Rect(s.Size.X, s.Size.Y, corner)
	case "circle":
		return outline.Circle(s.Size.X / 2)
	case "slot":
		return outline.Slot(s.Size.X, s.Size.Y)
	case "polygon":
		return outline.Polygon(s.Points, corner)
	case "dxf", "svg":
		return drawn(s, corner, open)
	}
	return nil, fmt.Errorf("unknown outline %q", s.Kind)
}

// drawn reads the outline of a drawing.
func drawn(s *job.Shape, corner float64, open Opener) (*outline.Outline, error) {
	data, err := open(s.File)
	if err != nil {
		return nil, fmt.Errorf("drawing %q: %w", s.File, err)
	}
	opt := drawing.Options{}
	switch s.Unit {
	case "mm":
		opt.Unit = drawing.Millimetre
	case "inch":
		opt.Unit = drawing.Inch
	}
	if s.Layer != "" {
		opt.Layers = []string{s.Layer}
	}
	read := drawing.ReadDXF
	if s.Kind == "svg" {
		read = drawing.ReadSVG
	}
	d, err := read(data, opt)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.File, err)
	}
	o := d.Outline
	if s.Centre {
		if o, err = o.Map(geom.Moved(d.Bounds.Centre().Scale(-1))); err != nil {
			return nil, fmt.Errorf("%s: %w", s.File, err)
		}
	}
	if o, err = o.Rounded(corner); err != nil {
		return nil, fmt.Errorf("%s: %w", s.File, err)
	}
	return o, nil
}

// oneLoop refuses a trim line of several loops: each cut is one loop, and holes are punched.
func oneLoop(o *outline.Outline) error {
	if len(o.Loops) == 1 {
		return nil
	}
	var at []string
	for i := range o.Loops[:min(len(o.Loops), 5)] {
		p := o.Loop(i)[0].A
		at = append(at, fmt.Sprintf("(%.3f, %.3f)", p.X, p.Y))
	}
	return fmt.Errorf("the trim line is one closed loop, not %d: near %s; name its layer", len(o.Loops), strings.Join(at, ", "))
}
