package contour

import (
	"math"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
)

// facingFinal is the least cosine between normal and gradient in a finished mesh: at a fold it turns
// negative, while 0.3 still tells a crease from one. A needle lower than half the tolerance may stand
// up further, for then its normal is that of a step no higher than that; it must face the air too.
const facingFinal = 0.3

// finish drops the level triangles and checks what remains; bad lists what is not as promised.
func (r *run) finish() (*mesh.Mesh, []*Unresolved, error) {
	m, from := r.open()
	m.P = make([]piece.ID, len(m.T))
	face := make([]float64, len(m.T))
	err := r.each(len(m.T), splitChunk, func(p *probe, lo, hi int) {
		for i := lo; i < hi; i++ {
			f := p.at(r.s.middle(from[i]))
			m.P[i] = f.Piece
			n := r.s.cross(r.s.t[from[i]])
			face[i] = n.Dot(f.G) / n.Norm()
		}
	})
	if err != nil {
		return nil, nil, err
	}
	bad, err := r.rimsOff()
	if err != nil {
		return nil, nil, err
	}
	bad = append(append(bad, r.loops()...), r.doubles()...)
	for i, t := range from {
		if !(face[i] >= facingFinal) && !(face[i] > 0 && r.s.altitude(r.s.t[t]) < r.o.Tol/2) {
			bad = append(bad, &Unresolved{"a triangle turns against the surface", r.s.middle(t), face[i], facingFinal})
		}
	}
	r.rep.MaxDev = 0
	p := newProbe(r.f)
	for t, d := range r.dev {
		if r.s.dead[t] {
			continue
		}
		r.rep.MaxDev = max(r.rep.MaxDev, d)
		if !(d <= r.o.Tol) {
			bad = append(bad, &Unresolved{"the mesh leaves the surface", r.dense(p, int32(t)).at, d, r.o.Tol})
		}
	}
	r.evals.Add(p.n)
	r.rep.Triangles = len(m.T)
	r.rep.Rejected = r.rejected()
	_, hits, err := m.Crossings(r.ctx, 64)
	if err != nil {
		return nil, nil, err
	}
	for _, c := range hits {
		bad = append(bad, &Unresolved{What: "triangles cross", At: r.s.middle(from[c.A])})
	}
	return m, bad, nil
}

// rejected counts the refused splits whose place is still as it was.
func (r *run) rejected() int { return len(r.standing()) }

// standing returns the half-edges of the refused splits whose place is still as it was.
func (r *run) standing() []int32 {
	var hs []int32
	for _, f := range r.refused {
		h := r.s.find(f.u, f.v)
		if h >= 0 && (f.w < 0 || r.s.apex(h) == f.w) {
			hs = append(hs, h)
		}
	}
	slices.Sort(hs)
	return slices.Compact(hs)
}

// doubles finds edges that stand twice.
func (r *run) doubles() []*Unresolved {
	s := r.s
	var bad []*Unresolved
	seen := make(map[[2]int32]bool, len(s.t)*3)
	for t, v := range s.t {
		if s.dead[t] {
			continue
		}
		for k := range 3 {
			e := [2]int32{v[k], v[(k+1)%3]}
			if seen[e] {
				bad = append(bad, &Unresolved{What: "an edge has more than two faces", At: s.p[e[0]]})
			}
			seen[e] = true
		}
	}
	return bad
}

// middle returns the centroid of a triangle.
func (s *surf) middle(t int32) geom.Vec3 {
	v := s.t[t]
	return s.p[v[0]].Add(s.p[v[1]]).Add(s.p[v[2]]).Scale(1. / 3)
}

// marks asks for half the cell size round each fault.
func (r *run) marks(bad []*Unresolved) []mark {
	var ms []mark
	for _, b := range bad {
		d := b.At.Sub(r.l.o).Scale(1 / r.l.u)
		at, ok := r.locate(int32(math.Floor(d.X)), int32(math.Floor(d.Y)), int32(math.Floor(d.Z)))
		if !ok {
			continue
		}
		size := min(float64(at.s), float64(r.l.fine)) * r.l.u
		ms = append(ms, mark{b.At, 2 * size, size / 2})
	}
	return ms
}
