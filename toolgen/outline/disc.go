package outline

import (
	"container/heap"
	"math"

	"platen/toolgen/geom"
)

// discTol is how far, mm, the radius of a Disc may be below the largest.
const discTol = 1e-6

// mostCells bounds the search for a disc; long curved channels of equal width are the hardest case and
// take some thousands.
const mostCells = 100_000

// Disc is a disc inside an outline.
type Disc struct {
	Centre geom.Vec2
	R      float64 // mm, the exact distance from the centre to the outline
	Gap    float64 // mm: no disc inside is larger than R + Gap
}

// Inside returns the radius of the largest disc inside the outline, mm, at most 1e-6 below the truth:
// how far walls may run inward before they all have met.
func (o *Outline) Inside() float64 { return o.Disc().R }

// Disc returns the largest disc inside the outline. Its Gap is the certificate: 1e-6 mm, and more
// only if the search had to stop early.
//
// SOURCE: derived: best-first search over squares. In a square about c of half diagonal h, an element
// at distance d with foot direction g is at most d + g x + k x^2/2 away from c + x, with k = 1/d, and
// k = 0 where its foot stays on a line or on an arc seen from within, 1 over the distance to the centre
// where it stays on an arc seen from outside. The mean of two such bounds
// limits the disc: |g1 + g2| is 0 between facing walls, however far the ridge between them runs.
func (o *Outline) Disc() Disc {
	s := discSearch{o: o, best: Disc{R: math.Inf(-1)}}
	b := o.Bounds()
	size := b.Size()
	// Squares that tile the box, not one square about it: outlines may be long.
	side := min(size.X, size.Y)
	nx, ny := int(math.Ceil(size.X/side)), int(math.Ceil(size.Y/side))
	for iy := range ny {
		for ix := range nx {
			s.add(b.Min.Add(geom.Vec2{X: (float64(ix) + 0.5) * side, Y: (float64(iy) + 0.5) * side}), side/2)
		}
	}
	for n := 0; s.cells.Len() > 0; n++ {
		c := s.cells[0]
		if c.most <= s.best.R+discTol || n > mostCells {
			s.best.Gap = max(c.most-s.best.R, 0)
			break
		}
		heap.Pop(&s.cells)
		q := c.half / 2
		for _, v := range [4]geom.Vec2{{X: -q, Y: -q}, {X: q, Y: -q}, {X: -q, Y: q}, {X: q, Y: q}} {
			s.add(c.at.Add(v), q)
		}
	}
	return s.best
}

type discSearch struct {
	o     *Outline
	best  Disc
	cells cellHeap
}

type cell struct {
	at         geom.Vec2
	half, most float64
}

type cellHeap []cell

func (h cellHeap) Len() int           { return len(h) }
func (h cellHeap) Less(i, j int) bool { return h[i].most > h[j].most }
func (h cellHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *cellHeap) Push(x any)        { *h = append(*h, x.(cell)) }
func (h *cellHeap) Pop() any {
	old := *h
	c := old[len(old)-1]
	*h = old[:len(old)-1]
	return c
}

// try offers a centre.
func (s *discSearch) try(p geom.Vec2) float64 {
	d := -s.o.At(p).D
	if d > s.best.R {
		s.best.Centre, s.best.R = p, d
	}
	return d
}

// add enters a square, or drops it where no disc about a point of it can beat the best.
func (s *discSearch) add(c geom.Vec2, half float64) {
	h := half * math.Sqrt2
	d := s.try(c)
	most := d + h
	if most <= s.best.R+discTol/2 {
		return
	}
	if d > h/4 {
		if m, step := s.facing(c, d, h); m < most {
			most = m
			s.try(c.Add(step))
		}
	}
	if most > s.best.R {
		heap.Push(&s.cells, cell{c, half, most})
	}
}

// facing returns the bound from the nearest element and the one that faces it best, and the step to
// the ridge between them.
func (s *discSearch) facing(c geom.Vec2, d, h float64) (most float64, step geom.Vec2) {
	most = math.Inf(1)
	first := int(s.o.At(c).Elem)
	d1, g1, k1 := s.o.Elems[first].view(c, h)
	s.o.Near(c, d+2*h, func(i int) {
		if i == first {
			return
		}
		d2, g2, k2 := s.o.Elems[i].view(c, h)
		m := (d1+d2)/2 + g1.Add(g2).Norm()/2*h + (k1+k2)/4*h*h
		if m < most {
			most = m
			step = g1.Scale((d2 - d1) / max(1-g1.Dot(g2), 0.1))
		}
	})
	return most, step
}

// view returns distance and direction from an element to c, and the curvature that bounds how the
// distance grows within h of c.
func (e Elem) view(c geom.Vec2, h float64) (d float64, g geom.Vec2, k float64) {
	q, d2, ortho := e.foot(c)
	d = math.Sqrt(d2)
	if d == 0 {
		return 0, geom.Vec2{}, 0
	}
	v := c.Sub(q)
	if !ortho {
		return d, v.Scale(1 / d), 1 / d
	}
	g = e.normalAt(q)
	if g.Dot(v) < 0 {
		g = g.Scale(-1)
	}
	t := e.param(q)
	room := min(t, 1-t) * e.Length()
	if e.R == 0 {
		if room > h {
			return d, g, 0
		}
		return d, g, 1 / d
	}
	n := c.Sub(e.C).Norm()
	switch within := n > h*math.Pi/2 && room/math.Abs(e.R)*n > h*math.Pi/2; {
	case within && n+h < math.Abs(e.R):
		return d, g, 0
	case within && n-h > math.Abs(e.R):
		return d, g, 1 / n
	}
	return d, g, 1 / d
}
