package contour

import (
	"cmp"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// open returns the mesh without its level triangles, vertices in order of first use, and for each
// triangle of it the triangle of the surface.
func (r *run) open() (*mesh.Mesh, []int32) {
	s := r.s
	m := &mesh.Mesh{}
	var from []int32
	as := make([]int32, len(s.p))
	for t, v := range s.t {
		if s.dead[t] || s.level(int32(t)) != off {
			continue
		}
		var q [3]int32
		for k, u := range v {
			if as[u] == 0 {
				m.V = append(m.V, s.p[u])
				as[u] = int32(len(m.V))
			}
			q[k] = as[u] - 1
		}
		m.T = append(m.T, q)
		from = append(from, int32(t))
	}
	return m, from
}

// seg is an edge of the border of the open mesh, in plan.
type seg struct {
	u, v int32
	a, b geom.Vec2
	lev  int8
}

// loops checks the border of what remains: every edge lies on one level, those in the host plane
// keep to the cluster's region, and no two of a level cross in plan.
func (r *run) loops() []*Unresolved {
	s := r.s
	var all []seg
	var bad []*Unresolved
	for h, o := range s.opp {
		t := int32(h) / 3
		if s.dead[t] || s.level(t) != off {
			continue
		}
		u, v := s.from(int32(h)), s.to(int32(h))
		switch {
		case o < 0:
			bad = append(bad, &Unresolved{What: "the curved surface reaches the border of its region", At: s.p[u]})
		case s.level(o/3) != off:
			m := s.p[u].Add(s.p[v]).Scale(0.5).Plan()
			if d := r.f.Plan(m); s.lev[u] == r.f.host() && d > r.o.Tol {
				bad = append(bad, &Unresolved{"the rim leaves the cluster's region in plan", s.p[u], d, r.o.Tol})
			}
			all = append(all, seg{u, v, s.p[u].Plan(), s.p[v].Plan(), s.lev[u]})
		}
	}
	slices.SortStableFunc(all, func(a, b seg) int {
		return cmp.Or(cmp.Compare(min(a.a.X, a.b.X), min(b.a.X, b.b.X)), cmp.Compare(a.u, b.u), cmp.Compare(a.v, b.v))
	})
	for i, a := range all {
		end := max(a.a.X, a.b.X)
		for _, b := range all[i+1:] {
			if min(b.a.X, b.b.X) > end {
				break
			}
			if a.lev == b.lev && a.crosses(b) {
				bad = append(bad, &Unresolved{What: "the ends of a level plane cross", At: s.p[a.u]})
			}
		}
	}
	return bad
}

// crosses reports whether two segments share a point other than a common vertex.
func (a seg) crosses(b seg) bool {
	if max(a.a.Y, a.b.Y) < min(b.a.Y, b.b.Y) || max(b.a.Y, b.b.Y) < min(a.a.Y, a.b.Y) {
		return false
	}
	side := func(p, q, x geom.Vec2) float64 { return q.Sub(p).Cross(x.Sub(p)) }
	a1, a2 := side(b.a, b.b, a.a), side(b.a, b.b, a.b)
	b1, b2 := side(a.a, a.b, b.a), side(a.a, a.b, b.b)
	if a.u == b.u || a.u == b.v || a.v == b.u || a.v == b.v {
		// Neighbours only overlap when they lie one on the other.
		if a1 != 0 || a2 != 0 {
			return false
		}
		da, db := a.b.Sub(a.a), b.b.Sub(b.a)
		if a.v == b.u || a.u == b.v {
			return da.Dot(db) < 0
		}
		return da.Dot(db) > 0
	}
	return ((a1 <= 0 && a2 >= 0) || (a1 >= 0 && a2 <= 0)) && ((b1 <= 0 && b2 >= 0) || (b1 >= 0 && b2 <= 0))
}

// rimSides is the number of directions in which the end of a level is sought beside a point of its rim.
const rimSides = 24

// rimOff returns a place of rim edge h from which the end of its level is farther than the tolerance, in
// plan: the level is all round it, or nowhere.
//
// A rounding of radius r has left the plane by tol²/2r at that distance, 0.0007 mm for the least ball and
// a tolerance of 0.02 mm.
func (r *run) rimOff(p *probe, h int32) (geom.Vec3, bool) {
	s := r.s
	a, b, k := s.p[s.from(h)], s.p[s.to(h)], s.lev[s.from(h)]
	side := b.Sub(a).Plan().Unit().Left()
next:
	for _, t := range edgeAt {
		m := a.Add(b.Sub(a).Scale(t))
		in := p.within(m.Plan(), k)
		for i := range rimSides {
			if w := side.Turn(geom.Angle(i) * 360 * geom.Degree / rimSides).Scale(r.o.Tol); p.within(m.Plan().Add(w), k) != in {
				continue next
			}
		}
		return m, true
	}
	return geom.Vec3{}, false
}

// rimsOff lists the rim edges that stray.
func (r *run) rimsOff() ([]*Unresolved, error) {
	s := r.s
	var hs []int32
	for h, o := range s.opp {
		if t := int32(h) / 3; o >= 0 && !s.dead[t] && s.level(t) == off && s.level(o/3) != off {
			hs = append(hs, int32(h))
		}
	}
	found := make([]*Unresolved, len(hs))
	err := r.each(len(hs), 64, func(p *probe, lo, hi int) {
		for i := lo; i < hi; i++ {
			if at, bad := r.rimOff(p, hs[i]); bad {
				found[i] = &Unresolved{What: "the rim of a level strays in plan by more than the tolerance", At: at}
			}
		}
	})
	return slices.DeleteFunc(found, func(u *Unresolved) bool { return u == nil }), err
}
