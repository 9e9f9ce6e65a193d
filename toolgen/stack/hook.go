package stack

import "platen/toolgen/geom"

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
