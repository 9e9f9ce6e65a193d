package render

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// terrain is the body as a height over its plan, for light that is kept off: how much of the sky a
// point sees, and whether the key light reaches it.
type terrain struct {
	origin geom.Vec2 // of cell 0,0
	cell   float64   // mm
	nx, ny int
	z      []float64
	low    float64 // height of the bench
	high   float64 // highest point
}

// terrainCells is the number of cells along the longer side of the body.
const terrainCells = 700

func newTerrain(m *mesh.Mesh) *terrain {
	box := geom.EmptyBox3()
	for _, v := range m.V {
		box = box.Hold(v)
	}
	size := box.Size()
	t := &terrain{low: box.Min.Z, high: box.Max.Z}
	t.cell = max(size.X, size.Y, leastExtent) / terrainCells
	const rim = 2 // cells of bench round the body
	t.origin = box.Min.Plan().Sub(geom.Vec2{X: rim * t.cell, Y: rim * t.cell})
	t.nx, t.ny = int(size.X/t.cell)+2*rim+1, int(size.Y/t.cell)+2*rim+1
	t.z = make([]float64, t.nx*t.ny)
	bands(t.ny, 32, func(lo, hi int) {
		for i := lo * t.nx; i < hi*t.nx; i++ {
			t.z[i] = t.low
		}
		for _, f := range m.T {
			t.triangle(m.V[f[0]], m.V[f[1]], m.V[f[2]], lo, hi)
		}
	})
	return t
}

// triangle raises the rows [lo, hi) to a triangle that faces up.
func (t *terrain) triangle(a, b, c geom.Vec3, lo, hi int) {
	y0 := max(lo, int(math.Ceil((min(a.Y, b.Y, c.Y)-t.origin.Y)/t.cell)))
	y1 := min(hi-1, int(math.Floor((max(a.Y, b.Y, c.Y)-t.origin.Y)/t.cell)))
	n := b.Sub(a).Cross(c.Sub(a))
	if y0 > y1 || !(n.Z > 0) {
		return
	}
	x0 := max(0, int(math.Ceil((min(a.X, b.X, c.X)-t.origin.X)/t.cell)))
	x1 := min(t.nx-1, int(math.Floor((max(a.X, b.X, c.X)-t.origin.X)/t.cell)))
	pa, pb, pc := a.Plan(), b.Plan(), c.Plan()
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			p := t.origin.Add(geom.Vec2{X: float64(x), Y: float64(y)}.Scale(t.cell))
			if pb.Sub(pa).Cross(p.Sub(pa)) < 0 || pc.Sub(pb).Cross(p.Sub(pb)) < 0 || pa.Sub(pc).Cross(p.Sub(pc)) < 0 {
				continue
			}
			d := p.Sub(pa)
			z := a.Z - (float64(n.X*d.X)+float64(n.Y*d.Y))/n.Z
			if i := y*t.nx + x; z > t.z[i] {
				t.z[i] = z
			}
		}
	}
}

// at returns the height over a plan point, the bench outside.
func (t *terrain) at(x, y float64) float64 {
	fx, fy := (x-t.origin.X)/t.cell, (y-t.origin.Y)/t.cell
	if !(fx >= 0 && fy >= 0 && fx < float64(t.nx-1) && fy < float64(t.ny-1)) {
		return t.low
	}
	return bilinear(t.z, t.nx, fx, fy)
}

// compass holds the directions in which a point looks for the skyline; components are 3-4-5
// triangles and axes, turned from one another by 37 or 53 degrees and by 45 in the mean.
var compass = [...]geom.Vec2{
	{X: 1}, {X: 0.8, Y: 0.6}, {X: 0.6, Y: 0.8}, {Y: 1}, {X: -0.6, Y: 0.8}, {X: -0.8, Y: 0.6},
	{X: -1}, {X: -0.8, Y: -0.6}, {X: -0.6, Y: -0.8}, {Y: -1}, {X: 0.6, Y: -0.8}, {X: 0.8, Y: -0.6},
}

// Steps to the skyline: the first one, in cells, and how much longer each is than the one before.
const (
	firstStep = 2.0
	nextStep  = 1.6
	sightPart = 0.35 // of the longer side: how far a point looks
)

// openness returns how much of the sky p sees, weighted for a level surface: 1 on the open land,
// towards 0 at the foot of a deep pocket.
func (t *terrain) openness(p geom.Vec3) float64 {
	if p.Z >= t.high {
		return 1
	}
	reach := sightPart * terrainCells * t.cell
	sum := 0.0
	for _, d := range compass {
		worst := 0.0 // squared sine of the skyline
		for r := firstStep * t.cell; r < reach; r *= nextStep {
			rise := t.at(p.X+float64(r*d.X), p.Y+float64(r*d.Y)) - p.Z
			if rise > 0 {
				worst = max(worst, rise*rise/(float64(rise*rise)+float64(r*r)))
			}
		}
		sum += 1 - worst
	}
	return sum / float64(len(compass))
}

// Shadow of the key light: the ray is sampled in growing steps, and its edge softens with distance
// like that of a lamp this wide.
const (
	lampWidth   = 0.30 // of the distance
	shadowFirst = 2.5  // cells
	shadowStep  = 1.5  // cells, at least
	shadowGrow  = 0.04 // of the distance, if that is more
)

// lit returns how much of the key light reaches p, 0 to 1.
func (t *terrain) lit(p, light geom.Vec3) float64 {
	lit := 1.0
	if light.Z <= 0 {
		return lit
	}
	for r := shadowFirst * t.cell; ; r += max(shadowStep*t.cell, shadowGrow*r) {
		q := p.Add(light.Scale(r))
		if q.Z >= t.high {
			return lit
		}
		clear := (q.Z - t.at(q.X, q.Y)) / (lampWidth * r)
		lit = min(lit, max(0, min(1, clear+0.5)))
		if lit == 0 {
			return 0
		}
	}
}
