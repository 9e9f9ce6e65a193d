package contour

import "platen/toolgen/geom"

// surf is a triangle surface with explicit half-edges: half-edge 3t+k runs from corner k of
// triangle t to the next. opp is the half-edge the other way, or -1 on the border of the region.
type surf struct {
	p    []geom.Vec3
	g    []geom.Vec3 // gradient of the field
	lev  []int8      // level plane the vertex lies on, bitwise; or off
	rim  []bool      // on the line where its level ends
	lock []bool      // on the border of the region

	t    [][3]int32
	opp  []int32
	dead []bool  // removed triangles
	out  []int32 // a half-edge that leaves the vertex; -1: vertex removed
}

func (s *surf) add(p, g geom.Vec3, k int8) int32 {
	s.p, s.g = append(s.p, p), append(s.g, g)
	s.lev, s.rim, s.lock = append(s.lev, k), append(s.rim, false), append(s.lock, false)
	s.out = append(s.out, -1)
	return int32(len(s.p) - 1)
}

func next(h int32) int32 {
	if h%3 == 2 {
		return h - 2
	}
	return h + 1
}

func prev(h int32) int32 {
	if h%3 == 0 {
		return h + 2
	}
	return h - 1
}

func (s *surf) from(h int32) int32 { return s.t[h/3][h%3] }
func (s *surf) to(h int32) int32   { return s.t[h/3][next(h)%3] }
func (s *surf) apex(h int32) int32 { return s.t[h/3][prev(h)%3] }

// level returns the level plane a triangle lies in, or off.
func (s *surf) level(t int32) int8 {
	v := s.t[t]
	if k := s.lev[v[0]]; k == s.lev[v[1]] && k == s.lev[v[2]] {
		return k
	}
	return off
}

// isRim reports whether half-edge h separates a level triangle from another.
func (s *surf) isRim(h int32) bool {
	o := s.opp[h]
	return o >= 0 && s.level(h/3) != s.level(o/3)
}

// star appends the half-edges that leave v, counter-clockwise; whole is false at a border, where
// the fan may start anywhere.
func (s *surf) star(v int32, buf []int32) (hs []int32, whole bool) {
	h0 := s.out[v]
	for h := h0; ; {
		buf = append(buf, h)
		h = s.opp[prev(h)]
		if h == h0 {
			return buf, true
		}
		if h < 0 {
			break
		}
	}
	for h := s.opp[h0]; h >= 0; h = s.opp[h] {
		h = next(h)
		buf = append(buf, h)
	}
	return buf, false
}

// find returns the half-edge from u to v, or -1.
func (s *surf) find(u, v int32) int32 {
	if s.out[u] < 0 {
		return -1
	}
	var buf [64]int32
	hs, _ := s.star(u, buf[:0])
	for _, h := range hs {
		if s.to(h) == v {
			return h
		}
	}
	return -1
}

func (s *surf) link(a, b int32) {
	if a >= 0 {
		s.opp[a] = b
	}
	if b >= 0 {
		s.opp[b] = a
	}
}

func (s *surf) addTri(a, b, c int32) int32 {
	s.t = append(s.t, [3]int32{a, b, c})
	s.opp = append(s.opp, -1, -1, -1)
	s.dead = append(s.dead, false)
	return int32(len(s.t) - 1)
}

// split puts vertex m on the edge of half-edge h, which must have a partner, and returns the two
// new triangles.
func (s *surf) split(h, m int32) (int32, int32) {
	o := s.opp[h]
	v, a, b := s.to(h), s.apex(h), s.apex(o)
	hn, on := s.opp[next(h)], s.opp[prev(o)] // beyond v-a and b-v
	// (u,v,a) becomes (u,m,a) and (m,v,a); (v,u,b) becomes (m,u,b) and (v,m,b).
	s.t[h/3][next(h)%3] = m
	s.t[o/3][o%3] = m
	n1, n2 := s.addTri(m, v, a), s.addTri(v, m, b)
	s.link(3*n1, 3*n2)
	s.link(3*n1+1, hn)
	s.link(3*n1+2, next(h))
	s.link(3*n2+1, prev(o))
	s.link(3*n2+2, on)
	s.out[m] = 3 * n1
	s.out[v] = 3 * n2
	s.out[a], s.out[b] = prev(h), prev(o)
	return n1, n2
}

// insert puts vertex m into triangle t and returns the two new triangles.
func (s *surf) insert(t, m int32) (int32, int32) {
	a, b, c := s.t[t][0], s.t[t][1], s.t[t][2]
	bc, ca := s.opp[3*t+1], s.opp[3*t+2]
	s.t[t][2] = m
	n1, n2 := s.addTri(b, c, m), s.addTri(c, a, m)
	s.link(3*n1, bc)
	s.link(3*n2, ca)
	s.link(3*t+1, 3*n1+2)
	s.link(3*n1+1, 3*n2+2)
	s.link(3*n2+1, 3*t+2)
	s.out[a], s.out[b], s.out[c], s.out[m] = 3*t, 3*n1, 3*n2, 3*t+2
	return n1, n2
}

// flip turns the edge of h to join the two opposite vertices.
func (s *surf) flip(h int32) {
	o := s.opp[h]
	u, v, a, b := s.from(h), s.to(h), s.apex(h), s.apex(o)
	va, au := s.opp[next(h)], s.opp[prev(h)]
	ub, bv := s.opp[next(o)], s.opp[prev(o)]
	t1, t2 := h/3, o/3
	s.t[t1], s.t[t2] = [3]int32{u, b, a}, [3]int32{v, a, b}
	s.link(3*t1, ub)
	s.link(3*t1+1, 3*t2+1)
	s.link(3*t1+2, au)
	s.link(3*t2, va)
	s.link(3*t2+2, bv)
	s.out[u], s.out[v], s.out[a], s.out[b] = 3*t1, 3*t2, 3*t1+2, 3*t2+2
}

// collapse moves u onto its neighbour v along half-edge h (u to v), removing two triangles.
func (s *surf) collapse(h int32, star []int32) {
	o := s.opp[h]
	u, v, a, b := s.from(h), s.to(h), s.apex(h), s.apex(o)
	for _, g := range star {
		s.t[g/3][g%3] = v
	}
	va, au := s.opp[next(h)], s.opp[prev(h)]
	ub, bv := s.opp[next(o)], s.opp[prev(o)]
	s.link(va, au)
	s.link(ub, bv)
	s.dead[h/3], s.dead[o/3] = true, true
	s.out[u] = -1
	s.out[v], s.out[a], s.out[b] = au, next(au), ub
}
