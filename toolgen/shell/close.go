package shell

import (
	"context"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

const (
	// eases is how often a contact side that crosses itself is eased before the part is refused, and
	// patience how often a free side is cut short before the contact side below it is eased too.
	eases    = 30
	patience = 10
)

// close joins both sides by the cut edge and mends what crosses.
func (s *maker) close(ctx context.Context) (*Part, error) {
	m := s.solid()
	for eased, mended := 0, 0; ; {
		count, list, err := m.Crossings(ctx, math.MaxInt32)
		if err != nil {
			return nil, err
		}
		if count == 0 {
			break
		}
		ok := false
		if folds := s.folds(list); len(folds) > 0 || mended >= patience {
			if mended = 0; len(folds) == 0 { // cutting short does not help: the contact side is creased there
				folds = s.below(list)
			}
			eased++
			ok = eased <= eases
			s.ease(folds, eased)
			s.offsets()
			s.untangle()
		} else {
			mended++
			ok = s.mend(list) || mended < patience
		}
		if !ok {
			return nil, &ShapeError{s.middle(list[0].A), "the formed sheet runs through itself"}
		}
		m = s.solid()
	}
	p := &Part{
		Mesh: m, Contact: len(s.v), Sides: len(s.tri), Wall: s.wall, Holes: len(s.in.Holes), Density: s.in.Density, Thinned: s.thinned(), Eased: s.easedArea(),
	}
	var err error
	if p.Audit, err = m.Audit(ctx); err != nil {
		return nil, err
	}
	if err := p.Audit.Fault(); err != nil {
		return nil, &ShapeError{s.fault(p.Audit), err.Error()}
	}
	p.Volume, p.Sheet = p.Audit.Volume, s.sheetVolume()
	return p, nil
}

// fault returns the place of the first fault of an audit.
func (s *maker) fault(a mesh.Audit) geom.Vec3 {
	for _, d := range [...]mesh.Defect{a.Degenerate, a.Duplicate, a.Open, a.Crowded, a.Flipped, a.Pinched, a.Unused, a.Inward, a.Crossed} {
		if d.Count > 0 {
			return d.At
		}
	}
	return a.Box.Centre()
}

// solid returns the mesh of both sides and the cut edge, on the grid of finished vertices.
func (s *maker) solid() *mesh.Mesh {
	n, k := int32(len(s.v)), len(s.tri)
	m := &mesh.Mesh{V: make([]geom.Vec3, 2*n), T: make([][3]int32, 2*k, 2*k+2*len(s.edge))}
	for i, p := range s.v {
		m.V[i], m.V[int(n)+i] = mesh.Quantise(p), mesh.Quantise(p.Add(s.off[i]))
	}
	for i, t := range s.tri {
		m.T[i] = [3]int32{t[0], t[2], t[1]}
		m.T[k+i] = [3]int32{t[0] + n, t[1] + n, t[2] + n}
	}
	for _, e := range s.edge {
		a, b := e[0], e[1]
		m.T = append(m.T, [3]int32{a, b, b + n}, [3]int32{a, b + n, a + n})
	}
	return m
}

// folds returns the triangles of the contact side that cross each other.
func (s *maker) folds(list []mesh.Crossing) []int32 {
	var out []int32
	for _, c := range list {
		if c.B < len(s.tri) {
			out = append(out, int32(c.A), int32(c.B))
		}
	}
	return out
}

// below returns the triangles of the contact side under those that cross.
func (s *maker) below(list []mesh.Crossing) []int32 {
	var out []int32
	for _, c := range list {
		for _, t := range [...]int{c.A, c.B} {
			if k := len(s.tri); t < 2*k {
				out = append(out, int32(t%k))
				continue
			}
			// On the cut edge: the triangles around its corners.
			e := s.edge[(t-2*len(s.tri))/2]
			out = append(out, s.around[s.first[e[0]]:s.first[e[0]+1]]...)
			out = append(out, s.around[s.first[e[1]]:s.first[e[1]+1]]...)
		}
	}
	return out
}

// mend cuts the offsets short at triangles that cross; false when none could be.
func (s *maker) mend(list []mesh.Crossing) bool {
	some := false
	for _, i := range s.ring(s.below(list)) {
		before := s.off[i]
		s.shorten([]int32{i})
		some = some || s.off[i] != before
	}
	return some
}

// middle returns the middle of a triangle of the contact side, or of the free side's twin.
func (s *maker) middle(t int) geom.Vec3 {
	k := t % len(s.tri)
	if t >= 2*len(s.tri) {
		return s.v[s.edge[(t-2*len(s.tri))/2][0]]
	}
	c := s.tri[k]
	return s.v[c[0]].Add(s.v[c[1]]).Add(s.v[c[2]]).Scale(1.0 / 3)
}

// sheetVolume returns the volume of flat sheet that is in the part, mm3.
func (s *maker) sheetVolume() float64 {
	sh := s.in.Sheet
	whole := func(k int32) float64 {
		n := sh.Triangles[k].N
		a, b, c := s.in.Map.Back(sh.Nodes[n[0]].At), s.in.Map.Back(sh.Nodes[n[1]].At), s.in.Map.Back(sh.Nodes[n[2]].At)
		return b.Sub(a).Cross(c.Sub(a)).Norm()
	}
	sum := 0.0
	for i, t := range s.tri {
		sum += s.spin(t).Norm() / whole(s.from[i]) * sh.FlatArea(int(s.from[i]))
	}
	return sum * sh.Gauge
}
