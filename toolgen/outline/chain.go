package outline

import (
	"math"

	"platen/toolgen/geom"
)

// Chain is a short run of elements that meet without corners, prepared for speed: the nearest point
// of such a run is always an orthogonal foot on some element, so end points need no thought.
type Chain struct{ links []link }

type link struct {
	a, dir     geom.Vec2 // line: start and direction; arc: direction from the centre to the start
	end        geom.Vec2 // arc: direction from the centre to the end
	c          geom.Vec2 // arc: centre
	r          float64   // arc: radius without sign
	s          float64   // arc: sign of the radius; 0 for a line
	len        float64   // line: length
	first, fin bool      // an open run's outermost elements run on as rays
	id         int       // index of the element
}

// onLink is how far beyond an element's ends its foot may lie, as a share of its length: rounding at
// a joint must not hide it from both neighbours.
const onLink = 1e-9

// NewChain prepares a run of elements; nil when it has a corner. The outermost elements of an open
// run go on as rays.
func NewChain(es []Elem, closed bool) *Chain {
	c := &Chain{links: make([]link, len(es))}
	for i, e := range es {
		if i+1 < len(es) || closed {
			if math.Abs(turn(e, es[(i+1)%len(es)])) > smooth {
				return nil
			}
		}
		l := link{a: e.A, c: e.C, first: !closed && i == 0, fin: !closed && i == len(es)-1, id: i}
		if e.R == 0 {
			l.len = e.B.Sub(e.A).Norm()
			l.dir = e.B.Sub(e.A).Unit()
		} else {
			l.r, l.s = math.Abs(e.R), math.Copysign(1, e.R)
			l.dir, l.end = e.A.Sub(e.C).Unit(), e.B.Sub(e.C).Unit()
		}
		c.links[i] = l
	}
	return c
}

// At returns the signed distance, positive on the outward side, its unit gradient and the nearest
// element; ok is false where no element sees p squarely, and then nothing is said.
func (c *Chain) At(p geom.Vec2) (d float64, g geom.Vec2, index int, ok bool) {
	best := math.Inf(1)
	for i := range c.links {
		l := &c.links[i]
		if l.s == 0 {
			wx, wy := p.X-l.a.X, p.Y-l.a.Y
			t := float64(wx*l.dir.X) + float64(wy*l.dir.Y)
			if (t < -onLink*l.len && !l.first) || (t > l.len*(1+onLink) && !l.fin) {
				continue
			}
			v := float64(wx*l.dir.Y) - float64(wy*l.dir.X)
			if math.Abs(v) < best {
				best, d, g, index = math.Abs(v), v, geom.Vec2{X: l.dir.Y, Y: -l.dir.X}, l.id
			}
			continue
		}
		vx, vy := p.X-l.c.X, p.Y-l.c.Y
		n := math.Sqrt(float64(vx*vx) + float64(vy*vy))
		v := math.Abs(n - l.r)
		if v >= best || n < 1e-150 {
			continue
		}
		lim := -onLink * n
		if l.s*(float64(l.dir.X*vy)-float64(l.dir.Y*vx)) < lim || l.s*(float64(vx*l.end.Y)-float64(vy*l.end.X)) < lim {
			continue
		}
		best, d, g, index = v, l.s*(n-l.r), geom.Vec2{X: l.s * vx / n, Y: l.s * vy / n}, l.id
	}
	return d, g, index, best < math.Inf(1)
}

// Len returns the number of elements.
func (c *Chain) Len() int { return len(c.links) }

// Near returns the chain of those elements that come within r of p. It answers like the whole one
// wherever the nearest point lies on one of them.
func (c *Chain) Near(p geom.Vec2, r float64) *Chain {
	var room [16]int
	in := room[:0]
	for i := range c.links {
		if c.links[i].dist(p) <= r {
			in = append(in, i)
		}
	}
	n := &Chain{links: make([]link, len(in))} // many are kept, so no room to spare
	for k, i := range in {
		n.links[k] = c.links[i]
	}
	return n
}

// Each calls visit with the index of every element and its distance from p.
func (c *Chain) Each(p geom.Vec2, visit func(index int, dist float64)) {
	for i := range c.links {
		visit(c.links[i].id, c.links[i].dist(p))
	}
}

// dist returns the distance from p to the element, rays and all.
func (l *link) dist(p geom.Vec2) float64 {
	if l.s == 0 {
		w := p.Sub(l.a)
		t := w.Dot(l.dir)
		if (t < 0 && !l.first) || (t > l.len && !l.fin) {
			return w.Sub(l.dir.Scale(max(0, min(l.len, t)))).Norm()
		}
		return math.Abs(w.Cross(l.dir))
	}
	v := p.Sub(l.c)
	if l.s*l.dir.Cross(v) >= 0 && l.s*v.Cross(l.end) >= 0 {
		return math.Abs(v.Norm() - l.r)
	}
	return min(v.Sub(l.dir.Scale(l.r)).Norm(), v.Sub(l.end.Scale(l.r)).Norm())
}
