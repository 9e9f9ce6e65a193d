package part

import (
	"fmt"

	"platen/toolgen/job"
	"platen/toolgen/outline"
)

// FromShape returns the outline that a job file describes, centred on the origin; corner is the
// radius of corners where the shape names none.
func FromShape(s *job.Shape, corner float64) (*outline.Outline, error) {
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
	}
	return nil, fmt.Errorf("unknown outline %q", s.Kind)
}
