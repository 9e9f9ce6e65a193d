package sdf

import (
	"math"

	"platen/toolgen/geom"
)

// Limits of the ball search.
const (
	// stop is how far the search may be off where it ends, mm: far below the tolerance of any mesh, to
	// keep the gradient free of noise.
	stop = 1e-9
	// quick is the residual from which one more solution, not looked at again, is within stop: it
	// squares the residual, and surfaces bend by at most about 10/mm.
	quick = 3e-6
	// settle is how far the search may be off along a ridge where it runs out of rounds, mm: a
	// thousandth of the finest mesh tolerance in use would be 5e-6.
	settle = 2e-6
	// rounds bounds the search.
	rounds = 40
	// loose is the part of the radius within which a surface that does not bind by a straight guess
	// is looked at again from the ball's centre.
	loose = 0.4
	// alike is the squared sine below which two normals count as one.
	alike = 1e-10
	// nudge is a length beyond rounding, mm.
	nudge = 1e-4
	// capacity is how many surfaces one search may hold; further ones are the least pressing.
	capacity = 8
)

// con is a condition on the centre x of a ball: c(x) <= 0, c of unit slope along n.
type con struct {
	c    float64
	n    geom.Vec3
	bend bend
	id   int32
	of   tag  // what the surface is, for the name of the rounding
	sure bool // c is no mere bound
}

// bend is the second derivative of a value along its level surface: k along the unit vector w, m
// across it.
type bend struct {
	w    geom.Vec3
	k, m float64
}

// along returns the second derivative along t for a surface with normal n.
func (b *bend) along(n, t geom.Vec3) float64 {
	if b.k == 0 && b.m == 0 {
		return 0
	}
	u, v := t.Dot(b.w), t.Dot(n.Cross(b.w))
	return b.k*u*u + b.m*v*v
}

// hit is what a field says at a point, with the surface named by a tag instead of a piece.
type hit struct {
	d    float64
	g    geom.Vec3
	tag  tag
	sure bool
	bend bend
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
	ids [3]int32 // their identities
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
	same bool      // the same conditions bound in the round before
	lone bool      // q is the straight guess of the one condition that bound
	sure bool      // the answer is within settle
	gap  bool      // no ball fits
	off  float64   // how far the last guess was off, mm
	// share of the way to the next guess that is gone
	share float64
	aims  int  // how often one condition that bound alone was looked at
	here  cons // conditions at q
}

// ball is where an earlier search ended, from which one for a point nearby may start.
type ball struct {
	v    geom.Vec3
	lids [3]int32
	ok   bool
}

// start begins the search for a ball of radius r from p, where one found nearby rests if there is one.
func (b *search) start(p geom.Vec3, r float64, w *ball) {
	b.p, b.q, b.want, b.share = p, p, r, 1
	if w.ok {
		b.v, b.lids = w.v, w.lids
		b.q = p.Sub(w.v)
	}
}

// step solves the linear problem at q and reports whether the search is over: it has settled, or no
// ball fits. Where it is not over and one condition binds alone, aim must follow.
func (b *search) step() bool {
	r, ok := b.here.shortest(b.p, b.q)
	if !ok {
		b.gap, b.sure = true, false
		return true
	}
	for i := range r.n {
		r.ids[i] = b.here.list[r.set[i]].id
	}
	ids := r.rising()
	b.same = ids == b.lids
	b.rest, b.v, b.lids = r, r.v, ids
	if r.n == 1 && b.aims < mostAims {
		return false
	}
	b.lone = false
	if r.n == 1 {
		return false
	}
	res, off := b.here.residual(&r), 0.0
	if r.n == 2 {
		// The nearest point of the ridge is x0/h away from q and not x0.
		t, h := b.ridge()
		x0 := t.Dot(b.p.Sub(b.q))
		b.v = b.v.Add(t.Scale(x0 * (h - 1) / h))
		off = x0 * x0 / (2 * b.want)
	}
	b.sure = b.same && res < quick && off < settle
	return b.same && res < quick && off < stop/30
}

// holds reports whether the answer stands at q as it is: the same conditions bind there and no other
// is broken.
func (b *search) holds() bool {
	n := b.rest.n
	if n < 2 {
		return false
	}
	set := b.rest.set
	for k := range n {
		id, at := b.rest.ids[k], int32(-1)
		for i := range b.here.n {
			if b.here.list[i].id == id {
				at = int32(i)
			}
		}
		if at < 0 || math.Abs(b.here.list[at].c) > stop {
			return false
		}
		set[k] = at
	}
	for i := range b.here.n {
		if b.here.list[i].c > stop {
			return false
		}
	}
	if n == 2 {
		x0 := b.here.list[set[0]].n.Cross(b.here.list[set[1]].n).Unit().Dot(b.v)
		if x0*x0 > 2*b.want*stop/30 {
			return false
		}
	}
	b.rest.set, b.sure = set, true
	return true
}

// firm reports whether all conditions that bind are more than bounds.
func (b *search) firm() bool {
	for i := range b.rest.n {
		if !b.here.list[b.rest.set[i]].sure {
			return false
		}
	}
	return true
}

// mostAims bounds the looks at what binds alone: one that is broken there each time is no answer.
const mostAims = 2

// alone returns the id of the condition that binds alone, unless that has been looked at enough.
func (b *search) alone() (int32, bool) { return b.lids[2], b.rest.n == 1 && b.aims < mostAims }

// aim takes the answer from the one condition that binds, given as it is at p: one surface alone is
// an exact offset from p itself and never iterated. It reports whether the search is over.
func (b *search) aim(c float64, n geom.Vec3) bool {
	b.sure = b.lone && b.same
	for i := range b.here.n {
		if i != int(b.rest.set[0]) && b.here.list[i].c > stop {
			b.sure = false
		}
	}
	b.v, b.lone = n.Scale(c), true
	b.aims++
	return b.sure
}

// leastBend bounds h of a ridge from below: under it the ball has two places to rest, and the search
// creeps instead of jumping.
const leastBend = 0.2

// ridge returns the direction of the ridge of two binding conditions and its h: 1 plus the second
// derivatives of both along it, each times its multiplier.
func (b *search) ridge() (t geom.Vec3, h float64) {
	k0, k1 := &b.here.list[b.rest.set[0]], &b.here.list[b.rest.set[1]]
	t = k0.n.Cross(k1.n).Unit()
	h = 1 + b.rest.mu[0]*k0.bend.along(k0.n, t) + b.rest.mu[1]*k1.bend.along(k1.n, t)
	return t, max(h, leastBend)
}

// rolls returns how the distance |v| from the ball's centre bends: as round a point where three
// conditions bind, round a curve where two do.
func (b *search) rolls(l float64) bend {
	if b.rest.n == 3 {
		return bend{b.v.Cross(geom.Vec3{X: b.v.Y, Y: b.v.Z, Z: b.v.X}).Unit(), 1 / l, 1 / l}
	}
	t, h := b.ridge()
	return bend{t, (1 - 1/h) / l, 1 / l}
}

// swings is the number of rounds from which a search that comes no nearer takes shorter steps: in a
// hollow little wider than the ball full ones swing from side to side.
const swings = 6

// move goes to the new guess of the given round, or a part of the way.
func (b *search) move(round int) {
	to := b.p.Sub(b.v)
	if round >= swings && !b.lone {
		switch off := b.here.residual(&b.rest); {
		case off > b.off:
			b.share = max(b.share/2, 1./16)
		case off < (1-b.share/2)*b.off: // about as near as the way that was gone allows
			b.share = min(2*b.share, 1)
		}
		to = b.q.Add(to.Sub(b.q).Scale(b.share))
	}
	b.off = b.here.residual(&b.rest)
	b.q = to
}

// rising returns the identities of the binding conditions in rising order, in the last places.
func (r *rest) rising() [3]int32 {
	out := [3]int32{-9, -9, -9}
	for i := range r.n {
		out[i] = r.ids[i]
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
