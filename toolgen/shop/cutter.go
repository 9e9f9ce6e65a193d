package shop

import (
	"math"

	"platen/toolgen/source"
)

// Cusp returns the height left between two passes of a ball of the given radius, step apart, on a
// level face: r - sqrt(r^2 - step^2/4). A step over the ball's diameter leaves NaN: the passes do
// not meet.
//
// SOURCE: derived from the circle.
func Cusp(radius, step float64) float64 {
	h := step / 2
	// r - sqrt(r^2 - h^2) without the loss of digits in the difference of near-equal numbers.
	return h * h / (radius + math.Sqrt(radius*radius-h*h))
}

// Step returns the distance between passes of a ball that leaves a cusp: 2 sqrt(2 r c - c^2).
//
// SOURCE: derived from the circle.
func Step(radius, cusp float64) float64 {
	return 2 * math.Sqrt(cusp*(2*radius-cusp))
}

// FinishCusp returns the cusp to leave on aluminium, or on resin board and wood, mm.
func FinishCusp(metal bool) source.Range {
	if metal {
		return source.Between(0.005, 0.02, source.C, source.CalcPages)
	}
	return source.Between(0.02, 0.05, source.C, source.CalcPages)
}

// Reach grades the depth of a cut over the cutter's diameter.
type Reach uint8

// The grades of reach.
const (
	Economical Reach = iota // under 3
	Slow                    // 3 to 6
	Hard                    // over 6
	VeryHard                // over 10
)

// String returns the word for the grade.
func (r Reach) String() string { return [...]string{"economical", "slow", "hard", "very hard"}[r] }

// Ends of the grades of reach, depth over diameter, secondary table.
const (
	reachSlow     = 3
	reachHard     = 6
	reachVeryHard = 10
)

// CutterReach grades a depth for a cutter of diameter d.
//
// SOURCE: machining calculator pages.
func CutterReach(d, depth float64) Reach {
	switch ratio := depth / d; {
	case ratio < reachSlow:
		return Economical
	case ratio <= reachHard:
		return Slow
	case ratio <= reachVeryHard:
		return Hard
	}
	return VeryHard
}

// LeastFillet returns the fillet that a cutter of the given radius mills without stopping in the
// corner, mm.
func LeastFillet(radius float64) source.Value { return source.Practice(1.1 * radius) }

// FaceTolerance is what the forming faces of a tool are held to, plus-minus mm.
func FaceTolerance() source.Value { return source.Practice(0.05) }

// LocatingTolerance is that of faces and holes the tool is located by, plus-minus mm.
func LocatingTolerance() source.Value { return source.Practice(0.02) }
