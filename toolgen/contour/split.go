package contour

import (
	"math"
	"slices"

	"platen/toolgen/geom"
)

// This file owns the passes that split and flip: what they go over, and making the changes in order.

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

	splitChunk  = 64
	splitRounds = 60
	refineLoops = 8
	refineTries = 4
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
		var err error
		if todo, err = r.loosen(); err != nil || len(todo) == 0 {
			return err
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
func (r *run) loosen() ([]int32, error) {
	s := r.s
	p := newProbe(r.f)
	t := thinner{run: r, p: p, most: math.Inf(1), tidy: true}
	var todo []int32
	for _, f := range r.standing() {
		if err := r.ctx.Err(); err != nil {
			return nil, err
		}
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
	return slices.Compact(todo), nil
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
	for i, c := range cs {
		if err := r.poll(i); err != nil {
			return nil, err
		}
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
