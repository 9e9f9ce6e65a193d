package contour

import (
	"math"

	"platen/toolgen/geom"
)

// This file owns which edges may be turned, and whether what stands then faces the air.

// fits reports whether the four triangles round a new vertex q on edge h face the air.
func (r *run) fits(p *probe, h int32, q geom.Vec3) bool {
	s := r.s
	o := s.opp[h]
	u, v, a, b := s.p[s.from(h)], s.p[s.to(h)], s.p[s.apex(h)], s.p[s.apex(o)]
	return r.faces3(p, u, q, a) && r.faces3(p, q, v, a) && r.faces3(p, v, q, b) && r.faces3(p, q, u, b)
}

// faces3 reports whether a triangle's normal agrees with the gradient at its middle.
func (r *run) faces3(p *probe, a, b, c geom.Vec3) bool {
	n := b.Sub(a).Cross(c.Sub(a))
	g := p.at(a.Add(b).Add(c).Scale(1. / 3)).G
	return n.Dot(g) > facingLeast*n.Norm()
}

// turnable reports whether the edge of h may be turned at all.
func (r *run) turnable(p *probe, h int32) bool {
	s := r.s
	o := s.opp[h]
	u, v, a, b := s.from(h), s.to(h), s.apex(h), s.apex(o)
	if s.lock[u] || s.lock[v] || s.find(a, b) >= 0 || s.level(h/3) != s.level(o/3) {
		return false
	}
	for _, w := range [2]int32{u, v} {
		k := s.lev[w]
		if mid := s.p[a].Add(s.p[b]).Add(s.p[w]).Scale(1. / 3); k != off && k == s.lev[a] && k == s.lev[b] && !p.within(mid.Plan(), k) {
			return false // would make a level triangle where there is no level
		}
	}
	d := s.p[b].Sub(s.p[a]).Norm()
	return !(r.o.MaxEdge > 0 && d > r.o.MaxEdge) && r.faces3(p, s.p[u], s.p[b], s.p[a]) && r.faces3(p, s.p[v], s.p[a], s.p[b])
}

// eases reports whether turning the edge of h, which can not be split, brings it much nearer to the
// surface: a fan of needles across a ridge opens that way.
func (r *run) eases(p *probe, h int32) bool {
	s := r.s
	u, v, a, b := s.from(h), s.to(h), s.apex(h), s.apex(s.opp[h])
	return r.turnable(p, h) && p.stray(s.p[a], s.p[b], math.Inf(1)) < 0.7*p.stray(s.p[u], s.p[v], math.Inf(1))
}

// flips reports whether turning the edge of h would satisfy the tolerance.
func (r *run) flips(p *probe, h int32) bool {
	s := r.s
	o := s.opp[h]
	u, v, a, b := s.from(h), s.to(h), s.apex(h), s.apex(o)
	// Two needles back to back are better than two that stand up: thinning takes their short edge.
	stand := s.stands(s.t[h/3]) && s.stands(s.t[o/3])
	if !stand && !(slim(s.p[u], s.p[b], s.p[a]) && slim(s.p[v], s.p[a], s.p[b])) {
		return false
	}
	return r.turnable(p, h) && r.edgeStray(p, a, b) <= r.tol && r.inside(p, [3]int32{u, b, a}) && r.inside(p, [3]int32{v, a, b})
}

// slim reports whether a triangle is not a needle: some altitude for its longest side.
func slim(a, b, c geom.Vec3) bool {
	l := max(b.Sub(a).Norm(), c.Sub(b).Norm(), a.Sub(c).Norm())
	return b.Sub(a).Cross(c.Sub(a)).Norm() > 0.05*l*l
}
