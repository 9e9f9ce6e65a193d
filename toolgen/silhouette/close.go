package silhouette

import (
	"math"

	"platen/toolgen/geom"
)

// close fills what a disc of radius r can not reach from outside: the cells are grown by r and then shrunk
// by it.
func (g *grid) close(r float64) {
	n := r / g.h
	if n < 1 {
		return
	}
	grown := g.distances(true)
	for k, d := range grown {
		g.set[k] = d <= n*n
	}
	back := g.distances(false)
	for k, d := range back {
		// Never less than there was, whatever the rounding to cells.
		g.set[k] = d > n*n || grown[k] == 0
	}
}

// grow sets all within r of what is set.
func (g *grid) grow(r float64) {
	n := r / g.h
	if n <= 0 {
		return
	}
	for k, d := range g.distances(true) {
		g.set[k] = d <= n*n
	}
}

// open takes away what a disc of radius r does not cover from within.
func (g *grid) open(r float64) {
	n := r / g.h
	if n < 1 {
		return
	}
	for k, d := range g.distances(false) {
		g.set[k] = d > n*n
	}
	g.grow(r)
}

// distances returns the square of every cell's distance to the nearest cell that is set, or is not, in cells.
//
// SOURCE: P. Felzenszwalb, D. Huttenlocher, Distance transforms of sampled functions, Theory of Computing 8,
// 2012 (from memory): the lower envelope of parabolas, along one axis and then the other.
func (g *grid) distances(to bool) []float64 {
	const far = 1e12
	d := make([]float64, len(g.set))
	for k, s := range g.set {
		if s != to {
			d[k] = far
		}
	}
	long := max(g.nx, g.ny)
	e := &envelope{make([]float64, long), make([]int, long), make([]float64, long+1)}
	for j := range g.ny {
		e.along(d[j*g.nx:], g.nx, 1)
	}
	for i := range g.nx {
		e.along(d[i:], g.ny, g.nx)
	}
	return d
}

type envelope struct {
	f []float64
	v []int     // parabolas of the envelope
	z []float64 // where they take over
}

// along transforms n values that stand step apart.
func (e *envelope) along(d []float64, n, step int) {
	for q := range n {
		e.f[q] = d[q*step]
	}
	k := 0
	e.v[0], e.z[0], e.z[1] = 0, math.Inf(-1), math.Inf(1)
	for q := 1; q < n; q++ {
		s := 0.0
		for {
			p := e.v[k]
			s = (e.f[q] + float64(q*q) - e.f[p] - float64(p*p)) / float64(2*(q-p))
			if s > e.z[k] {
				break
			}
			k--
		}
		k++
		e.v[k], e.z[k], e.z[k+1] = q, s, math.Inf(1)
	}
	k = 0
	for q := range n {
		for e.z[k+1] < float64(q) {
			k++
		}
		p := e.v[k]
		d[q*step] = e.f[p] + float64((q-p)*(q-p))
	}
}

// offChord returns the distance of a point from a segment.
func offChord(p, a, b geom.Vec2) float64 {
	ab := b.Sub(a)
	t := 0.0
	if n := ab.Dot(ab); n > 0 {
		t = max(0, min(1, p.Sub(a).Dot(ab)/n))
	}
	return p.Sub(a.Add(ab.Scale(t))).Norm()
}
