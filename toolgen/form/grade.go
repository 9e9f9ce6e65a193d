package form

import (
	"math"
	"slices"

	"platen/toolgen/geom"
)

// grade splits the first mesh where Options.Fine asks for smaller squares: a narrow opening needs as many
// across it as a wide one. What it splits counts as the first mesh.
func (s *sim) grade() {
	if s.opt.Fine == nil {
		return
	}
	s.laying = true
	for again := true; again; {
		again = false
		for k, n := int32(0), int32(len(s.tris)); k < n; k++ {
			if s.wide(k) {
				s.bisect(k)
				again = true
			}
		}
	}
	s.laying = false
	s.active = s.active[:0]
	for k := range s.tris {
		t := &s.tris[k]
		t.parent, t.level, t.listed, t.sound = -1, 0, false, 0
	}
	finest := math.Inf(1)
	for k := range s.tris {
		finest = min(finest, s.square(&s.tris[k]))
	}
	s.limit = moveShare * finest
	s.stall = stallShare * finest
}

// wide reports whether a triangle is half of a larger square than is wanted anywhere about it.
func (s *sim) wide(k int32) bool {
	t := &s.tris[k]
	a, b, c := s.flat[t.n[0]], s.flat[t.n[1]], s.flat[t.n[2]]
	size := s.square(t) * (1 - 1e-9)
	return size > gradeLeast && slices.ContainsFunc([]geom.Vec2{a.Add(b).Scale(0.5), a, b, c}, func(p geom.Vec2) bool { return size > s.opt.Fine(p) })
}

// square returns the side of the square that a triangle is half of, on the flat sheet.
func (s *sim) square(t *triangle) float64 {
	return s.flat[t.n[1]].Sub(s.flat[t.n[0]]).Norm() / math.Sqrt2
}

// gradeLeast is the square under which grade splits none, whatever is asked, mm.
const gradeLeast = 0.1
