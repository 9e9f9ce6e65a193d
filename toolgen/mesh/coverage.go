package mesh

import (
	"context"
	"fmt"
	"math"

	"platen/toolgen/geom"
)

// Coverage is how far given points of the surface lie from the mesh: the way back of Deviation,
// which cannot see surface that the mesh has left out.
type Coverage struct {
	Points int
	Max    float64   // largest distance to the mesh, mm
	At     geom.Vec3 // the point that lies that far off
	Sample int       // its number; -1 when there were no points
	P999   float64   // mm: 99.9 % of the points lie no farther; too large by at most 1 %
}

// batch is the number of points drawn before they are measured.
const batch = 64 * chunk

// Coverage measures the distance from points to the nearest place of the mesh. Samples returns point
// i and true, or false when there are no more; it is called in order, from one goroutine.
//
// Returns an error when ctx is done, the mesh has no triangles or unreadable numbers, or a point is
// not finite.
func (m *Mesh) Coverage(ctx context.Context, samples func(i int) (geom.Vec3, bool)) (Coverage, error) {
	if err := m.valid(); err != nil {
		return Coverage{}, err
	}
	if len(m.T) == 0 {
		return Coverage{}, fmt.Errorf("mesh: no triangles to measure distances from")
	}
	tr, err := newTree(ctx, m, func(int) bool { return true })
	if err != nil {
		return Coverage{}, err
	}
	c := Coverage{Sample: -1}
	spread := &histogram{}
	points := make([]geom.Vec3, 0, batch)
	far := make([]float64, batch)
	for more := true; more; {
		points = points[:0]
		for len(points) < batch && ctx.Err() == nil {
			var p geom.Vec3
			if p, more = samples(c.Points + len(points)); !more {
				break
			}
			if !p.IsFinite() {
				return Coverage{}, fmt.Errorf("mesh: sample %d is not finite", c.Points+len(points))
			}
			points = append(points, p)
		}
		err := each(ctx, chunks(len(points)), func(_, k int) {
			from, to := chunkAt(k, len(points))
			for i := from; i < to && ctx.Err() == nil; i++ {
				far[i] = m.nearest(tr, points[i])
			}
		})
		if err != nil {
			return Coverage{}, err
		}
		for i, p := range points {
			spread.add(far[i])
			if c.Sample < 0 || far[i] > c.Max {
				c.Max, c.At, c.Sample = far[i], p, c.Points+i
			}
		}
		c.Points += len(points)
	}
	c.P999 = min(spread.quantile(0.999), c.Max)
	return c, nil
}

// nearest returns the distance from p to the mesh.
func (m *Mesh) nearest(t *tree, p geom.Vec3) float64 {
	best := math.Inf(1) // squared
	type step struct {
		node int32
		d    float64
	}
	var room [64]step
	stack := append(room[:0], step{0, t.nodes[0].dist2(p)})
	for len(stack) > 0 {
		s := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if s.d >= best {
			continue
		}
		n := &t.nodes[s.node]
		if n.count > 0 {
			for i := n.first; i < n.first+n.count; i++ {
				if t.boxes[i].dist2(p) < best {
					a, b, c := m.corners(int(t.order[i]))
					best = min(best, distance2(p, a, b, c))
				}
			}
			continue
		}
		l, r := step{node: s.node + 1}, step{node: n.first}
		l.d, r.d = t.nodes[l.node].dist2(p), t.nodes[r.node].dist2(p)
		if l.d < r.d {
			l, r = r, l
		}
		stack = append(stack, l, r) // the nearer on top
	}
	return math.Sqrt(best)
}

// distance2 returns the square of the distance from p to the triangle a, b, c: to its plane if p
// lies over it, else to its nearest side.
func distance2(p, a, b, c geom.Vec3) float64 {
	ab, bc, ca := b.Sub(a), c.Sub(b), a.Sub(c)
	pa, pb, pc := p.Sub(a), p.Sub(b), p.Sub(c)
	n := ab.Cross(bc)
	if nn := n.Dot(n); nn > 0 && n.Dot(ab.Cross(pa)) >= 0 && n.Dot(bc.Cross(pb)) >= 0 && n.Dot(ca.Cross(pc)) >= 0 {
		h := n.Dot(pa)
		return h * h / nn
	}
	return min(side2(pa, ab), side2(pb, bc), side2(pc, ca))
}

// side2 returns the square of the distance from the point q to the segment from 0 to d.
func side2(q, d geom.Vec3) float64 {
	s := 0.0
	if dd := d.Dot(d); dd > 0 {
		s = min(max(q.Dot(d)/dd, 0), 1)
	}
	r := q.Sub(d.Scale(s))
	return r.Dot(r)
}
