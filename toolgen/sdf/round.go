package sdf

import (
	"math"

	"platen/toolgen/geom"
)

// Limits of the ball search.
const (
	// stop is the residual at which the search ends, mm. Rounding a curved crossing converges by a
	// factor of 10 or better a round, so this costs one round more than the tolerance of a mesh asks
	// and keeps the gradient free of noise.
	stop = 1e-9
	// settle is the residual that counts as found when the search runs out of rounds, mm: a thousandth
	// of the finest mesh tolerance in use would be 5e-6.
	settle = 2e-6
	// rounds bounds the search.
	rounds = 40
	// loose is the part of the radius within which a surface that does not bind by a straight guess
	// is looked at again from the ball's centre.
	loose = 0.4
	// alike is the squared sine below which two normals count as one.
	alike = 1e-10
	// nudge is the step of the difference quotient that gives a surface's curvature, mm.
	nudge = 1e-4
	// capacity is how many surfaces one search may hold; further ones are the least pressing.
	capacity = 12
)

// con is a condition on the centre x of a ball: c(x) <= 0, c of unit slope along n.
type con struct {
	c  float64
	n  geom.Vec3
	id int32
	of tag // what the surface is, for the name of the rounding
}

// hit is what a field says at a point, with the surface named by a tag instead of a piece.
type hit struct {
	d    float64
	g    geom.Vec3
	tag  tag
	sure bool
}

// cons is a fixed list of conditions.
type cons struct {
	list [capacity]con
	n    int
}

// add appends k; a full list drops its least pressing condition.
func (cs *cons) add(k con) {
	if cs.n < capacity {
		cs.list[cs.n] = k
		cs.n++
		return
	}
	low := 0
	for i := 1; i < cs.n; i++ {
		if cs.list[i].c < cs.list[low].c {
			low = i
		}
	}
	if k.c > cs.list[low].c {
		cs.list[low] = k
	}
}

// rest is the solution of the linear problem: the shortest v with n_i . v >= e_i for all i.
type rest struct {
	v   geom.Vec3
	set [3]int32 // binding conditions, by position in the list
	mu  [3]float64
	n   int
}

// shortest solves the linear problem at q for a ball that started at p: e_i = c_i + n_i . (p - q).
// It adds the worst violated condition and solves the at most four that then matter, so |v| grows
// from step to step. It fails when no v satisfies all.
func (cs *cons) shortest(p, q geom.Vec3) (rest, bool) {
	var e [capacity]float64
	w := p.Sub(q)
	first := 0
	for i := range cs.n {
		e[i] = cs.list[i].c + cs.list[i].n.Dot(w)
		if e[i] > e[first] {
			first = i
		}
	}
	r := rest{v: cs.list[first].n.Scale(e[first]), n: 1}
	r.set[0], r.mu[0] = int32(first), e[first]
	for range 4 * capacity {
		worst, by := -1, stop/10
		for i := range cs.n {
			if g := e[i] - cs.list[i].n.Dot(r.v); g > by {
				worst, by = i, g
			}
		}
		if worst < 0 {
			return r, true
		}
		if !cs.join(&r, &e, int32(worst)) {
			return r, false
		}
	}
	return r, false
}

// join makes r the solution of its binding conditions and k, in which k must bind.
func (cs *cons) join(r *rest, e *[capacity]float64, k int32) bool {
	old := *r
	try := func(set [3]int32, n int) bool {
		s, ok := cs.bind(set, n, e)
		if !ok {
			return false
		}
		for i := range old.n {
			j := old.set[i]
			if e[j]-cs.list[j].n.Dot(s.v) > stop/10 {
				return false
			}
		}
		*r = s
		return true
	}
	if try([3]int32{k}, 1) {
		return true
	}
	for i := range old.n {
		if try([3]int32{k, old.set[i]}, 2) {
			return true
		}
	}
	for i := range old.n {
		for j := range i {
			if try([3]int32{k, old.set[i], old.set[j]}, 3) {
				return true
			}
		}
	}
	return false
}

// bind solves for n conditions that all bind, and reports whether none of them pulls.
func (cs *cons) bind(set [3]int32, n int, e *[capacity]float64) (rest, bool) {
	r := rest{set: set, n: n}
	a, ea := cs.list[set[0]].n, e[set[0]]
	if n == 1 {
		r.mu[0], r.v = ea, a.Scale(ea)
		return r, ea >= 0
	}
	b, eb := cs.list[set[1]].n, e[set[1]]
	ab := a.Dot(b)
	if n == 2 {
		x := a.Cross(b)
		det := x.Dot(x)
		if det < alike {
			return r, false
		}
		r.mu[0], r.mu[1] = (ea-ab*eb)/det, (eb-ab*ea)/det
		r.v = a.Scale(r.mu[0]).Add(b.Scale(r.mu[1]))
		return r, r.mu[0] >= 0 && r.mu[1] >= 0
	}
	c, ec := cs.list[set[2]].n, e[set[2]]
	bc, ca, ax := b.Cross(c), c.Cross(a), a.Cross(b)
	vol := a.Dot(bc)
	if vol*vol < alike {
		return r, false
	}
	r.v = bc.Scale(ea).Add(ca.Scale(eb)).Add(ax.Scale(ec)).Scale(1 / vol)
	r.mu[0], r.mu[1], r.mu[2] = r.v.Dot(bc)/vol, r.v.Dot(ca)/vol, r.v.Dot(ax)/vol
	return r, r.mu[0] >= 0 && r.mu[1] >= 0 && r.mu[2] >= 0
}

// search looks for the nearest place where a ball may rest from p: the shortest v with
// c_i(p - v) <= 0 for all i, by solving the linear problem again from each guess q = p - v.
type search struct {
	p, q geom.Vec3
	v    geom.Vec3 // latest answer
	rest rest      // latest linear solution
	lids [3]int32  // ids that bound in the last round
	want float64   // radius, for the stop rule
	t    geom.Vec3 // tangent of the ridge of two binding conditions
	x0   float64   // how far p lies along t from q; 0: no correction is due
	lone bool      // q is the straight guess of the one condition that bound
	sure bool      // the answer is within settle
	gap  bool      // no ball fits
	at   cons      // conditions at p
	here cons      // conditions at q
}

// step solves the linear problem at q and reports whether the search is over: it has settled, or no
// ball fits. A due correction for curvature must follow (see bent), then move.
func (b *search) step() bool {
	r, ok := b.here.shortest(b.p, b.q)
	if !ok {
		b.gap, b.sure = true, false
		return true
	}
	ids := b.here.ids(&r)
	res := b.here.residual(&r)
	same := ids == b.lids
	b.rest, b.v, b.lids, b.x0 = r, r.v, ids, 0
	lone := b.lone
	b.lone = false
	switch r.n {
	case 1:
		// One surface alone is an exact offset from p itself: never iterated.
		b.v = b.straight(ids[2], r.v)
		b.lone = true
		for i := range b.here.n {
			if i != int(r.set[0]) && b.here.list[i].c > stop {
				lone = false
			}
		}
		b.sure = lone && same
		return b.sure
	case 2:
		b.t = b.here.list[r.set[0]].n.Cross(b.here.list[r.set[1]].n).Unit()
		b.x0 = b.t.Dot(b.p.Sub(b.q))
	}
	off := b.x0 * b.x0 / (2 * b.want)
	b.sure = same && res < settle && off < settle
	return same && res < stop && off < stop
}

// straight returns the offset from p along condition id alone, or v where p's list does not hold it.
func (b *search) straight(id int32, v geom.Vec3) geom.Vec3 {
	for i := range b.at.n {
		if k := &b.at.list[i]; k.id == id {
			return k.n.Scale(k.c)
		}
	}
	return v
}

// ahead returns the point at which bent wants the gradients of the two binding conditions.
func (b *search) ahead() geom.Vec3 { return b.q.Add(b.t.Scale(nudge)) }

// bent corrects the answer for the curvature of two binding conditions along their ridge, given
// their gradients ahead. With h = 1 + sum mu_i c_i” the nearest point of the ridge is x0/h away from
// q and not x0.
func (b *search) bent(g0, g1 geom.Vec3) {
	r := &b.rest
	h := 1 + (r.mu[0]*g0.Sub(b.here.list[r.set[0]].n).Dot(b.t)+
		r.mu[1]*g1.Sub(b.here.list[r.set[1]].n).Dot(b.t))/nudge
	h = max(h, 0.2) // below, the ball has two places to rest; creep instead of jumping
	b.v = b.v.Add(b.t.Scale(b.x0 * (h - 1) / h))
}

// move goes to the new guess.
func (b *search) move() { b.q = b.p.Sub(b.v) }

// ids returns the identities of the binding conditions in rising order, in the last places.
func (cs *cons) ids(r *rest) [3]int32 {
	out := [3]int32{-9, -9, -9}
	for i := range r.n {
		out[i] = cs.list[r.set[i]].id
	}
	for i := 1; i < 3; i++ {
		for j := i; j > 0 && out[j] < out[j-1]; j-- {
			out[j], out[j-1] = out[j-1], out[j]
		}
	}
	return out
}

// residual returns the largest |c| of the binding conditions or c of all.
func (cs *cons) residual(r *rest) float64 {
	worst := 0.0
	for i := range r.n {
		worst = max(worst, math.Abs(cs.list[r.set[i]].c))
	}
	for i := range cs.n {
		worst = max(worst, cs.list[i].c)
	}
	return worst
}
