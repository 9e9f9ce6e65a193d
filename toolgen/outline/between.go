package outline

import (
	"math"

	"platen/toolgen/geom"
)

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

// beyondStep is how close Beyond comes to the truth, mm.
const beyondStep = 0.002

// Beyond returns the greatest signed distance from host of any point of o, positive where o sticks out
// of host, at most 0.002 mm below the truth, and the place.
func (o *Outline) Beyond(host *Outline) (most float64, at geom.Vec2) {
	most = math.Inf(-1)
	look := func(q geom.Vec2) float64 {
		d := host.At(q).D
		if d > most {
			most, at = d, q
		}
		return d
	}
	var walk func(e Elem, t0, t1 float64)
	walk = func(e Elem, t0, t1 float64) {
		mid := (t0 + t1) / 2
		// Distance has slope 1: nothing on the stretch lies farther than half its length more.
		if look(e.Point(mid))+e.Length()*(t1-t0)/2 <= most+beyondStep {
			return
		}
		walk(e, t0, mid)
		walk(e, mid, t1)
	}
	for _, e := range o.Elems {
		look(e.A)
		walk(e, 0, 1)
	}
	return most, at
}
