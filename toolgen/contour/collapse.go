package contour

import (
	"math"
	"slices"

	"platen/toolgen/geom"
)

const (
	// leastAltitude is the least altitude of a triangle the thinning makes, mm: it keeps triangles
	// sound when coordinates are rounded on the way out. Finer meshes use 1.5 tolerances.
	leastAltitude = 0.03
	// turnLeast is the least cosine between a triangle's normal before and after.
	turnLeast = 0.3
	// mostValence bounds the edges of a vertex; fans wider than that make needles only.
	mostValence = 60

	// tidyShare is the length, against the mean of the star, below which an edge is tidied away.
	tidyShare = 0.25

	thinChunk  = 64
	thinSweeps = 60
)

// thinLevels orders the work: edges that lie in their surface go first, so roundings collapse along
// their straight direction and become long strips. In units of five tolerances. The level orders
// only; the test is always against the full inner tolerance.
var thinLevels = [3]float64{0.02, 0.5, 1}

// thin removes vertices by moving each onto a neighbour, as long as the inner tolerance holds.
//
// A sweep picks vertices whose stars do not touch, so that none sees what another does: they are
// tested in parallel and moved in order.
func (r *run) thin() error {
	for _, level := range thinLevels {
		if err := r.sweeps(5*r.tol*level, false); err != nil {
			return err
		}
	}
	return nil
}

// tidy removes edges much shorter than those round them, before the tolerance holds: the slivers
// that rims cut off turn over when one of their long sides is split.
func (r *run) tidy() error { return r.sweeps(math.Inf(1), true) }

// sweeps moves vertices until hardly any can be moved.
func (r *run) sweeps(most float64, tidy bool) error {
	s := r.s
	stale := make([]bool, len(s.p)) // failed, and nothing has changed round it since
	taken := make([]int32, len(s.p))
	for sweep := range int32(thinSweeps) {
		us, err := r.pick(stale, taken, sweep+1)
		if err != nil {
			return err
		}
		to := make([]int32, len(us))
		err = r.each(len(us), thinChunk, func(p *probe, lo, hi int) {
			t := thinner{run: r, p: p, most: most, tidy: tidy}
			for i := lo; i < hi; i++ {
				to[i] = t.target(us[i])
			}
		})
		if err != nil {
			return err
		}
		moved := 0
		for i, u := range us {
			if to[i] < 0 {
				stale[u] = true
				continue
			}
			hs, _ := s.star(u, nil)
			for _, h := range hs {
				stale[s.to(h)] = false
			}
			s.collapse(to[i], hs)
			moved++
		}
		if len(us) == 0 || (!tidy && moved*500 <= len(us)) {
			break
		}
	}
	return nil
}

// pick returns vertices whose stars share no vertex, in order of number.
func (r *run) pick(stale []bool, taken []int32, sweep int32) ([]int32, error) {
	s := r.s
	var us []int32
	var buf [64]int32
next:
	for u := range s.p {
		if err := r.poll(u); err != nil {
			return nil, err
		}
		u := int32(u)
		if s.out[u] < 0 || s.lock[u] || stale[u] || taken[u] == sweep {
			continue
		}
		hs, _ := s.star(u, buf[:0])
		for _, h := range hs {
			if taken[s.to(h)] == sweep {
				continue next
			}
		}
		taken[u] = sweep
		for _, h := range hs {
			taken[s.to(h)] = sweep
		}
		us = append(us, u)
	}
	return us, nil
}

// thinner tests moves.
type thinner struct {
	*run
	p    *probe
	most float64 // largest cost on this level, mm
	tidy bool    // only along edges much shorter than the star, and whatever the deviation

	star, far []int32
	ring      []int32
	norm      []geom.Vec3 // unit normals of the star's triangles
	low, mean float64     // least altitude and mean edge in the star
	cand      []candidate
	calm      [mostValence + 4]bool // by place in the ring: the middle of the new edge speaks for it
}

type candidate struct {
	i    int // in the star
	cost float64
}

// target returns the half-edge along which u may move, or -1.
func (t *thinner) target(u int32) int32 {
	s := t.s
	var whole bool
	t.star, whole = s.star(u, t.star[:0])
	if !whole || len(t.star) < 3 {
		return -1
	}
	t.ring, t.norm, t.low = t.ring[:0], t.norm[:0], math.Inf(1)
	t.mean = 0
	rims, stands := 0, false
	for _, h := range t.star {
		w := s.to(h)
		if slices.Contains(t.ring, w) {
			return -1
		}
		t.ring = append(t.ring, w)
		t.mean += s.p[w].Sub(s.p[u]).Norm() / float64(len(t.star))
		n := s.cross(s.t[h/3]).Unit()
		if g := s.mean(s.t[h/3]); n.Dot(g) < facingLeast {
			n, stands = g, true // it must not hold others to its normal, and any way out will do
		}
		t.norm = append(t.norm, n)
		t.low = min(t.low, s.altitude(s.t[h/3]))
		if s.isRim(h) {
			rims++
		}
	}
	if rims != 0 && rims != 2 {
		return -1
	}
	t.cand = t.cand[:0]
	for i, h := range t.star {
		if !t.allowed(u, h) {
			continue
		}
		d := s.p[t.ring[i]].Sub(s.p[u])
		if t.tidy && d.Norm() > tidyShare*t.mean {
			continue
		}
		cost := 0.0
		for _, n := range t.norm {
			cost = max(cost, math.Abs(n.Dot(d)))
		}
		if cost <= t.most || stands {
			t.cand = append(t.cand, candidate{i, cost})
		}
	}
	slices.SortStableFunc(t.cand, func(a, b candidate) int {
		switch {
		case a.cost < b.cost:
			return -1
		case a.cost > b.cost:
			return 1
		}
		return 0
	})
	for _, c := range t.cand {
		if t.linked(u, c.i) && t.shaped(c.i) && t.true(c.i) {
			return t.star[c.i]
		}
	}
	return -1
}

// allowed reports whether the kinds of vertex let u move along h: along the rim on a rim, within the
// level inside one, anywhere off it.
func (t *thinner) allowed(u, h int32) bool {
	s := t.s
	v := s.to(h)
	switch {
	case s.lev[u] == off:
		return true
	case s.rim[u]:
		return s.rim[v] && s.isRim(h)
	}
	return s.lev[v] == s.lev[u]
}

// linked reports whether moving onto ring vertex i keeps the surface a manifold: the two vertices
// have exactly their two opposite corners as common neighbours.
func (t *thinner) linked(u int32, i int) bool {
	s := t.s
	v, n := t.ring[i], len(t.ring)
	t.far, _ = s.star(v, t.far[:0])
	whole := true
	common := 0
	for _, h := range t.far {
		w := s.to(h)
		if w != u && slices.Contains(t.ring, w) {
			common++
		}
		if s.opp[prev(h)] < 0 { // the last neighbour at a border leaves no half-edge
			whole = false
			if w := s.apex(h); w != u && slices.Contains(t.ring, w) {
				common++
			}
		}
	}
	if common != 2 || len(t.far)+n-4 > mostValence {
		return false
	}
	if !whole && !s.lock[v] {
		return false
	}
	return s.valence(t.ring[(i+1)%n]) > 3 && s.valence(t.ring[(i+n-1)%n]) > 3
}

func (s *surf) valence(v int32) int {
	var buf [64]int32
	hs, whole := s.star(v, buf[:0])
	if !whole {
		return len(hs) + 1
	}
	return len(hs)
}

// altitude returns the least altitude of a triangle.
func (s *surf) altitude(t [3]int32) float64 {
	a, b, c := s.p[t[0]], s.p[t[1]], s.p[t[2]]
	l := max(b.Sub(a).Norm(), c.Sub(b).Norm(), a.Sub(c).Norm())
	return s.cross(t).Norm() / l
}

// shaped reports whether the triangles that would stand round ring vertex i are sound: altitude,
// turn, length, and none becomes or stops being level.
func (t *thinner) shaped(i int) bool {
	s := t.s
	v, n := t.ring[i], len(t.ring)
	least := min(leastAltitude, 1.5*t.o.Tol)
	keep := 1.01
	if t.tidy {
		keep = 0.5 // what stands beside a short edge is slim already
	}
	for j := 1; j < n-1; j++ {
		a, b := (i+j)%n, (i+j+1)%n
		tri := [3]int32{v, t.ring[a], t.ring[b]}
		was, now := s.level(t.star[a]/3), off
		if k := s.lev[v]; k == s.lev[tri[1]] && k == s.lev[tri[2]] {
			now = k
		}
		if was != now {
			return false
		}
		c := s.cross(tri)
		l := c.Norm()
		if !(c.Dot(t.norm[a]) > turnLeast*l) {
			return false
		}
		if now != off && c.Z <= 0 {
			return false
		}
		if alt := s.altitude(tri); alt < least && alt < keep*t.low {
			return false
		}
		inPlane := now != off && s.level(t.star[(a+n-1)%n]/3) != off
		if t.o.MaxEdge > 0 && !inPlane && j > 1 && s.p[v].Sub(s.p[tri[1]]).Norm() > t.o.MaxEdge {
			return false
		}
	}
	return true
}

// true reports whether what would stand round ring vertex i keeps to the field.
func (t *thinner) true(i int) bool {
	s, p := t.s, t.p
	v, n := t.ring[i], len(t.ring)
	u := s.from(t.star[i])
	pv := s.p[v]
	flat := func(a int) bool { return s.level(t.star[a]/3) != off }
	// The middles first: one of them tells of most moves that fail.
	for j := 1; j < n-1; j++ {
		a := (i + j) % n
		w := t.ring[a]
		if j > 1 && !t.tidy && !(flat(a) && flat((a+n-1)%n)) {
			d := p.strayAt(pv, s.p[w], t.tol, edgeAt[:1])
			if d > t.tol {
				return false
			}
			t.calm[j] = d <= calm*t.tol/4
		}
		if tri := [3]int32{v, w, t.ring[(a+1)%n]}; !(flat(a) && t.flatInside(tri)) && !t.centred(p, tri, t.tidy) {
			return false
		}
	}
	for j := 1; j < n-1 && !t.tidy; j++ {
		a := (i + j) % n
		w := t.ring[a]
		left, right := flat(a), flat((a+n-1)%n)
		if j > 1 && !(left && right) {
			if !t.calm[j] && p.strayAt(pv, s.p[w], t.tol, edgeAt[1:]) > t.tol {
				return false
			}
			if left != right && t.rimBad(p, v, w, left) {
				return false
			}
		}
		if tri := [3]int32{v, w, t.ring[(a+1)%n]}; !(left && t.flatInside(tri)) && !t.insideFrom(p, tri, 1) {
			return false
		}
	}
	return !s.rim[u] || t.rimKept(i)
}

// rimKept reports whether a rim that turns off beside the edge walked along stays true: then
// no new edge replaces it, but one that stands already becomes rim.
func (t *thinner) rimKept(i int) bool {
	n := len(t.ring)
	if n == 3 {
		return false
	}
	flat := func(a int) bool { return t.s.level(t.star[(a+n)%n]/3) != off }
	after, before := (i+1)%n, (i+n-1)%n
	if t.s.isRim(t.star[after]) && t.rimBad(t.p, t.ring[i], t.ring[after], flat(i+1)) {
		return false
	}
	return !t.s.isRim(t.star[before]) || !t.rimBad(t.p, t.ring[i], t.ring[before], !flat(i-2))
}
