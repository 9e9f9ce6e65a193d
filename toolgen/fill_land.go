package toolgen

import (
	"math"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/layout"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// land is what a feature is laid out on.
type land struct {
	part   *part.Part // with the feature alone, at its origin
	trim   *outline.Outline
	room   geom.Vec2 // about its middle, within the flange and off the sides of a tote
	flange float64
	cell   geom.Box2 // of the feature's opening
	taken  []geom.Box2
}

// choose packs the room and keeps what lies clear. Where something stands in the way the plain grids may keep more
// than the best packing of the empty room, and either may keep more beside a side of the room than in its middle.
func (f *Filled) choose(l *land, turn bool) (best [2][]geom.Vec2, err error) {
	asks := []layout.Ask{{Room: l.room, Cell: f.Cell, Gap: f.Land, Turn: turn}, {Room: l.room, Cell: f.Cell, Gap: f.Land}}
	if turn {
		asks = append(asks, layout.Ask{Room: l.room, Cell: geom.Vec2{X: f.Cell.Y, Y: f.Cell.X}, Gap: f.Land})
	}
	most := -1
	for i, a := range asks {
		packed, err := layout.Pack(a)
		if err != nil {
			return best, err
		}
		if i == 0 {
			f.Grid = packed.Grid
		}
		if len(packed.Places) <= most {
			continue
		}
		for _, by := range aligned(a, packed) {
			var keep [2][]geom.Vec2
			for _, q := range packed.Places {
				q.Middle = q.Middle.Add(by)
				q.Turned = q.Turned != (i == 2)
				turn, at := placed(l.cell, l.trim.Bounds().Centre(), q)
				if !l.clear(turn, at) {
					continue
				}
				k := 0
				if q.Turned {
					k = 1
				}
				keep[k] = append(keep[k], at)
			}
			if n := len(keep[0]) + len(keep[1]); n > most {
				most, best, f.LeftOut = n, keep, len(packed.Places)-n
			}
		}
	}
	return best, nil
}

// aligned returns the moves of a packing that keep it in its room: none, to a side, into a corner.
func aligned(a layout.Ask, p layout.Packing) []geom.Vec2 {
	box := geom.EmptyBox2()
	for _, q := range p.Places {
		half := a.Cell.Scale(0.5)
		if q.Turned {
			half = geom.Vec2{X: half.Y, Y: half.X}
		}
		box = box.Hold(q.Middle.Sub(half)).Hold(q.Middle.Add(half))
	}
	out := []geom.Vec2{{}}
	if len(p.Places) == 0 {
		return out
	}
	slack := a.Room.Sub(box.Size()).Scale(0.5)
	for _, d := range [...][2]float64{{-1, 0}, {1, 0}, {0, -1}, {0, 1}, {-1, -1}, {1, -1}, {-1, 1}, {1, 1}} {
		out = append(out, geom.Vec2{X: d[0] * slack.X, Y: d[1] * slack.Y})
	}
	return out
}

// placed returns the further turn of a place, and where the feature's origin comes to lie.
func placed(cell geom.Box2, middle geom.Vec2, q layout.Place) (turn geom.Affine, at geom.Vec2) {
	turn = geom.Turned(0)
	if q.Turned {
		turn = geom.Turned(90 * geom.Degree)
	}
	return turn, middle.Add(q.Middle).Sub(turn.Point(cell.Centre()))
}

// clear reports whether a place keeps the flange and lies off what is there.
func (l *land) clear(turn geom.Affine, at geom.Vec2) bool {
	for _, f := range l.part.Features {
		if f.Parent != nil {
			continue
		}
		box := geom.EmptyBox2()
		r := reach(f)
		for _, e := range f.Outline.Elems {
			for _, t := range [...]float64{0, 0.25, 0.5, 0.75} {
				q := turn.Point(e.Point(t)).Add(at)
				box = box.Hold(q)
				if l.trim.At(q).D > -l.flange-r+1e-6 {
					return false
				}
			}
		}
		box = box.Grow(r - 1e-6)
		for _, b := range l.taken {
			if b.Overlaps(box) {
				return false
			}
		}
	}
	return true
}

// setOf tells the places of a feature, as a grid where they are one.
func setOf(it *job.Item, name string) Set {
	s := Set{Name: name, Turn: it.Turn.Degrees(), Places: it.Places}
	var xs, ys []float64
	for _, p := range it.Places {
		if !slices.ContainsFunc(xs, func(x float64) bool { return math.Abs(x-p.X) < 1e-5 }) {
			xs = append(xs, p.X)
		}
		if !slices.ContainsFunc(ys, func(y float64) bool { return math.Abs(y-p.Y) < 1e-5 }) {
			ys = append(ys, p.Y)
		}
	}
	px, okx := even(xs)
	py, oky := even(ys)
	if okx && oky && len(xs)*len(ys) == len(it.Places) {
		s.Grid, s.Pitch = &[2]int{len(xs), len(ys)}, geom.Vec2{X: px, Y: py}
		s.At = geom.Vec2{X: (slices.Min(xs) + slices.Max(xs)) / 2, Y: (slices.Min(ys) + slices.Max(ys)) / 2}
	}
	return s
}

// even returns the pitch of values that stand at one.
func even(v []float64) (float64, bool) {
	slices.Sort(v)
	if len(v) < 2 {
		return 0, true
	}
	pitch := (v[len(v)-1] - v[0]) / float64(len(v)-1)
	for i, x := range v {
		if math.Abs(v[0]+float64(i)*pitch-x) > 1e-5 {
			return 0, false
		}
	}
	return pitch, true
}
