package shell

import (
	"context"
	"math"

	"platen/toolgen/geom"
)

const (
	// flips is how often all edges are looked at.
	flips = 8
	// flatter is the cosine between two triangles, and the share of their area that each keeps at least, for
	// their common edge to be turned: they must lie about in one plane.
	flatter  = 0.85
	leastNew = 0.02
	// chordMore is how much farther off the face the middle of the turned edge may be, mm.
	chordMore = 0.1
	// lookEvery is how many triangles are turned between two looks at the context.
	lookEvery = 4096
)

// flip turns edges of landed sheet to the shorter way across: the sheet stretches its triangles down a wall, and
// along their long edges it is told nothing of the walls half-way.
func (s *maker) flip(ctx context.Context) error {
	for range flips {
		type side struct{ tri, edge int32 }
		other := make(map[[2]int32]side, 3*len(s.tri)/2)
		done := make([]bool, len(s.tri))
		turned := false
		for k := range s.tri {
			if k%lookEvery == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			for e := range int32(3) {
				i, j := s.tri[k][e], s.tri[k][(e+1)%3]
				o, ok := other[edgeOf(i, j)]
				if !ok {
					other[edgeOf(i, j)] = side{int32(k), e}
					continue
				}
				if done[k] || done[o.tri] || !s.better(int32(k), o.tri, i, j, s.tri[k][(e+2)%3], s.tri[o.tri][(o.edge+2)%3]) {
					continue
				}
				a, b := s.tri[k][(e+2)%3], s.tri[o.tri][(o.edge+2)%3]
				s.tri[k], s.tri[o.tri] = [3]int32{i, b, a}, [3]int32{b, j, a}
				done[k], done[o.tri], turned = true, true, true
				break
			}
		}
		if !turned {
			break
		}
	}
	return nil
}

// better reports whether edge i-j of triangle k, with a opposite, and of triangle o, with b, should be a-b: what lies
// opposite it is more than half a turn (Delaunay's rule), and the sheet stays as it is.
func (s *maker) better(k, o, i, j, a, b int32) bool {
	if !s.fit[i] || !s.fit[j] || !s.fit[a] || !s.fit[b] {
		return false
	}
	if s.angle(a, i, j)+s.angle(b, i, j) <= math.Pi*(1+1e-9) {
		return false
	}
	m, n := s.spin(s.tri[k]), s.spin(s.tri[o])
	u, v := s.spin([3]int32{i, b, a}), s.spin([3]int32{b, j, a})
	all := m.Add(n)
	size := all.Norm()
	for _, w := range [...]geom.Vec3{m, n, u, v} {
		if w.Dot(all) < flatter*w.Norm()*size {
			return false
		}
	}
	if least := leastNew * size; u.Norm() < least || v.Norm() < least {
		return false
	}
	return s.chord(a, b) <= s.chord(i, j)+chordMore
}

// angle returns the angle at a vertex between two others.
func (s *maker) angle(at, i, j int32) float64 {
	u, v := s.v[i].Sub(s.v[at]), s.v[j].Sub(s.v[at])
	return math.Atan2(u.Cross(v).Norm(), u.Dot(v))
}

// chord returns how far the middle between two vertices is off the face, mm.
func (s *maker) chord(i, j int32) float64 {
	d, _, _ := s.in.Face(s.in.Map.Point(s.v[i].Add(s.v[j]).Scale(0.5)))
	return math.Abs(d)
}
