package stack

import (
	"context"
	"math"
	"slices"

	"platen/toolgen/geom"
)

// hooked reports whether the other part is undercut over or under a place, and returns a lift at which the
// place is clear of it and of all below it.
func (r *pair) hooked(of Side, x geom.Vec3) (top float64, ok bool) {
	if of == Upper {
		return x.Z - r.upper.low + 1, holds(r.upper.hooks, r.at.back(x.Plan()))
	}
	return r.lower.high - x.Z + 1, holds(r.lower.hooks, r.at.Plan(x.Plan()))
}

func holds(boxes []geom.Box2, p geom.Vec2) bool {
	for _, b := range boxes {
		if b.Holds(p) {
			return true
		}
	}
	return false
}

const (
	leastFall = 0.01 // least step down beside an undercut, mm: no sheet is as thin
	beyond    = 0.5  // step where there is no sheet, mm
)

// fall follows a place down from where it is clear and returns the lift at which it first touches, if that
// is more than from. It goes by its gap at a time, which is how far it can go at least.
func (r *pair) fall(of Side, x geom.Vec3, from, top float64) (float64, bool) {
	clear := top
	for z := top; z > from; {
		g, _, ok := r.gap(of, x, z)
		switch {
		case !ok:
			clear = z
			z -= beyond
			continue
		case g > 0:
			clear = z
			z -= max(g, leastFall)
			continue
		}
		for clear-z > rootTol {
			mid := (clear + z) / 2
			if g, _, ok := r.gap(of, x, mid); ok && g < 0 {
				z = mid
			} else {
				clear = mid
			}
		}
		return clear, clear > from
	}
	return from, false
}

// pressStep is the step in which lifts below an undercut are tried, mm.
const pressStep = 0.05

// Pressed is where the upper part rests once it has been pressed past an undercut.
type Pressed struct {
	Lift float64 // mm
	Ok   bool    // an undercut carries it, and below that is room
}

// press looks for room below a lift at which an undercut is in the way: free is a lift at which nothing
// is, and from there the part goes down until something is again. Places are taken as they were looked
// at, and not climbed from.
func (r *pair) press(ctx context.Context, lift float64) Pressed {
	if len(r.lower.hooks)+len(r.upper.hooks) == 0 {
		return Pressed{}
	}
	var held []Touch
	plain := r.lower.low - r.upper.high - 1
	for _, of := range [...]Side{Upper, Under} {
		pts := r.own(of).points[of]
		for i := range pts {
			if i%1024 == 0 && ctx.Err() != nil {
				return Pressed{}
			}
			if _, hooked := r.hooked(of, pts[i].At); hooked {
				held = append(held, Touch{of: of, pt: pts[i]})
			} else if z, hit := r.lift(of, pts[i].At, plain); hit {
				plain = z
			}
		}
	}
	blocked := func(z float64) bool {
		return slices.ContainsFunc(held, func(t Touch) bool {
			g, _, ok := r.gap(t.of, t.pt.At, z)
			return ok && g < -buried
		})
	}
	free := math.NaN()
	for z := lift - pressStep; z > plain && ctx.Err() == nil; z -= pressStep {
		if !blocked(z) {
			free = z
			continue
		}
		if math.IsNaN(free) {
			continue
		}
		for free-z > rootTol {
			if mid := (free + z) / 2; blocked(mid) {
				z = mid
			} else {
				free = mid
			}
		}
		return Pressed{free, true}
	}
	if math.IsNaN(free) {
		return Pressed{}
	}
	return Pressed{plain, true}
}
