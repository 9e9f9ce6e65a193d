package layout

import (
	"cmp"
	"slices"

	"platen/toolgen/geom"
)

// block is a rectangle of the room.
type block struct{ at, size geom.Vec2 }

// five returns the five blocks of the best packing that is no sequence of cuts from side to side, four that go
// round a middle one, nil where none holds more than most.
//
// SOURCE: the five-block layout of pallet loading: E. E. Bischoff, W. B. Dowsland, An application of the micro
// to product design and distribution, J. Operational Research Society 33, 1982 (from memory).
func (p *packer) five(w, h float64, most int) []block {
	nx, ny := len(p.xs), len(p.ys)
	if nx > mostFive || ny > mostFive {
		return nil
	}
	count := func(size geom.Vec2) int {
		if size.X < -tiny || size.Y < -tiny {
			return 0
		}
		return p.best(below(p.xs, size.X), below(p.ys, size.Y)).count
	}
	var best []block
	// Left below from 0 to x1, y1; right below from x1 to the side, to y2 above y1; right above from x2 to the
	// side; left above from 0 to x2. With x1 < x2 and y2 < y1 the middle lies between.
	for _, x1 := range p.xs[1:] {
		for _, x2 := range p.xs[1:] {
			if x1 == x2 || x1 > w+tiny || x2 > w+tiny {
				continue
			}
			for _, y1 := range p.ys[1:] {
				for _, y2 := range p.ys[1:] {
					if (x1 < x2) == (y1 < y2) || y1 == y2 {
						continue
					}
					five := pinwheel(w, h, x1, x2, y1, y2)
					n := 0
					for _, b := range five {
						n += count(b.size)
					}
					if n > most {
						most, best = n, five
					}
				}
			}
		}
	}
	return best
}

// pinwheel returns the blocks of a room: left below to (x1, y1), right below from x1 to y2, left above to x2
// from y1, right above from (x2, y2), and the middle. Either x1 < x2 and y1 > y2, or the other way round.
func pinwheel(w, h, x1, x2, y1, y2 float64) []block {
	return []block{
		{geom.Vec2{}, geom.Vec2{X: x1, Y: y1}},
		{geom.Vec2{X: x1}, geom.Vec2{X: w - x1, Y: y2}},
		{geom.Vec2{Y: y1}, geom.Vec2{X: x2, Y: h - y1}},
		{geom.Vec2{X: x2, Y: y2}, geom.Vec2{X: w - x2, Y: h - y2}},
		{geom.Vec2{X: min(x1, x2), Y: min(y1, y2)}, geom.Vec2{X: max(x1, x2) - min(x1, x2), Y: max(y1, y2) - min(y1, y2)}},
	}
}

// distinct returns the values sorted, those alike but for rounding once; nil for more than mostSteps.
func distinct(v []float64) []float64 {
	slices.Sort(v)
	v = slices.CompactFunc(v, func(a, b float64) bool { return max(a-b, b-a) < tiny })
	if len(v) > mostSteps {
		return nil
	}
	return v
}

// byRows sorts places from the least Y, and in a row from the least X.
func byRows(p []Place) {
	slices.SortFunc(p, func(a, b Place) int {
		return cmp.Or(cmp.Compare(a.Middle.Y, b.Middle.Y), cmp.Compare(a.Middle.X, b.Middle.X))
	})
}
