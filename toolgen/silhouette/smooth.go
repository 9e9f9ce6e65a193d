package silhouette

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// How a traced line is made smooth, in cells.
const (
	sample = 2.0  // between the points that the line is taken at
	window = 12.0 // over which it is averaged, twice
	within = 1.5  // that arcs may lie off it
	least  = 10   // samples of the shortest piece
)

// closed is a smooth line through even samples of a closed one.
type closed []geom.Vec2

// evened returns samples of a closed line, averaged over the window: the steps of the cells are gone, and a curve
// of radius r has moved to its inside by the window squared / (12 r).
func evened(line []geom.Vec2, h float64) closed {
	total := 0.0
	for i, a := range line {
		total += line[(i+1)%len(line)].Sub(a).Norm()
	}
	n := max(16, int(total/(sample*h)))
	out := make(closed, 0, n)
	done, k := 0.0, 0
	for i := range n {
		want := total * float64(i) / float64(n)
		for {
			a, b := line[k%len(line)], line[(k+1)%len(line)]
			l := b.Sub(a).Norm()
			if done+l > want || k+1 >= len(line) {
				t := 0.0
				if l > 0 {
					t = min(1, (want-done)/l)
				}
				out = append(out, a.Add(b.Sub(a).Scale(t)))
				break
			}
			done += l
			k++
		}
	}
	half := max(1, int(window/sample/2))
	return out.averaged(half).averaged(half)
}

func (c closed) at(i int) geom.Vec2 { return c[((i%len(c))+len(c))%len(c)] }

func (c closed) averaged(half int) closed {
	out := make(closed, len(c))
	for i := range c {
		var sum geom.Vec2
		for k := -half; k <= half; k++ {
			sum = sum.Add(c.at(i + k))
		}
		out[i] = sum.Scale(1 / float64(2*half+1))
	}
	return out
}

// dir returns the direction of travel at a sample.
func (c closed) dir(i int) geom.Vec2 { return c.at(i + 1).Sub(c.at(i - 1)).Unit() }

// arcs returns lines and arcs, tangent to each other, that stay near the line.
func (c closed) arcs(tol float64) []outline.Elem {
	const start = 8
	var out []outline.Elem
	for k := range start {
		out = c.piece(out, k*len(c)/start, (k+1)*len(c)/start, tol)
	}
	return out
}

// piece appends two arcs from sample i to sample j, or those of its halves where they stray.
func (c closed) piece(out []outline.Elem, i, j int, tol float64) []outline.Elem {
	pair, ok := outline.Biarc(c.at(i), c.dir(i), c.at(j), c.dir(j))
	if ok && (j-i <= least || c.stray(pair, i, j) <= tol) || j-i <= 2 {
		if !ok {
			pair = []outline.Elem{{A: c.at(i), B: c.at(j)}}
		}
		return append(out, pair...)
	}
	m := (i + j) / 2
	return c.piece(c.piece(out, i, m, tol), m, j, tol)
}

// stray returns how far the samples between lie off the elements.
func (c closed) stray(es []outline.Elem, i, j int) float64 {
	worst := 0.0
	for k := i + 1; k < j; k++ {
		d := math.Inf(1)
		for _, e := range es {
			d = min(d, offElem(e, c.at(k)))
		}
		worst = max(worst, d)
	}
	return worst
}

// offElem returns the distance of a point from an element near it.
func offElem(e outline.Elem, p geom.Vec2) float64 {
	ends := min(p.Sub(e.A).Norm(), p.Sub(e.B).Norm())
	if e.R == 0 {
		return offChord(p, e.A, e.B)
	}
	if mid := e.Point(0.5); p.Sub(mid).Norm() > e.B.Sub(e.A).Norm() {
		return ends
	}
	return min(ends, math.Abs(p.Sub(e.C).Norm()-math.Abs(e.R)))
}
