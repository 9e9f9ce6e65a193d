package contour

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
)

// facingFinal is the least cosine between normal and gradient in a finished mesh: at a fold it turns
// negative, while 0.3 still tells a crease from one.
const facingFinal = 0.3

// finish drops the level triangles and checks what remains; bad lists what is not as promised.
func (r *run) finish() (*mesh.Mesh, []*Unresolved, error) {
	m, from := r.open()
	m.P = make([]piece.ID, len(m.T))
	dev := make([]worst, len(m.T))
	face := make([]float64, len(m.T))
	err := r.each(len(m.T), splitChunk, func(p *probe, lo, hi int) {
		for i := lo; i < hi; i++ {
			t := r.s.t[from[i]]
			a, b, c := r.s.p[t[0]], r.s.p[t[1]], r.s.p[t[2]]
			f := p.at(a.Add(b).Add(c).Scale(1. / 3))
			m.P[i] = f.Piece
			n := b.Sub(a).Cross(c.Sub(a))
			face[i] = n.Dot(f.G) / n.Norm()
			dev[i] = r.dense(p, from[i])
		}
	})
	if err != nil {
		return nil, nil, err
	}
	bad := r.loops()
	r.rep.MaxDev = 0
	for i, d := range dev {
		at := r.s.middle(from[i])
		if !(d.d <= r.o.Tol) {
			bad = append(bad, &Unresolved{"the mesh leaves the surface", d.at, d.d, r.o.Tol})
		}
		if !(face[i] >= facingFinal) {
			bad = append(bad, &Unresolved{"a triangle turns against the surface", at, face[i], facingFinal})
		}
		r.rep.MaxDev = max(r.rep.MaxDev, d.d)
	}
	r.rep.Triangles = len(m.T)
	_, hits, err := m.Crossings(r.ctx, 64)
	if err != nil {
		return nil, nil, err
	}
	for _, c := range hits {
		bad = append(bad, &Unresolved{What: "triangles cross", At: r.s.middle(from[c.A])})
	}
	return m, bad, nil
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
