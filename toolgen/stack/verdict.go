package stack

import (
	"math"

	"platen/toolgen/geom"
)

// Locks is the slope from the vertical below which sides that are pressed together hold each other by
// friction: a friction of 0.36. From memory, unverified: plastics on themselves have 0.2 to 0.5.
const Locks = 20 * geom.Degree

// steep reports whether sides that touch at a place lock.
func (p Point) steep() bool { return math.Abs(p.Out.Z) < Locks.Sin() }

// Level is the slope from which a place carries like a level one.
const Level = 60 * geom.Degree

// Wedge returns the highest place where sides steep enough to lock touch; ok is false where none do
// within a few millimetres below the lift.
func (r *Rest) Wedge() (Peak, bool) {
	for _, p := range r.Peaks {
		if p.Slope < Locks {
			return p, true
		}
	}
	return Peak{}, false
}

// Jams reports whether the parts come to rest on sides that lock.
func (r *Rest) Jams() bool { return len(r.Peaks) > 0 && r.Peaks[0].Slope < Locks }

// Margin returns how far above the lift at which sides would lock the parts rest, mm; infinite where none
// come near, and 0 where they jam.
func (r *Rest) Margin() float64 {
	if p, ok := r.Wedge(); ok {
		return r.Lift - p.Lift
	}
	return math.Inf(1)
}

// Carrying returns the peaks that carry: those within Give of how the part settles.
func (r *Rest) Carrying() []Peak {
	var out []Peak
	for i, p := range r.Peaks {
		if i == 0 || p.Lift >= r.Settled.At(p.At.Plan())-Give {
			out = append(out, p)
		}
	}
	return out
}

// StackHeight returns the height of n parts one on another.
func (r *Rest) StackHeight(n int) float64 {
	if n < 1 {
		return 0
	}
	return float64(n-1)*r.Lift + r.Lower.Height()
}

// Tall returns the height of both parts over all.
func (r *Rest) Tall() float64 {
	return max(r.Lower.high, r.Upper.high+r.Lift) - min(r.Lower.low, r.Upper.low+r.Lift)
}

// Fits returns how many parts fit an inner height, mm.
func (r *Rest) Fits(inner float64) int {
	if inner < r.Lower.Height() {
		return 0
	}
	if r.Lift <= 0 {
		return 1
	}
	return 1 + int((inner-r.Lower.Height())/r.Lift+1e-9)
}
