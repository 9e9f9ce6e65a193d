package shop

import (
	"fmt"
	"math"

	"platen/toolgen/source"
)

// ReachStraight is the depth over diameter that is drilled in one go.
func ReachStraight() source.Value { return source.Of(3, source.C, source.CalcPages) }

// ReachPeck is the depth over diameter that is drilled in pecks; beyond it, drill from both sides.
func ReachPeck() source.Value { return source.Of(8, source.C, source.CalcPages) }

// ReachVent is the depth over diameter planned for a vent, well inside ReachPeck: a thin drill
// wanders.
func ReachVent() source.Value { return source.Practice(5) }

// How is the way a hole is drilled.
type How uint8

// The ways to drill.
const (
	Straight  How = iota // one stroke, G81
	Pecked               // pecks with full retract, G83
	BackFirst            // too deep: a relief hole from the back must come first
)

// String returns the words for the way.
func (h How) String() string {
	return [...]string{"straight", "pecked", "back drill first"}[h]
}

// HowDeep returns the way to drill a hole of diameter d to a full-diameter depth.
func HowDeep(d, depth float64) How {
	switch {
	case depth <= ReachStraight().V*d+sizeSlack:
		return Straight
	case depth <= ReachPeck().V*d+sizeSlack:
		return Pecked
	}
	return BackFirst
}

// PeckDepth returns the peck of a drill of diameter d: one diameter below 1 mm, two from there.
func PeckDepth(d float64) source.Value {
	if d < 1 {
		return source.Practice(d)
	}
	return source.Practice(2 * d)
}

// Pecks returns the number of pecks q for a depth. It panics if q is not positive.
func Pecks(depth, q float64) int {
	if !(q > 0) {
		panic(fmt.Sprintf("shop: peck of %g mm", q))
	}
	return max(0, int(math.Ceil(depth/q-sizeSlack)))
}

// PeckPath returns the lengths a drill goes at feed and at rapid in a full-retract cycle: the feed
// is the depth; each peck but the last goes out and in again, the last goes out. Clearances are
// left out.
//
// SOURCE: derived: sum over i < n of 2 i q, plus the depth.
func PeckPath(depth, q float64) (feed, rapid float64) {
	n := Pecks(depth, q)
	if n == 0 {
		return 0, 0
	}
	return depth, q*float64(n*(n-1)) + depth
}

// Skin returns the solid that a vent of diameter d is drilled through, between the face and its
// back drill: five diameters, not under 3 mm unless that takes more than eight, not over 5 mm.
func Skin(d float64) source.Value {
	const thin, thick = 3.0, 5.0
	v := min(max(ReachVent().V*d, thin), ReachPeck().V*d, thick)
	return source.Of(v, source.M, "3 to 5 mm, at most 8 diameters")
}

// BackDrill returns the diameter of the relief hole behind a vent of diameter d: eight diameters,
// from 3 to 8 mm.
func BackDrill(d float64) source.Value {
	const times, least, most = 8, 3.0, 8.0
	return source.Of(min(max(times*d, least), most), source.M, "3 to 8 mm, about 6 to 10 diameters")
}

// BackDrillEdge returns the distance to keep from the axis of a back drill of diameter d to a wall
// or the tool's edge: its diameter and 1.5 mm.
func BackDrillEdge(d float64) source.Value { return source.Practice(d + 1.5) }
