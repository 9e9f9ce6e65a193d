package formula

import "platen/toolgen/geom"

// NestPitch returns the rise from part to part of a nest of even walls: wall / sin(draft), the wall
// measured across itself.
//
// SOURCE: derived: two like walls touch when one is lifted by it.
func NestPitch(wall float64, draft geom.Angle) float64 { return wall / draft.Sin() }

// NestHeight returns the height of n nested parts of one height.
func NestHeight(n int, pitch, height float64) float64 {
	if n == 0 {
		return 0
	}
	return float64(n-1)*pitch + height
}

// BreakEven returns the number of parts at which two ways cost the same, from fixed cost and cost a
// part of each: (fixed2 - fixed1) / (each1 - each2). It is negative where one way is always cheaper
// and infinite where the parts cost the same.
//
// SOURCE: derived.
func BreakEven(fixed1, each1, fixed2, each2 float64) float64 {
	return (fixed2 - fixed1) / (each1 - each2)
}
