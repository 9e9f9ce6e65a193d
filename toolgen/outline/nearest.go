package outline

import (
	"math"

	"platen/toolgen/geom"
)

// Nearest collects the nearest element of a search. Two elements tie where their common end point is
// nearest; then the one that sees the point more squarely decides the sign. The zero value is ready.
type Nearest struct {
	Index int // of the nearest element
	any   bool
	d2    float64
	slack float64 // on d2, within which two elements tie
	q     geom.Vec2
	n     geom.Vec2 // outward normal of the element at q
	ortho bool
	align float64 // |cos| between p - q and n
}

// Rounding of a distance: absolute for coordinates of up to a metre, and relative to the distance.
const (
	tieAbs = 1e-12
	tieRel = 4e-15
)

// Try offers an element.
func (b *Nearest) Try(e Elem, p geom.Vec2, index int) {
	q, d2, ortho := e.foot(p)
	if b.any && d2 > b.d2+b.slack {
		return
	}
	n, align := e.normalAt(q), 1.0
	if !ortho {
		align = math.Abs(n.Dot(p.Sub(q).Unit()))
	}
	if !b.any || d2 < b.d2-b.slack || align > b.align+1e-12 {
		d := math.Sqrt(d2)
		s := tieAbs + tieRel*d
		*b = Nearest{index, true, d2, s * (2*d + s), q, n, ortho, align}
	}
}

// Signed returns the signed distance, positive on the outward side, and its unit gradient.
func (b *Nearest) Signed(p geom.Vec2) (float64, geom.Vec2) {
	d := math.Sqrt(b.d2)
	w := p.Sub(b.q)
	if w.Dot(b.n) < 0 {
		d = -d
	}
	if !b.ortho && math.Abs(d) > 1e-9 {
		return d, w.Scale(1 / d)
	}
	return d, b.n
}
