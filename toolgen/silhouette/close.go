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

// simplified returns a closed line with fewer corners, no corner left out farther than tol from it.
//
// SOURCE: D. Douglas, T. Peucker, The Canadian Cartographer 10(2), 1973 (from memory).
func simplified(line []geom.Vec2, tol float64) []geom.Vec2 {
	far := 0
	for i, p := range line {
		if p.Sub(line[0]).Norm() > line[far].Sub(line[0]).Norm() {
			far = i
		}
	}
	keep := make([]bool, len(line)+1)
	closed := append(line[:len(line):len(line)], line[0])
	keep[0], keep[far] = true, true
	type span struct{ a, b int }
	spans := []span{{0, far}, {far, len(line)}}
	for len(spans) > 0 {
		s := spans[len(spans)-1]
		spans = spans[:len(spans)-1]
		worst, at := tol, -1
		for i := s.a + 1; i < s.b; i++ {
			if d := offChord(closed[i], closed[s.a], closed[s.b]); d > worst {
				worst, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			spans = append(spans, span{s.a, at}, span{at, s.b})
		}
	}
	var out []geom.Vec2
	for i, p := range line {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
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
