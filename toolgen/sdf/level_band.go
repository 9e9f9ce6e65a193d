package sdf

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// probe is the step along outlines at which members are compared, mm.
const probe = 0.5

// around returns points along an outline moved outward by m, at most step apart on the outline.
func around(o *outline.Outline, m, step float64) []geom.Vec2 {
	var qs []geom.Vec2
	for _, e := range o.Elems {
		n := max(1, int(math.Ceil(e.Length()/step)))
		for i := range n {
			t := float64(i) / float64(n)
			qs = append(qs, e.Point(t).Add(e.Out(t).Scale(m)))
		}
	}
	return qs
}

// meet reports whether two outlines, moved outward by ma and mb, share an area.
func meet(a *outline.Outline, ma float64, b *outline.Outline, mb float64) bool {
	if !a.Bounds().Grow(max(ma, 0)).Overlaps(b.Bounds().Grow(max(mb, 0))) {
		return false
	}
	for _, q := range around(a, ma, probe) {
		if b.At(q).D < mb-sameLevel {
			return true
		}
	}
	for _, q := range around(b, mb, probe) {
		if a.At(q).D < ma-sameLevel {
			return true
		}
	}
	return false
}

// tangent returns the length that a rounding of radius 1 takes off a level where it meets a wall.
func tangent(draft geom.Angle) float64 { return ((90*geom.Degree - draft) / 2).Tan() }

// bands returns the strips of plan that the members' walls take.
func (l *layout) bands() []band {
	low := l.top
	for _, m := range l.members {
		low = min(low, m.Wall.End)
	}
	var bs []band
	for i, m := range l.members {
		w := m.Wall
		k := tangent(w.Draft)
		b := band{outline: m.Outline, box: m.Outline.Bounds(), lo: w.D(w.End) - k*w.EndR, reach: math.Inf(-1)}
		switch {
		case !w.Raised():
			// A child that sticks out ends at this wall, prolonged down to the child's floor.
			b.lo = w.D(l.deepest(i)) - k*w.EndR
			b.hi = w.D(w.Host) + k*w.HostR
			if m.Host < 0 {
				b.reach = b.hi
			}
		case math.IsInf(l.clip[i], 1):
			b.hi = w.D(min(low, w.Host)) + k*w.HostR
			if w.End > l.top {
				b.reach = w.D(l.top) + k*w.HostR
			}
		default:
			b.hi = max(w.D(w.Host)+k*w.HostR, l.clip[i]+w.HostR)
			if w.End > l.top {
				b.reach = min(w.D(l.top)+k*w.HostR, l.clip[i]+w.HostR)
			}
		}
		bs = append(bs, b)
	}
	return bs
}

// box returns the box that holds the strips between the lowest and the highest level.
func (l *layout) box(bs []band) geom.Box3 {
	plan, lo, hi := geom.EmptyBox2(), l.top, l.top
	for i, m := range l.members {
		plan = plan.Join(m.Outline.Bounds().Grow(max(0, bs[i].hi)))
		lo, hi = min(lo, m.Wall.End), max(hi, m.Wall.End)
	}
	return plan.Up(lo, hi)
}
