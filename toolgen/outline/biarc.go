package outline

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
)

// straight is the turn, rad, below which an arc is written as a line: half of what counts as a corner,
// and small enough to keep radii, hence the rounding of distances, within bounds.
const straight = smooth / 2

// mostParts is the largest number of pieces Fit cuts a curve into.
const mostParts = 256

// Curve is a smooth plan curve: the point at t in [0, 1] and the unit direction of travel there.
type Curve func(t float64) (p, dir geom.Vec2)

// Fit returns lines and arcs, tangent to each other and to the curve at its ends, that stay within
// tol (mm) of the curve.
//
// SOURCE: two arcs that meet where both ends have equal tangent lengths (biarcs); derived.
// ERROR: a curve that needs more than 512 arcs, or that has a corner.
func Fit(c Curve, tol float64) ([]Elem, error) {
	n := 1
	for n <= mostParts {
		es, off, ok := fitParts(c, n, tol)
		if ok && off <= tol {
			return es, nil
		}
		// The deviation falls with the third power of the length of a piece.
		grow := 2.0
		if ok {
			grow = min(max(math.Cbrt(off/tol), 1), 4)
		}
		n = max(n+1+n/8, int(float64(n)*grow))
	}
	p, _ := c(0)
	return nil, fmt.Errorf("the curve from (%.3f, %.3f) can not be followed by arcs within %.2g mm", p.X, p.Y, tol)
}

// fitParts fits n pieces of equal parameter length and returns the largest deviation found.
func fitParts(c Curve, n int, tol float64) (es []Elem, off float64, ok bool) {
	a, ta := c(0)
	for i := range n {
		t0, t1 := float64(i)/float64(n), float64(i+1)/float64(n)
		b, tb := c(t1)
		pair, fits := Biarc(a, ta, b, tb)
		if !fits {
			return nil, 0, false
		}
		d := deviation(c, t0, t1, pair)
		if off = max(off, d); d > 100*tol {
			return nil, off, true
		}
		es = append(es, pair...)
		a, ta = b, tb
	}
	return es, off, true
}

// deviation returns the largest distance found between the curve from t0 to t1 and the elements. The
// deviation of a biarc has one smooth hump an arc; 8 samples on each see 98 % of it.
func deviation(c Curve, t0, t1 float64, es []Elem) float64 {
	const samples = 16
	worst := 0.0
	for k := 1; k < samples; k++ {
		p, _ := c(t0 + (t1-t0)*float64(k)/samples)
		d2 := math.Inf(1)
		for _, e := range es {
			_, q, _ := e.foot(p)
			d2 = min(d2, q)
		}
		worst = max(worst, d2)
	}
	return math.Sqrt(worst) / 0.98
}

// Biarc returns one or two tangent elements from a, leaving along the unit direction ta, to b,
// arriving along tb; ok is false where an arc would need 180 degrees or more.
func Biarc(a, ta, b, tb geom.Vec2) (es []Elem, ok bool) {
	v, t := b.Sub(a), ta.Add(tb)
	dt := ta.Sub(tb)
	// Equal tangent lengths d: |v - d t| = 2 d, solved without cancellation.
	vv, vt := v.Dot(v), v.Dot(t)
	den := vt + math.Sqrt(vt*vt+dt.Dot(dt)*vv)
	if vv < noSize*noSize || den <= 0 {
		return nil, false
	}
	d := vv / den
	j := a.Add(b).Add(dt.Scale(d)).Scale(0.5)
	first, ok1 := tangentArc(a, ta, j)
	last, ok2 := tangentArc(b, tb.Scale(-1), j)
	if !ok1 || !ok2 {
		return nil, false
	}
	last = last.Reversed()
	if first.R == 0 && last.R == 0 {
		return []Elem{{A: a, B: b}}, true
	}
	if first.Length() < 2*noSize || last.Length() < 2*noSize {
		return nil, false
	}
	return []Elem{first, last}, true
}

// tangentArc returns the line or arc from a, leaving along ta, to b.
func tangentArc(a, ta, b geom.Vec2) (Elem, bool) {
	c := b.Sub(a)
	up, along := ta.Left().Dot(c), ta.Dot(c)
	half := math.Atan2(up, along) // half the sweep
	switch {
	case math.Abs(half) >= math.Pi/2-halfArc:
		return Elem{}, false
	case math.Abs(half) < straight/2:
		return Elem{A: a, B: b}, true
	}
	r := c.Dot(c) / (2 * up)
	return Elem{A: a, B: b, C: a.Add(ta.Left().Scale(r)), R: r}, true
}
