package contour

import (
	"math"
	"slices"
)

// pair joins the triangles along their edges. An edge with more than two faces is paired by angle,
// through the material, and a vertex with several fans becomes one vertex for each, so what comes
// out is a 2-manifold by construction. It returns the places where it can not be one: the surface is
// open inside the region, or reaches the region's border off the host plane.
func (r *run) pair(tris [][3]int32) (bad []*Unresolved, err error) {
	s := r.s
	s.t = tris
	s.opp = make([]int32, 3*len(tris))
	s.dead = make([]bool, len(tris))
	for i := range s.opp {
		s.opp[i] = -1
	}
	r.multi = nil
	// Half-edges by their lower vertex, in order.
	start := make([]int32, len(s.p)+2)
	for h := range s.opp {
		start[min(s.from(int32(h)), s.to(int32(h)))+2]++
	}
	for i := 2; i < len(start); i++ {
		start[i] += start[i-1]
	}
	by := make([]int32, len(s.opp))
	for h := range s.opp {
		u := min(s.from(int32(h)), s.to(int32(h)))
		by[start[u+1]] = int32(h)
		start[u+1]++
	}
	high := func(h int32) int32 { return max(s.from(h), s.to(h)) }
	for u := range s.p {
		if err := r.poll(u); err != nil {
			return nil, err
		}
		hs := by[start[u]:start[u+1]]
		slices.SortStableFunc(hs, func(a, b int32) int { return int(high(a)) - int(high(b)) })
		for i := 0; i < len(hs); {
			j := i + 1
			for j < len(hs) && high(hs[j]) == high(hs[i]) {
				j++
			}
			if j-i > 2 {
				r.multi = append(r.multi, hs[i:j]...)
			}
			if b := s.pairEdge(hs[i:j], int32(u), high(hs[i])); b != nil {
				bad = append(bad, b)
			}
			i = j
		}
	}
	if len(bad) > 0 {
		return bad, nil
	}
	if err := r.fans(); err != nil {
		return nil, err
	}
	return r.border(), nil
}

// pairEdge pairs the half-edges between u and v.
func (s *surf) pairEdge(hs []int32, u, v int32) *Unresolved {
	switch {
	case len(hs) == 1:
		return nil
	case len(hs) == 2 && s.from(hs[0]) != s.from(hs[1]):
		s.link(hs[0], hs[1])
		return nil
	}
	d := s.p[v].Sub(s.p[u]).Unit()
	x := s.p[s.apex(hs[0])].Sub(s.p[u])
	x = x.Sub(d.Scale(d.Dot(x))).Unit()
	y := d.Cross(x)
	angle := func(h int32) float64 {
		a := s.p[s.apex(h)].Sub(s.p[u])
		return math.Atan2(a.Dot(y), a.Dot(x))
	}
	slices.SortStableFunc(hs, func(a, b int32) int {
		switch da, db := angle(a), angle(b); {
		case da < db:
			return -1
		case da > db:
			return 1
		}
		return 0
	})
	// Going round the edge with falling angle, material follows a face that runs from u to v and
	// ends at one that runs back.
	n := len(hs)
	for i, h := range hs {
		b := hs[(i+n-1)%n]
		if (s.from(h) == u) == (s.from(b) == u) {
			return &Unresolved{What: "the faces round an edge do not enclose material", At: s.p[u]}
		}
		if s.from(h) == u {
			s.link(h, b)
		}
	}
	return nil
}

// fans gives every fan of triangles its own vertex.
func (r *run) fans() error {
	s := r.s
	seen := make([]bool, len(s.opp))
	for h := range s.opp {
		if err := r.poll(h); err != nil {
			return err
		}
		if seen[h] {
			continue
		}
		v := s.from(int32(h))
		if s.out[v] >= 0 {
			w := s.add(s.p[v], s.g[v], s.lev[v])
			s.lock[w] = s.lock[v]
			s.out[w] = int32(h)
			v = w
		} else {
			s.out[v] = int32(h)
		}
		hs, _ := s.star(v, nil)
		for _, g := range hs {
			seen[g] = true
			s.t[g/3][g%3] = v
		}
	}
	return nil
}

// undouble splits edges that still stand twice between the same two vertices.
func (r *run) undouble() {
	s := r.s
	p := &probe{f: r.f}
	for _, h := range r.multi {
		u, v := s.from(h), s.to(h)
		hs, _ := s.star(u, nil)
		n := 0
		for _, g := range hs {
			if s.to(g) == v {
				n++
			}
		}
		if n < 2 || s.opp[h] < 0 {
			continue
		}
		q, f := p.project(s.p[u].Add(s.p[v]).Scale(0.5))
		s.split(h, r.addVertex(vertex{q, f.G, f.Piece}))
	}
	r.evals.Add(p.n)
}

// border checks that the surface is open only along the border of the region and lies in the host
// plane there. Vertices of border cells are locked already.
func (r *run) border() (bad []*Unresolved) {
	s, host := r.s, r.f.host()
	for h, o := range s.opp {
		if o >= 0 {
			continue
		}
		for _, v := range [2]int32{s.from(int32(h)), s.to(int32(h))} {
			switch {
			case !s.lock[v]:
				bad = append(bad, &Unresolved{What: "the surface is open", At: s.p[v]})
			case s.lev[v] != host:
				bad = append(bad, &Unresolved{What: "the surface reaches the border of its region off the host plane", At: s.p[v]})
			}
		}
	}
	return bad
}
