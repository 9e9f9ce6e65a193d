package contour

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
)

// This file owns what an edge or the inside of a triangle needs, and where a new vertex goes.

// judgeEdge says what the edge of h needs.
func (r *run) judgeEdge(p *probe, h int32) change {
	s := r.s
	o := s.opp[h]
	if o < 0 {
		return change{}
	}
	k, l := s.level(h/3), s.level(o/3)
	if k != off && k == l {
		return change{}
	}
	u, v := s.from(h), s.to(h)
	length := s.p[v].Sub(s.p[u]).Norm()
	rim := k != l && s.rim[u] && s.rim[v]
	if !rim && (s.stands(s.t[h/3]) || s.stands(s.t[o/3])) && r.flips(p, h) {
		return change{act: turn, h: h}
	}
	stray := r.edgeStray(p, u, v)
	strays := rim && r.rimBad(p, u, v, k != off)
	if stray <= r.tol && !strays && (r.o.MaxEdge == 0 || length <= r.o.MaxEdge) {
		return change{}
	}
	if length < leastEdge*r.tol && stray <= r.tol {
		return change{}
	}
	if !rim && length >= leastEdge*r.tol && r.flips(p, h) {
		return change{act: turn, h: h}
	}
	c := r.partAt(p, h, 0.5)
	switch {
	case c.act != never:
	case rim && stray <= r.tol:
		return change{} // no rim in reach, and the surface is near enough
	case !rim && r.eases(p, h):
		return change{act: turn, h: h}
	}
	return c
}

// partAt splits the edge of h at parameter x, on the rim if the edge is one. Where a rim edge cuts a
// corner of its rim the new vertex lands off the rim, and the edges it makes are cut there next.
func (r *run) partAt(p *probe, h int32, x float64) change {
	s := r.s
	u, v := s.from(h), s.to(h)
	length := s.p[v].Sub(s.p[u]).Norm()
	m := s.p[u].Add(s.p[v].Sub(s.p[u]).Scale(x))
	no := change{act: never, h: h, v: vertex{p: m}}
	if s.opp[h] < 0 || length < leastEdge*r.tol {
		return no
	}
	if s.isRim(h) && s.rim[u] && s.rim[v] {
		q, ok := r.rimBeside(p, h)
		if ok && q.Sub(m).Norm() <= farMove*length && r.fits(p, h, q) {
			return change{act: part, h: h, v: vertex{q, p.at(q).G, r.levelPiece(s.lev[u])}, rim: true}
		}
	}
	q, ok := r.middle(p, h, m, length)
	if !ok || (q.p != m && !r.fits(p, h, q.p)) { // a point of the edge itself turns nothing
		return no
	}
	return change{act: part, h: h, v: q}
}

// levelPiece returns a piece of level k.
func (r *run) levelPiece(k int8) piece.ID {
	for _, id := range r.f.Level() {
		if r.f.level[id] == k {
			return id
		}
	}
	panic("contour: no such level")
}

// middle returns the point of the surface for the middle m of edge h: its projection, or where the
// two faces meet in a crease the point nearest to the tangent planes all round.
func (r *run) middle(p *probe, h int32, m geom.Vec3, length float64) (vertex, bool) {
	q := m
	if r.s.turned(h/3, r.s.opp[h]/3) < creased {
		q = r.crease(p, m, length)
	}
	x, f := q, p.at(q)
	if math.Abs(f.D) > 0.1*r.tol || q == m {
		x, f = p.project(q)
	}
	ok := x.Sub(m).Norm() <= farMove*length && math.Abs(f.D) <= r.tol/2
	return vertex{x, f.G, f.Piece}, ok
}

// crease returns the point near m that lies best on the tangent planes of m and of six points on a
// small circle round it.
func (r *run) crease(p *probe, m geom.Vec3, length float64) geom.Vec3 {
	f := p.at(m)
	var q quadric
	q.add(f.G, m.Sub(f.G.Scale(f.D)))
	x := f.G.Cross(geom.Vec3{X: 1}).Unit()
	if math.Abs(f.G.X) > 0.7 {
		x = f.G.Cross(geom.Vec3{Y: 1}).Unit()
	}
	y := f.G.Cross(x)
	for i := range 6 {
		c := geom.Vec2{X: 0.2 * length}.Turn(geom.Angle(i) * 60 * geom.Degree)
		at := m.Add(x.Scale(c.X)).Add(y.Scale(c.Y))
		g := p.at(at)
		q.add(g.G, at.Sub(g.G.Scale(g.D)))
	}
	at, _ := q.solve(m)
	return at
}

// judgeFace says what the inside of the triangle of h needs.
func (r *run) judgeFace(p *probe, h int32) change {
	s := r.s
	t := s.t[h/3]
	if k := s.level(h / 3); k != off && r.flatInside(t) {
		return change{}
	}
	a, b, c := s.p[t[0]], s.p[t[1]], s.p[t[2]]
	if r.inside(p, t) {
		return change{}
	}
	long, ll := h, 0.0
	for e := h; e < h+3; e++ {
		if l := s.p[s.to(e)].Sub(s.p[s.from(e)]).Norm(); l > ll {
			long, ll = e, l
		}
	}
	return r.sinkAt(p, h, long, ll, a.Add(b).Add(c).Scale(1./3))
}

// sinkAt puts a vertex into the triangle of h over or under mid. Where the triangle is slim or lies
// in a level with its rim its longest edge is split instead.
func (r *run) sinkAt(p *probe, h, long int32, ll float64, mid geom.Vec3) change {
	s := r.s
	t := s.t[h/3]
	a, b, c := s.p[t[0]], s.p[t[1]], s.p[t[2]]
	if ll < leastEdge*r.tol {
		return change{act: never, h: h, v: vertex{p: mid}, face: true}
	}
	if s.cross(t).Norm() >= needle*ll*ll && s.level(h/3) == off {
		q, f := p.project(mid)
		if q.Sub(mid).Norm() <= farMove*ll && math.Abs(f.D) <= r.tol/2 &&
			r.faces3(p, a, b, q) && r.faces3(p, b, c, q) && r.faces3(p, c, a, q) {
			return change{act: sink, h: h, v: vertex{q, f.G, f.Piece}}
		}
	}
	return r.partAt(p, long, 0.5)
}
