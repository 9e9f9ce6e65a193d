package contour

import (
	"math"

	"platen/toolgen/geom"
)

// This file owns how far edges and triangles stray from the surface at their sample places.

// edgeAt and faceAt are the sample places of the passes: the middles alone miss the worst spot of
// an edge that runs from a plane onto a rounding.
var (
	edgeAt = [5]float64{0.5, 0.25, 0.75, 0.1, 0.9}
	faceAt = [4][3]float64{{1. / 3, 1. / 3, 1. / 3}, {2. / 3, 1. / 6, 1. / 6}, {1. / 6, 2. / 3, 1. / 6}, {1. / 6, 1. / 6, 2. / 3}}
)

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
