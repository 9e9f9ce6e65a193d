package outline

import "math"

// Between returns the shortest line from outline a to outline b, exact: Width 0 where they cross, and
// +Inf where they are farther apart than far. It does not tell which lies inside which.
func Between(a, b *Outline, far float64) Neck {
	best := Neck{Width: math.Inf(1)}
	within := b.Bounds().Grow(far)
	for _, e := range a.Elems {
		box := e.Bounds()
		if !box.Overlaps(within) {
			continue
		}
		b.overlapping(box.Grow(min(far, best.Width)), func(i int) bool {
			if c := gap(e, b.Elems[i]); c.d <= far && c.d < best.Width {
				best = Neck{c.d, c.a, c.b}
			}
			return true
		})
	}
	return best
}
