package contour

import (
	"math"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
)

const (
	// leastEdge is the shortest edge that is split, in tolerances: what is shorter can not be the
	// cause of a deviation, and splitting it would never end between two sheets.
	leastEdge = 4
	// farMove is the farthest a new vertex may lie off the middle of its edge, in edge lengths.
	farMove = 0.45
	// facingLeast is the least cosine between a triangle's normal and the gradient at its middle.
	facingLeast = 0.5
	// creased is the cosine between two faces below which their edge counts as a crease.
	creased = 0.9
	// needle is the least altitude against the longest side at which a triangle takes a vertex in
	// its middle; slimmer ones are split along the longest side.
	needle = 0.15

	splitChunk  = 256
	splitRounds = 60
	refineLoops = 8
	refineTries = 4
)

// edgeAt and faceAt are the sample places of the passes: the middles alone miss the worst spot of
// an edge that runs from a plane onto a rounding.
var (
	edgeAt = [5]float64{0.5, 0.25, 0.75, 0.1, 0.9}
	faceAt = [4][3]float64{{1. / 3, 1. / 3, 1. / 3}, {2. / 3, 1. / 6, 1. / 6}, {1. / 6, 2. / 3, 1. / 6}, {1. / 6, 1. / 6, 2. / 3}}
)

// refusal is a split that a guard refused.
type refusal struct {
	u, v, w int32 // the edge, or with w >= 0 the triangle
	at      geom.Vec3
}

type act uint8

const (
	pass act = iota
	turn
	part  // split the edge
	sink  // put the vertex into the triangle
	never // a guard refused
)

// change is what a place of the surface asks for.
type change struct {
	act  act
	h    int32 // edge, or first half-edge of the triangle
	v    vertex
	rim  bool // the new vertex lies on the rim
	face bool // a refusal speaks of the triangle, not of the edge
}

// refine splits and flips until the inner tolerance holds at the sample places.
func (r *run) refine() error {
	r.refused = nil
	r.undouble()
	if _, err := r.rims(r.s.live()); err != nil {
		return err
	}
	if err := r.tidy(); err != nil {
		return err
	}
	if err := r.bridges(); err != nil {
		return err
	}
	todo := r.s.live()
	for range refineTries {
		if err := r.settle(todo); err != nil {
			return err
		}
		if todo = r.loosen(); len(todo) == 0 {
			break
		}
		r.refused = nil
	}
	return nil
}

// settle splits and flips until the given triangles and all that come of them are within tolerance
// or refused.
func (r *run) settle(todo []int32) error {
	for range refineLoops {
		seen, err := r.splitEdges(todo)
		if err != nil {
			return err
		}
		if todo, err = r.splitFaces(seen); err != nil {
			return err
		}
		fresh, err := r.rims(append(seen, todo...))
		if err != nil {
			return err
		}
		if todo = append(todo, fresh...); len(todo) == 0 {
			break
		}
	}
	return nil
}

// loosen removes short edges beside the splits that were refused, for the new vertex of a split turns
// needles over, and returns the triangles round what it removed.
func (r *run) loosen() []int32 {
	s := r.s
	p := newProbe(r.f)
	t := thinner{run: r, p: p, most: math.Inf(1), tidy: true}
	var todo []int32
	for _, f := range r.standing() {
		for _, h := range [2]int32{f, s.opp[f]} {
			if h < 0 || s.dead[h/3] {
				continue
			}
			for _, u := range s.t[h/3] {
				if s.out[u] < 0 || s.lock[u] {
					continue
				}
				if to := t.target(u); to >= 0 {
					v := s.to(to)
					hs, _ := s.star(u, nil)
					s.collapse(to, hs)
					todo = append(todo, s.around(v)...)
					break
				}
			}
		}
	}
	r.evals.Add(p.n)
	todo = slices.DeleteFunc(todo, func(t int32) bool { return s.dead[t] })
	slices.Sort(todo)
	return slices.Compact(todo)
}

// live returns the triangles that have not been removed.
func (s *surf) live() []int32 {
	ts := make([]int32, 0, len(s.t))
	for t, dead := range s.dead {
		if !dead {
			ts = append(ts, int32(t))
		}
	}
	return ts
}

// splitEdges treats the edges of the given triangles and of all it makes, and returns those
// triangles, given and made.
func (r *run) splitEdges(within []int32) ([]int32, error) {
	s := r.s
	all := slices.Clone(within)
	var mark []int32
	for round := int32(1); round < splitRounds && len(within) > 0; round++ {
		var hs []int32
		mark = grown(mark, len(s.opp))
		for _, t := range within {
			for h := 3 * t; h < 3*t+3; h++ {
				e := h
				if o := s.opp[h]; o >= 0 {
					e = min(h, o)
				}
				if mark[e] != round {
					mark[e] = round
					hs = append(hs, e)
				}
			}
		}
		made, err := r.apply(hs, r.judgeEdge)
		if err != nil {
			return nil, err
		}
		within = made
		all = append(all, made...)
	}
	slices.Sort(all)
	return slices.Compact(all), nil
}

func grown(m []int32, n int) []int32 {
	if len(m) >= n {
		return m
	}
	return append(m, make([]int32, n-len(m))...)
}

// splitFaces treats the insides of the given triangles and returns the triangles it changed.
func (r *run) splitFaces(within []int32) ([]int32, error) {
	var all []int32
	for round := 0; round < splitRounds && len(within) > 0; round++ {
		hs := make([]int32, len(within))
		for i, t := range within {
			hs[i] = 3 * t
		}
		made, err := r.apply(hs, r.judgeFace)
		if err != nil {
			return nil, err
		}
		slices.Sort(made)
		within = slices.Compact(made)
		all = append(all, within...)
	}
	slices.Sort(all)
	return slices.Compact(all), nil
}

// apply judges the places on the surface as it stands, in parallel, then makes the changes in
// order; a place whose triangles have changed meanwhile is returned with the changed ones, to be
// judged again.
func (r *run) apply(hs []int32, judge func(*probe, int32) change) ([]int32, error) {
	s := r.s
	cs := make([]change, len(hs))
	err := r.each(len(hs), splitChunk, func(p *probe, lo, hi int) {
		for i := lo; i < hi; i++ {
			cs[i] = judge(p, hs[i])
		}
	})
	if err != nil {
		return nil, err
	}
	var made []int32
	old := int32(len(s.t))
	touched := make([]bool, old)
	for _, c := range cs {
		if c.act == pass {
			continue
		}
		t, o := c.h/3, int32(-1)
		if c.act != sink && c.act != never {
			o = s.opp[c.h] / 3
		}
		if touched[t] || o >= old || (o >= 0 && touched[o]) {
			made = append(made, t)
			if o >= 0 {
				made = append(made, o)
			}
			continue
		}
		from := len(made)
		switch c.act {
		case never:
			continue
		case turn:
			if s.find(s.apex(c.h), s.apex(s.opp[c.h])) >= 0 {
				continue
			}
			s.flip(c.h)
			made = append(made, t, o)
		case part:
			m := r.addVertex(c.v)
			s.rim[m] = c.rim
			t1, t2 := s.split(c.h, m)
			made = append(made, t, o, t1, t2)
		case sink:
			t1, t2 := s.insert(t, r.addVertex(c.v))
			made = append(made, t, t1, t2)
		}
		for _, t := range made[from:] {
			if t < old {
				touched[t] = true
			}
		}
	}
	for _, c := range cs {
		if c.act == never && !touched[c.h/3] {
			r.refused = append(r.refused, r.refusal(c))
		}
	}
	return made, nil
}

func (r *run) refusal(c change) refusal {
	s := r.s
	f := refusal{s.from(c.h), s.to(c.h), -1, c.v.p}
	if c.face {
		f.w = s.apex(c.h)
	}
	return f
}

// stray returns the largest deviation along an edge.
func (p *probe) stray(a, b geom.Vec3, enough float64) float64 {
	return p.strayAt(a, b, enough, edgeAt[:])
}

func (p *probe) strayAt(a, b geom.Vec3, enough float64, at []float64) float64 {
	d := 0.0
	for _, t := range at {
		d = max(d, math.Abs(p.at(a.Add(b.Sub(a).Scale(t))).D))
		if d > enough {
			break
		}
	}
	return d
}

// straight reports whether the surface looks the same way at both ends of an edge, which lies in it:
// then the edge runs in a plane or along a rounding, and its middle tells all that may be wrong.
func (s *surf) straight(u, v int32) bool {
	d := s.p[v].Sub(s.p[u])
	off := s.g[u].Cross(s.g[v])
	return off.Dot(off) < sameWay && math.Abs(d.Dot(s.g[u])) < flatRise && math.Abs(d.Dot(s.g[v])) < flatRise
}

const (
	sameWay  = 1e-14 // square of the angle between gradients that are equal, rad
	flatRise = 1e-6  // mm by which an edge may leave the tangent plane
)

// calm is the share of the tolerance up to which the middle of an edge speaks for the whole: an edge
// that runs from a plane onto a rounding deviates at most twice as much elsewhere.
const calm = 0.4

// edgeStray returns the largest deviation along the edge from u to v at its sample places.
func (r *run) edgeStray(p *probe, u, v int32) float64 {
	d := p.strayAt(r.s.p[u], r.s.p[v], r.tol, edgeAt[:1])
	if d <= calm*r.tol || d > r.tol {
		return d
	}
	return max(d, p.strayAt(r.s.p[u], r.s.p[v], r.tol, edgeAt[1:]))
}

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

// inside reports whether a triangle is within tolerance at its inner sample places.
func (r *run) inside(p *probe, t [3]int32) bool { return r.insideFrom(p, t, 0) }

// insideFrom is inside without the first few places.
func (r *run) insideFrom(p *probe, t [3]int32, from int) bool {
	s := r.s
	n := len(faceAt)
	if s.straight(t[0], t[1]) && s.straight(t[1], t[2]) {
		n = 1
	}
	a, b, c := s.p[t[0]], s.p[t[1]], s.p[t[2]]
	for i := from; i < n; i++ {
		w := &faceAt[i]
		q := a.Scale(w[0]).Add(b.Scale(w[1])).Add(c.Scale(w[2]))
		if !(math.Abs(p.at(q).D) <= r.tol) {
			return false
		}
	}
	return true
}

// centred reports whether a triangle faces the air and, unless any will do, is within tolerance, both
// by the field at its middle.
func (r *run) centred(p *probe, t [3]int32, anyway bool) bool {
	s := r.s
	n := s.cross(t)
	f := p.at(s.p[t[0]].Add(s.p[t[1]]).Add(s.p[t[2]]).Scale(1. / 3))
	return n.Dot(f.G) > facingLeast*n.Norm() && (anyway || math.Abs(f.D) <= r.tol)
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

// flatInside reports whether a level triangle has at most one corner on a rim: then it holds
// nothing but the plane.
func (r *run) flatInside(t [3]int32) bool {
	n := 0
	for _, v := range t {
		if r.s.rim[v] {
			n++
		}
	}
	return n <= 1
}
