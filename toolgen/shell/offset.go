package shell

import (
	"math"

	"platen/toolgen/geom"
)

// offsets sets the free side off by the wall along the normals; on the cut edge straight up, so that
// both sides end on the trim line.
func (s *maker) offsets() {
	s.normal = make([]geom.Vec3, len(s.v))
	for _, t := range s.tri {
		n := s.spin(t)
		for _, i := range t {
			s.normal[i] = s.normal[i].Add(n)
		}
	}
	s.off = make([]geom.Vec3, len(s.v))
	up := s.up()
	for i := range s.v {
		s.normal[i] = s.normal[i].Unit()
		s.off[i] = s.normal[i].Scale(s.wall[i])
		if s.rim[i] {
			s.off[i] = up.Scale(s.wall[i] / max(levelEnough, s.normal[i].Dot(up)))
		}
	}
}

// spin returns the normal of a triangle times twice its area.
func (s *maker) spin(t [3]int32) geom.Vec3 {
	a := s.v[t[0]]
	return s.v[t[1]].Sub(a).Cross(s.v[t[2]].Sub(a))
}

const (
	// leastSpin is the least area of a triangle of the free side, and half way to it, as a share of
	// that of the contact side: below it, the sides of a hollow are about to cross.
	leastSpin = 0.05
	// smoothings are the rounds in which offsets are evened out before they are cut short.
	smoothings = 60
	shortcuts  = 60
	shorter    = 0.85
)

// folded reports whether the prism over a triangle turns over on its way to the free side.
func (s *maker) folded(t [3]int32) bool {
	n := s.spin(t)
	least := leastSpin * n.Dot(n)
	for _, h := range [...]float64{1, 0.5} {
		a := s.v[t[0]].Add(s.off[t[0]].Scale(h))
		b := s.v[t[1]].Add(s.off[t[1]].Scale(h))
		c := s.v[t[2]].Add(s.off[t[2]].Scale(h))
		if !(b.Sub(a).Cross(c.Sub(a)).Dot(n) > least) {
			return true
		}
	}
	return false
}

// untangle evens out the offsets where the free side would fold over itself, in hollows tighter than
// the wall, and cuts them short where that does not help.
func (s *maker) untangle() {
	watch := make([]int32, len(s.tri))
	for k := range watch {
		watch[k] = int32(k)
	}
	for round := range smoothings + shortcuts {
		bad := s.listFolded(watch)
		if len(bad) == 0 {
			return
		}
		verts := s.ring(bad)
		if round < smoothings {
			verts = s.ring(s.trianglesOf(verts))
			s.smooth(verts)
		} else {
			s.shorten(verts)
		}
		watch = s.trianglesOf(verts)
	}
}

func (s *maker) listFolded(watch []int32) []int32 {
	flag := make([]bool, len(watch))
	each(len(watch), func(k int) { flag[k] = s.folded(s.tri[watch[k]]) })
	var bad []int32
	for k, f := range flag {
		if f {
			bad = append(bad, watch[k])
		}
	}
	return bad
}

// ring returns the vertices of triangles, each once, in order of first use.
func (s *maker) ring(tris []int32) []int32 {
	seen := map[int32]bool{}
	var out []int32
	for _, k := range tris {
		for _, i := range s.tri[k] {
			if !seen[i] {
				seen[i] = true
				out = append(out, i)
			}
		}
	}
	return out
}

// trianglesOf returns the triangles around vertices, each once.
func (s *maker) trianglesOf(verts []int32) []int32 {
	seen := map[int32]bool{}
	var out []int32
	for _, i := range verts {
		for _, k := range s.around[s.first[i]:s.first[i+1]] {
			if !seen[k] {
				seen[k] = true
				out = append(out, k)
			}
		}
	}
	return out
}

// smooth moves the offsets of vertices half way to the mean of their neighbours'.
func (s *maker) smooth(verts []int32) {
	next := make([]geom.Vec3, len(verts))
	for k, i := range verts {
		sum, n := geom.Vec3{}, 0.0
		for _, t := range s.around[s.first[i]:s.first[i+1]] {
			for _, j := range s.tri[t] {
				if j != i {
					sum = sum.Add(s.off[j])
					n++
				}
			}
		}
		next[k] = s.off[i].Scale(0.5).Add(sum.Scale(0.5 / n))
	}
	for k, i := range verts {
		if !s.rim[i] {
			s.off[i] = next[k]
		}
	}
}

// shorten cuts offsets short; none below a share of its wall.
func (s *maker) shorten(verts []int32) {
	for _, i := range verts {
		if o := s.off[i].Scale(shorter); o.Norm() >= thinnest*s.wall[i] {
			s.off[i] = o
		}
	}
}

// thinnest is the least wall of the shell as a share of the sheet's.
const thinnest = 0.02

// thinned measures where the free side stands off by less than the wall.
func (s *maker) thinned() Thinned {
	var out Thinned
	for i := range s.v {
		if s.rim[i] {
			continue
		}
		if lack := s.wall[i] - s.off[i].Dot(s.normal[i]); lack > out.Most {
			out.Most, out.At = lack, s.v[i]
		}
	}
	for _, t := range s.tri {
		short := false
		for _, i := range t {
			short = short || !s.rim[i] && s.off[i].Dot(s.normal[i]) < (1-tenth)*s.wall[i]
		}
		if short {
			out.Area += s.spin(t).Norm() / 2
		}
	}
	out.Most = math.Max(0, out.Most)
	return out
}

// tenth is the lack from which area counts as thinned.
const tenth = 0.1
