package mesh

import (
	"context"
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
)

// Distance is a signed distance to the surface the mesh stands for, mm. It is called from several
// goroutines at once.
type Distance func(p geom.Vec3) float64

// DenseOrder is the order of the grid that a promised tolerance is measured with: 91 points on each
// triangle, corners and sides included. Seven points (corners, middles of sides, centroid) see as
// little as half of the true deviation where a side runs from a plane into a rounding.
const DenseOrder = 12

// Deviation is how far a mesh lies from its surface, measured at grid points of its triangles.
type Deviation struct {
	Order    int       // intervals along each side of a triangle
	Points   int       // grid points measured
	Measured int       // triangles measured
	Exempt   int       // triangles left out as exact
	Max      float64   // largest distance, mm
	At       geom.Vec3 // where
	Triangle int       // on which triangle; -1 when none was measured
	Piece    piece.ID  // and its piece; piece.None when the mesh has none
	P999     float64   // mm: 99.9 % of the points deviate no more; too large by at most 1 %
	Worst    []float64 // by triangle: its largest distance, mm; 0 for exempt ones
}

// Over returns the share of the measured triangles that deviate by more than limit somewhere, from
// 0 to 1.
func (d Deviation) Over(limit float64) float64 {
	n := 0
	for _, w := range d.Worst {
		if w > limit {
			n++
		}
	}
	return float64(n) / float64(max(d.Measured, 1))
}

// Deviation measures the distance at a barycentric grid of the given order, (order+1)(order+2)/2
// points on each triangle. Exempt, if not nil, reports triangles the caller knows to lie in the
// surface, such as those on level planes; it is called from several goroutines at once. Equal
// maxima go to the lowest triangle.
//
// ERROR: a sample. For a distance that changes no faster than its place does, no point of a triangle
// deviates more than Max plus the distance to the nearest grid point. Returns an error when ctx is
// done, the order is not between 1 and 64, the mesh has unreadable numbers, or the distance is not a
// number somewhere.
func (m *Mesh) Deviation(ctx context.Context, dist Distance, exempt func(t int) bool, order int) (Deviation, error) {
	if order < 1 || order > 64 {
		return Deviation{}, fmt.Errorf("mesh: grid order %d is not between 1 and 64", order)
	}
	if err := m.valid(); err != nil {
		return Deviation{}, err
	}
	grid := barycentric(order)
	d := Deviation{Order: order, Triangle: -1, Piece: piece.None, Worst: make([]float64, len(m.T))}
	places := make([]geom.Vec3, len(m.T))
	skipped := make([]bool, len(m.T))
	spread := make([]histogram, workers())
	err := each(ctx, chunks(len(m.T)), func(w, c int) {
		from, to := chunkAt(c, len(m.T))
		for t := from; t < to && ctx.Err() == nil; t++ {
			if exempt != nil && exempt(t) {
				skipped[t] = true
				continue
			}
			d.Worst[t], places[t] = m.worst(t, dist, grid, &spread[w])
		}
	})
	if err != nil {
		return Deviation{}, err
	}
	for t, worst := range d.Worst {
		if skipped[t] {
			d.Exempt++
			continue
		}
		if math.IsNaN(worst) {
			return Deviation{}, fmt.Errorf("mesh: the distance at %s is not a number", place(places[t]))
		}
		d.Measured++
		if d.Triangle < 0 || worst > d.Max {
			d.Max, d.At, d.Triangle, d.Piece = worst, places[t], t, m.pieceOf(t)
		}
	}
	d.Points = d.Measured * len(grid)
	d.P999 = min(merge(spread).quantile(0.999), d.Max)
	return d, nil
}

// worst returns the largest distance on triangle t and where; NaN as soon as one distance is.
func (m *Mesh) worst(t int, dist Distance, grid [][3]float64, h *histogram) (float64, geom.Vec3) {
	a, b, c := m.corners(t)
	most, at := -1.0, geom.Vec3{}
	for _, g := range grid {
		p := geom.Vec3{
			X: float64(g[0]*a.X) + float64(g[1]*b.X) + float64(g[2]*c.X),
			Y: float64(g[0]*a.Y) + float64(g[1]*b.Y) + float64(g[2]*c.Y),
			Z: float64(g[0]*a.Z) + float64(g[1]*b.Z) + float64(g[2]*c.Z),
		}
		d := math.Abs(dist(p))
		if math.IsNaN(d) {
			return d, p
		}
		h.add(d)
		if d > most {
			most, at = d, p
		}
	}
	return most, at
}

// barycentric returns the weights of the grid points of the given order.
func barycentric(order int) [][3]float64 {
	var grid [][3]float64
	n := float64(order)
	for i := range order + 1 {
		for j := range order + 1 - i {
			grid = append(grid, [3]float64{float64(order-i-j) / n, float64(i) / n, float64(j) / n})
		}
	}
	return grid
}
