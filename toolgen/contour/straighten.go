package contour

import (
	"math"
	"slices"
)

// straighten looks for triangles that turn against the surface and turns one of their edges or moves
// one of their corners onto a neighbour, as long as what comes of it is within tolerance. It returns
// the triangles changed.
func (r *run) straighten() ([]int32, error) {
	s := r.s
	turned := make([]bool, len(s.t))
	err := r.each(len(s.t), splitChunk, func(p *probe, lo, hi int) {
		for t := int32(lo); t < int32(hi); t++ {
			if !s.dead[t] && s.level(t) == off {
				n := s.cross(s.t[t])
				turned[t] = !(n.Dot(p.at(s.middle(t)).G) >= facingFinal*n.Norm())
			}
		}
	})
	if err != nil {
		return nil, err
	}
	p := newProbe(r.f)
	var made []int32
	for t, bad := range turned {
		if err := r.poll(t); err != nil {
			return nil, err
		}
		if bad && !s.dead[t] {
			made = append(made, r.straightenOne(p, int32(t))...)
		}
	}
	r.evals.Add(p.n)
	return slices.DeleteFunc(made, func(t int32) bool { return s.dead[t] }), nil
}

// straightenOne mends one triangle and returns the triangles changed.
func (r *run) straightenOne(p *probe, t int32) []int32 {
	s := r.s
	long := [3]int32{3 * t, 3*t + 1, 3*t + 2}
	length := func(h int32) float64 { return s.p[s.to(h)].Sub(s.p[s.from(h)]).Norm() }
	slices.SortStableFunc(long[:], func(a, b int32) int {
		switch la, lb := length(a), length(b); {
		case la > lb:
			return -1
		case la < lb:
			return 1
		}
		return 0
	})
	for _, h := range long {
		if o := s.opp[h]; o >= 0 && !s.isRim(h) && r.turnable(p, h) {
			u, v, a, b := s.from(h), s.to(h), s.apex(h), s.apex(o)
			if r.edgeStray(p, a, b) <= r.tol && r.inside(p, [3]int32{u, b, a}) && r.inside(p, [3]int32{v, a, b}) {
				s.flip(h)
				return []int32{t, o / 3}
			}
		}
	}
	th := thinner{run: r, p: p, most: math.Inf(1)}
	for _, u := range s.t[t] {
		if s.lock[u] {
			continue
		}
		if to := th.target(u); to >= 0 {
			v := s.to(to)
			hs, _ := s.star(u, nil)
			s.collapse(to, hs)
			return s.around(v)
		}
	}
	return nil
}
