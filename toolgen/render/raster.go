package render

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// buffer holds what each sample of the picture sees.
type buffer struct {
	w, h  int       // samples
	depth []float32 // height above the picture plane, samples; -Inf for the background
	tri   []int32   // triangle seen, -1 for the background
	ink   []uint8   // how much of a line covers the sample
}

// bandRows is the number of sample rows one worker draws at a time. Bands share no sample, so the
// picture does not depend on who draws which.
const bandRows = 64

// bands runs f for every band of rows [lo, hi), on all cores.
func bands(rows, step int, f func(lo, hi int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for {
				lo := int(next.Add(1)-1) * step
				if lo >= rows {
					return
				}
				f(lo, min(lo+step, rows))
			}
		})
	}
	wg.Wait()
}

// rasterise draws the triangles that face the viewer. screen holds the projected vertices.
func rasterise(m *mesh.Mesh, screen []geom.Vec3, w, h int) *buffer {
	b := &buffer{w: w, h: h, depth: make([]float32, w*h), tri: make([]int32, w*h), ink: make([]uint8, w*h)}
	bands(h, bandRows, func(lo, hi int) {
		for i := lo * w; i < hi*w; i++ {
			b.depth[i] = float32(math.Inf(-1))
			b.tri[i] = -1
		}
		for i, t := range m.T {
			b.triangle(int32(i), screen[t[0]], screen[t[1]], screen[t[2]], lo, hi)
		}
	})
	return b
}

// triangle draws the rows [lo, hi) of one triangle. Samples on a shared edge go to the triangle
// nearer to the viewer there, or to the first.
func (b *buffer) triangle(id int32, p, q, r geom.Vec3, lo, hi int) {
	y0 := max(lo, int(math.Ceil(min(p.Y, q.Y, r.Y)-0.5)))
	y1 := min(hi-1, int(math.Floor(max(p.Y, q.Y, r.Y)-0.5)))
	if y0 > y1 {
		return
	}
	// Y runs down, so a triangle that runs counter-clockwise seen from the air has a negative area.
	pq, pr := q.Sub(p), r.Sub(p)
	area := -pq.Plan().Cross(pr.Plan())
	if !(area > 0) {
		return
	}
	// Depth is dx x + dy y + d0 over the picture.
	dx := (float64(pr.Y*pq.Z) - float64(pq.Y*pr.Z)) / -area
	dy := (float64(pq.X*pr.Z) - float64(pr.X*pq.Z)) / -area
	for y := y0; y <= y1; y++ {
		fy := float64(y) + 0.5
		left, right := math.Inf(1), math.Inf(-1)
		for _, e := range [3][2]geom.Vec3{{p, q}, {q, r}, {r, p}} {
			a, c := e[0], e[1]
			if a.Y > c.Y {
				a, c = c, a // the same crossing from both sides of an edge
			}
			if fy < a.Y || fy > c.Y || a.Y == c.Y {
				continue
			}
			x := a.X + float64((c.X-a.X)*((fy-a.Y)/(c.Y-a.Y)))
			left, right = min(left, x), max(right, x)
		}
		x0 := max(0, int(math.Ceil(max(left, -1)-0.5)))
		x1 := min(b.w-1, int(math.Floor(min(right, float64(b.w)+1)-0.5)))
		row := y * b.w
		at := p.Z + float64(dy*(fy-p.Y))
		for x := x0; x <= x1; x++ {
			z := float32(at + float64(dx*(float64(x)+0.5-p.X)))
			if z > b.depth[row+x] {
				b.depth[row+x], b.tri[row+x] = z, id
			}
		}
	}
}
