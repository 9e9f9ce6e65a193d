package contour

import (
	"math"

	"platen/toolgen/geom"
)

// A rim is the line where a level plane ends: the tangent line of a rounding, or a sharp edge. Rim
// vertices are put where an edge of the contour leaves the plane, so that afterwards no edge joins
// the inside of a level with anything off it, and the border of what remains once the level
// triangles are dropped runs along the rim.

const (
	// rimEnd is how close a rim is found, mm; rimSteps bounds the search: an edge of 10 mm halved.
	rimEnd   = 1e-6
	rimSteps = 24
	// rimNear is the share of the tolerance within which an end of an edge counts as on the rim.
	rimNear = 0.1
	// rimPasses bounds the passes over mixed edges; each leaves only edges it made itself.
	rimPasses = 12
)

// mixed reports whether half-edge h leaves the inside of a level for something off it.
func (s *surf) mixed(h int32) bool {
	u, v := s.from(h), s.to(h)
	return s.lev[u] != off && !s.rim[u] && s.lev[v] != s.lev[u]
}

// rims puts a vertex where each mixed edge crosses the rim; it returns the triangles changed.
func (r *run) rims(within []int32) ([]int32, error) {
	s := r.s
	var changed []int32
	for range rimPasses {
		var hs []int32
		for _, t := range within {
			for h := 3 * t; h < 3*t+3; h++ {
				if s.mixed(h) {
					hs = append(hs, h)
				}
				if o := s.opp[h]; o >= 0 && s.mixed(o) {
					hs = append(hs, o)
				}
			}
		}
		if len(hs) == 0 {
			return changed, nil
		}
		at := make([]rimHit, len(hs))
		err := r.each(len(hs), 64, func(p *probe, lo, hi int) {
			for i := lo; i < hi; i++ {
				at[i] = r.rimOn(p, hs[i])
			}
		})
		if err != nil {
			return nil, err
		}
		within = within[:0:0]
		for _, q := range at {
			h := s.find(q.u, q.v)
			if h < 0 || !s.mixed(h) {
				continue
			}
			within = append(within, r.setRim(h, q)...)
		}
		changed = append(changed, within...)
	}
	return changed, nil
}

// rimHit is the crossing of an edge with the rim.
type rimHit struct {
	u, v int32
	p, g geom.Vec3
}

// rimOn finds where the edge of h, which starts inside a level, leaves it in plan.
//
// A rounding falls off its plane with the square of the way, so the root of the distance is straight:
// two values beyond the rim tell where it is, and a look on either side proves it. Where that fails
// the stretch is halved.
func (r *run) rimOn(p *probe, h int32) rimHit {
	s := r.s
	q := rimHit{u: s.from(h), v: s.to(h)}
	k := s.lev[q.u]
	from, way := s.p[q.u].Plan(), s.p[q.v].Plan().Sub(s.p[q.u].Plan())
	look := func(x float64) (in bool, root float64) {
		f := p.at(from.Add(way.Scale(x)).At(r.f.z[k]))
		return r.f.levelOf(f.Piece) == k, math.Sqrt(math.Abs(f.D))
	}
	a, b := 0.0, 1.0
	var root [2]float64 // at b and at the place beyond it
	var at [2]float64
	beyond := func(x, y float64) { b, at, root = x, [2]float64{x, at[0]}, [2]float64{y, root[0]} }
	_, y := look(1)
	beyond(1, y)
	eps := rimEnd / max(way.Norm(), rimEnd)
	for range rimSteps {
		if b-a <= eps {
			break
		}
		x := (a + b) / 2
		if d := root[1] - root[0]; d > 0 && root[0] > 0 {
			if g := at[0] - root[0]*(at[1]-at[0])/d; g-eps/2 > a && g+eps/2 < b {
				if in, y := look(g + eps/2); !in {
					beyond(g+eps/2, y)
					x = g - eps/2
				} else {
					a = g + eps/2
					x = (a + b) / 2
				}
			}
		}
		if in, y := look(x); in {
			a = x
		} else {
			beyond(x, y)
		}
	}
	q.p = from.Add(way.Scale(a)).At(r.f.z[k])
	q.g = geom.Vec3{Z: 1}
	return q
}

// setRim makes the crossing a vertex: an end of the edge that lies there already, or a new one. It
// returns the triangles changed.
func (r *run) setRim(h int32, q rimHit) []int32 {
	s := r.s
	k := s.lev[q.u]
	near := rimNear * r.tol
	switch {
	case q.p.Sub(s.p[q.v]).Norm() < near && s.lev[q.v] == off && !s.lock[q.v]:
		s.p[q.v].Z, s.lev[q.v], s.rim[q.v] = r.f.z[k], k, true
		return s.around(q.v)
	case q.p.Sub(s.p[q.u]).Norm() < near || s.opp[h] < 0:
		s.rim[q.u] = true
		return s.around(q.u)
	}
	o := s.opp[h]
	m := s.add(q.p, q.g, k)
	s.rim[m] = true
	t1, t2 := s.split(h, m)
	return []int32{h / 3, o / 3, t1, t2}
}

// bridges splits edges that leave a rim back over their level, so that no corner of a level is
// bridged by triangles off it.
func (r *run) bridges() error {
	s := r.s
	var hs []int32
	for h, o := range s.opp {
		if h := int32(h); o > h && !s.dead[h/3] && (s.rim[s.from(h)] || s.rim[s.to(h)]) {
			hs = append(hs, h)
		}
	}
	made, err := r.apply(hs, r.judgeBridge)
	if err != nil || len(made) == 0 {
		return err
	}
	if _, err = r.rims(made); err != nil {
		return err
	}
	return r.tidy()
}

// judgeBridge says whether the edge of h, which starts or ends on a rim, runs over the level though
// neither of its faces is level.
func (r *run) judgeBridge(p *probe, h int32) change {
	s := r.s
	u, v := s.from(h), s.to(h)
	if !s.rim[u] {
		u, v = v, u
	}
	k, d := s.lev[u], s.p[v].Sub(s.p[u])
	length := d.Norm()
	if s.level(h/3) != off || s.level(s.opp[h]/3) != off || length < leastEdge*r.tol {
		return change{}
	}
	for _, t := range edgeAt {
		m := s.p[u].Add(d.Scale(t))
		if !p.within(m.Plan(), k) {
			continue
		}
		q := m.Plan().At(r.f.z[k])
		if q.Sub(m).Norm() <= farMove*length && r.fits(p, h, q) {
			return change{act: part, h: h, v: vertex{q, geom.Vec3{Z: 1}, r.levelPiece(k)}}
		}
	}
	return change{}
}

// around returns the triangles of a vertex.
func (s *surf) around(v int32) []int32 {
	hs, _ := s.star(v, nil)
	for i := range hs {
		hs[i] /= 3
	}
	return hs
}

// rimBad reports whether the rim edge of h strays from the rim by more than the tolerance.
func (r *run) rimBad(p *probe, u, v int32, left bool) bool {
	s := r.s
	k := s.lev[u]
	a, d := s.p[u].Plan(), s.p[v].Plan().Sub(s.p[u].Plan())
	if d.Norm() < 2*r.tol {
		return false
	}
	n := d.Unit().Left().Scale(r.tol)
	if !left {
		n = n.Scale(-1)
	}
	for _, t := range edgeAt {
		m := a.Add(d.Scale(t))
		if (k == r.f.host() && r.f.Plan(m) > r.o.Tol) || !p.within(m.Add(n), k) || p.within(m.Sub(n), k) {
			return true
		}
	}
	return false
}

// rimBeside finds the rim beside the middle of rim edge h, up to half its length away.
func (r *run) rimBeside(p *probe, h int32) (geom.Vec3, bool) {
	s := r.s
	u, v := s.from(h), s.to(h)
	k := s.lev[u]
	d := s.p[v].Plan().Sub(s.p[u].Plan())
	m := s.p[u].Plan().Add(s.p[v].Plan()).Scale(0.5)
	n := d.Left() // towards the level when its triangle is h's own
	if s.level(h/3) != k {
		n = n.Scale(-1)
	}
	in := p.within(m, k)
	if in {
		n = n.Scale(-1)
	}
	for _, t := range [5]float64{1. / 32, 1. / 16, 1. / 8, 1. / 4, 0.45} {
		b := m.Add(n.Scale(t))
		if p.within(b, k) == in {
			continue
		}
		a := m
		for range rimSteps {
			c := a.Add(b).Scale(0.5)
			if p.within(c, k) == in {
				a = c
			} else {
				b = c
			}
		}
		return a.At(r.f.z[k]), true
	}
	return geom.Vec3{}, false
}

// turned returns how far apart two faces look, as the cosine between their normals.
func (s *surf) turned(t1, t2 int32) float64 {
	a, b := s.cross(s.t[t1]), s.cross(s.t[t2])
	return a.Dot(b) / math.Sqrt(a.Dot(a)*b.Dot(b))
}
