package render

import (
	"math"

	"platen/toolgen/geom"
)

// benchTop is the light that reaches the bench round the body, kept on a coarse grid and blurred: a
// shadow there only has to ground the body.
type benchTop struct {
	origin geom.Vec2
	cell   float64
	nx, ny int
	light  []float64 // 0 to 1
}

// benchCells is the number of cells along the longer side of the body, mostBenchCells that along the
// whole grid, rim and all.
const (
	benchCells     = 220
	mostBenchCells = 700
)

// Depths and softness of the two shadows: a wide one from the sky the body hides, and one thrown by
// the key light. Softness is in heights of the body, at least a share of its longer side.
const (
	skyShadow, keyShadow = 0.16, 0.20
	skySoft, keySoft     = 0.30, 0.15
	leastSoft            = 0.02
)

func newBenchTop(t *terrain, light geom.Vec3) *benchTop {
	height, long := t.high-t.low, float64(t.cell*terrainCells)
	sky, key := max(skySoft*height, 2*leastSoft*long), max(keySoft*height, leastSoft*long)
	slide := 0.0 // how far the shadow reaches
	if light.Z > 0 {
		slide = height * light.Plan().Norm() / light.Z
	}
	rim := float64(blurs*max(sky, key)) + slide
	// A mast throws a shadow far longer than itself wide: the grid must not grow with it.
	b := &benchTop{cell: max(long/benchCells, (long+float64(2*rim))/mostBenchCells)}
	skyR, keyR := b.cells(sky), b.cells(key)
	rim += float64((blurs + 2) * b.cell) // the radii are rounded up
	b.origin = t.origin.Sub(geom.Vec2{X: rim, Y: rim})
	b.nx = int((float64(float64(t.nx)*t.cell)+float64(2*rim))/b.cell) + 1
	b.ny = int((float64(float64(t.ny)*t.cell)+float64(2*rim))/b.cell) + 1
	under, thrown := make([]float64, b.nx*b.ny), make([]float64, b.nx*b.ny)
	bands(b.ny, 8, func(lo, hi int) {
		for y := lo; y < hi; y++ {
			for x := range b.nx {
				p := b.origin.Add(geom.Vec2{X: float64(x), Y: float64(y)}.Scale(b.cell))
				if t.at(p.X, p.Y) > t.low {
					under[y*b.nx+x] = 1
				}
				if t.shades(p.At(t.low), light, b.cell) {
					thrown[y*b.nx+x] = 1
				}
			}
		}
	})
	blur(under, b.nx, b.ny, skyR)
	blur(thrown, b.nx, b.ny, keyR)
	b.light = under
	for i := range b.light {
		b.light[i] = 1 - float64(skyShadow*under[i]) - float64(keyShadow*thrown[i])
	}
	return b
}

func (b *benchTop) cells(mm float64) int { return max(1, int(math.Ceil(mm/b.cell))) }

// shades reports whether the body stands between a point of the bench and the light.
func (t *terrain) shades(p, light geom.Vec3, step float64) bool {
	if light.Z <= 0 {
		return false
	}
	for r := 0.0; ; r += step {
		q := p.Add(light.Scale(r))
		if q.Z >= t.high {
			return false
		}
		if t.at(q.X, q.Y) > q.Z {
			return true
		}
	}
}

// blurs is the number of box blurs: three come close to a bell.
const blurs = 3

// blur smooths the grid in place by blurs box blurs of the given radius, each along both axes.
func blur(z []float64, nx, ny, r int) {
	line := make([]float64, max(nx, ny))
	run := func(start, step, n int) {
		sum := 0.0
		for i := -r; i < n; i++ {
			if i+r < n {
				sum += z[start+(i+r)*step]
			}
			if i-r-1 >= 0 {
				sum -= z[start+(i-r-1)*step]
			}
			if i >= 0 {
				line[i] = sum / float64(2*r+1)
			}
		}
		for i := range n {
			z[start+i*step] = line[i]
		}
	}
	for range blurs {
		for y := range ny {
			run(y*nx, 1, nx)
		}
		for x := range nx {
			run(x, nx, ny)
		}
	}
}

// at returns the light at a plan point; away from the body it is full.
func (b *benchTop) at(p geom.Vec2) float64 {
	fx, fy := (p.X-b.origin.X)/b.cell, (p.Y-b.origin.Y)/b.cell
	if !(fx >= 0 && fy >= 0 && fx < float64(b.nx-1) && fy < float64(b.ny-1)) {
		return 1
	}
	return bilinear(b.light, b.nx, fx, fy)
}

// bilinear interpolates a grid of nx columns at a place inside it.
func bilinear(z []float64, nx int, fx, fy float64) float64 {
	ix, iy := int(fx), int(fy)
	u, v := fx-float64(ix), fy-float64(iy)
	row := z[iy*nx+ix:]
	a, b, c, d := row[0], row[1], row[nx], row[nx+1]
	near, far := a+float64(u*(b-a)), c+float64(u*(d-c))
	return near + float64(v*(far-near))
}
