package form

import (
	"math"
	"slices"

	"platen/toolgen/geom"
)

// A bubble is smooth: it is blown and carried to the tool on a mesh of larger squares, which takes fewer and
// longer steps. The mesh becomes what was asked where the tool is near, and all over before the vacuum.
const (
	bubbleAcross = 30 // squares at least across the smaller side of the frame
	mostCoarser  = 4
)

// coarser makes the squares of the first mesh as much larger as a bubble bears.
func (s *sim) coarser() {
	size := s.set.Frame.Size()
	s.squares = s.opt.Mesh
	for k := 2.0; k <= mostCoarser && min(size.X, size.Y)/s.squares >= bubbleAcross*k; k *= 2 {
		s.opt.Mesh = k * s.squares
	}
}

// grade splits the first mesh where Options.Fine asks for smaller squares: a narrow opening needs as many
// across it as a wide one. What it splits counts as the first mesh.
func (s *sim) grade() {
	if s.opt.Fine == nil || s.squares > 0 {
		return
	}
	s.laying = true
	s.splitWide()
	s.laying = false
	s.active = s.active[:0]
}

// finer makes the first mesh what was asked, all over.
func (s *sim) finer() {
	if s.squares == 0 {
		return
	}
	listed, known := len(s.active), int32(len(s.tris))
	s.splitWide()
	s.squares = 0
	s.order(listed, known)
	s.rebuild()
}

// splitWide bisects triangles until none is wide. They count as the first mesh then.
func (s *sim) splitWide() {
	for again := true; again; {
		again = false
		for k, n := int32(0), int32(len(s.tris)); k < n; k++ {
			if s.wide(k) {
				s.bisect(k)
				again = true
			}
		}
	}
	finest := math.Inf(1)
	for k := range s.tris {
		t := &s.tris[k]
		t.level = 0
		if s.laying {
			t.parent, t.listed, t.sound = -1, false, 0
		}
		finest = min(finest, s.square(t))
	}
	s.limit = moveShare * finest
	s.stall = stallShare * finest
}

// wide reports whether a triangle is half of a larger square than is wanted anywhere about it.
func (s *sim) wide(k int32) bool {
	t := &s.tris[k]
	size := s.square(t) * (1 - 1e-9)
	if s.squares > 0 && size > s.squares {
		return true
	}
	if s.opt.Fine == nil || size <= gradeLeast {
		return false
	}
	a, b, c := s.flat[t.n[0]], s.flat[t.n[1]], s.flat[t.n[2]]
	return slices.ContainsFunc([]geom.Vec2{a.Add(b).Scale(0.5), a, b, c}, func(p geom.Vec2) bool { return size > s.opt.Fine(p) })
}

// square returns the side of the square that a triangle is half of, on the flat sheet.
func (s *sim) square(t *triangle) float64 {
	return s.flat[t.n[1]].Sub(s.flat[t.n[0]]).Norm() / math.Sqrt2
}

// gradeLeast is the square under which grade splits none, whatever is asked, mm.
const gradeLeast = 0.1
