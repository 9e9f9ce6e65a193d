package body

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// gapStep is the length below which an outline element is taken as its middle point when gaps are
// measured, mm.
const gapStep = 0.02

// clusters groups the solids that must be rounded together: whose regions touch, or that do not fit
// within the level they lie on. The result names the group of every solid by its first member.
func (b *Body) clusters() []int {
	group := make([]int, len(b.Solids))
	for i := range group {
		group[i] = i
	}
	root := func(i int) int {
		for group[i] != i {
			i = group[i]
		}
		return i
	}
	join := func(i, j int) {
		i, j = root(i), root(j)
		group[max(i, j)] = min(i, j)
	}
	index := map[any]int{}
	reach := make([]float64, len(b.Solids))
	inner := make([]float64, len(b.Solids))
	boxes := make([]geom.Box2, len(b.Solids))
	for i, s := range b.Solids {
		index[s.Feature] = i
		p, _ := s.Wall.Profile()
		reach[i], inner[i] = p.Reach(), p.Inner()
		boxes[i] = s.Outline.Bounds().Grow(max(0, reach[i]))
	}
	for i, s := range b.Solids {
		for j := range i {
			t := b.Solids[j]
			switch {
			case !boxes[i].Overlaps(boxes[j]):
			case lies(s, t):
				// An ancestor: only its level counts. A grandchild may reach past its parent's.
				if pokes(s.Outline, t.Outline, inner[j]-reach[i]) {
					join(i, j)
				}
			case touch(s.Outline, t.Outline, reach[i]+reach[j]):
				join(i, j)
			}
		}
	}
	for i := range group {
		group[i] = root(i)
	}
	return group
}

// lies reports whether s lies on t, directly or through others.
func lies(s, t *Solid) bool {
	for p := s.Parent; p != nil; p = p.Parent {
		if p == t.Feature {
			return true
		}
	}
	return false
}

// pokes reports whether some point of o lies further out than level in host's distance.
func pokes(o, host *outline.Outline, level float64) bool {
	for _, e := range o.Elems {
		if anyPoint(e, 0, 1, func(p geom.Vec2) float64 { return level - host.At(p).D }) {
			return true
		}
	}
	return false
}

// touch reports whether a and b come closer than gap, or one lies inside the other.
func touch(a, b *outline.Outline, gap float64) bool {
	for _, e := range a.Elems {
		if anyPoint(e, 0, 1, func(p geom.Vec2) float64 { return b.At(p).D - gap }) {
			return true
		}
	}
	return a.At(b.Elems[0].A).D < gap
}

// anyPoint reports whether f, a function of slope at most 1, falls below zero on the element between
// the parameters t0 and t1.
func anyPoint(e outline.Elem, t0, t1 float64, f func(geom.Vec2) float64) bool {
	mid := (t0 + t1) / 2
	v, half := f(e.Point(mid)), e.Length()*(t1-t0)/2
	switch {
	case v < 0:
		return true
	case v > half || half < gapStep/2:
		return false
	}
	return anyPoint(e, t0, mid, f) || anyPoint(e, mid, t1, f)
}

// rootLimit is the least rounding of features that cross, mm.
const rootLimit = 0.3

// smallest returns the smallest value that is not below the limit for crossing features, and whether
// the values differ.
func smallest(vs []float64) (float64, bool) {
	lo, hi := math.Inf(1), 0.0
	for _, v := range vs {
		lo, hi = min(lo, v), max(hi, v)
	}
	return max(lo, rootLimit), hi-lo > 1e-9 || lo < rootLimit
}
