package outline

import (
	"math"

	"platen/toolgen/geom"
)

// Rounded returns the outline with every sharp corner, inner and outer, rounded by a tangent arc of
// radius r. A rounding may swallow short elements next to its corner. With r = 0 the outline is
// returned as it is.
//
// ERROR: *TooLarge with the place and the largest radius that fits when a corner finds no room; or
// the outline is not simple.
func (o *Outline) Rounded(r float64) (*Outline, error) {
	if r == 0 {
		return o, nil
	}
	out, bad := o.rounded(r)
	if bad == nil {
		return out, nil
	}
	if err := o.Simple(); err != nil {
		return nil, err
	}
	ok := func(r float64) bool { _, bad := o.rounded(r); return bad == nil }
	most := 0.0
	if r > 0 {
		most = largest(r, ok)
	}
	return nil, &TooLarge{"corner radius", r, most, bad.at, bad.why}
}

// Corners returns the number of sharp corners.
func (o *Outline) Corners() int {
	n := 0
	for _, l := range o.Loops {
		for i := l[0]; i < l[1]; i++ {
			if math.Abs(turn(o.Elems[i], o.Elems[next(l, i)])) > smooth {
				n++
			}
		}
	}
	return n
}

func (o *Outline) rounded(r float64) (*Outline, *misfit) {
	if !(r > 0) {
		return nil, &misfit{o.Elems[0].A, "a radius must be above 0"}
	}
	loops := make([][]Elem, len(o.Loops))
	for i := range o.Loops {
		l, bad := roundLoop(o.Loop(i), r)
		if bad != nil {
			return nil, bad
		}
		loops[i] = l
	}
	out, err := New(loops...)
	if err != nil {
		return nil, &misfit{loops[0][0].A, err.Error()}
	}
	if c := out.crossing(); c != nil {
		return nil, &misfit{c.At, "walls meet"}
	}
	return out, nil
}

// rounding is the arc that takes the place of the corner at the start of an element. Places on the
// loop are element index plus parameter, counted on from the corner.
type rounding struct {
	corner  int // element that starts at the corner
	arc     Elem
	in, out float64 // where the arc leaves the loop and joins it again
}

func roundLoop(l []Elem, r float64) ([]Elem, *misfit) {
	n := len(l)
	var rs []rounding
	for i := range l {
		if t := turn(l[(i+n-1)%n], l[i]); math.Abs(t) > smooth {
			c, bad := roundCorner(l, i, r)
			if bad != nil {
				return nil, bad
			}
			rs = append(rs, c)
		}
	}
	if len(rs) == 0 {
		return l, nil
	}
	var out []Elem
	for k, c := range rs {
		to := rs[(k+1)%len(rs)]
		end := to.in
		if k+1 == len(rs) {
			end += float64(n)
		}
		between, ok := stretch(l, c.out, end)
		if !ok {
			return nil, &misfit{l[to.corner].A, "the roundings of neighbouring corners overlap"}
		}
		out = append(append(out, c.arc), between...)
	}
	for i := range out {
		out[(i+1)%len(out)].A = out[i].B
	}
	return out, nil
}

// stretch returns the elements of a loop from one place to another, without slivers; ok is false
// where the second place comes before the first.
func stretch(l []Elem, from, to float64) (es []Elem, ok bool) {
	n := len(l)
	first, last := int(math.Floor(from)), int(math.Floor(to))
	if from > to {
		// Equal places may come out in the wrong order by rounding.
		e := l[((last%n)+n)%n]
		return nil, first == last && (from-to)*e.Length() < noSize
	}
	for i := first; i <= last; i++ {
		e := l[((i%n)+n)%n]
		t0, t1 := max(from-float64(i), 0), min(to-float64(i), 1)
		if (t1-t0)*e.Length() > 2*noSize {
			es = append(es, e.part(t0, t1))
		}
	}
	return es, true
}

// roundCorner finds the arc of radius r tangent to the smooth stretches before and after the start of
// element i: the nearest pair of elements, walking away from the corner, that a disc touches.
func roundCorner(l []Elem, i int, r float64) (rounding, *misfit) {
	n := len(l)
	back := func(k int) Elem { return l[((i-1-k)%n+n)%n] }
	fore := func(k int) Elem { return l[(i+k)%n] }
	t := turn(back(0), fore(0))
	if math.Abs(t) > math.Pi-smooth {
		return rounding{}, &misfit{l[i].A, "the outline runs back on itself"}
	}
	nb, nf := 1, 1 // lengths of the smooth stretches
	for nb < n && math.Abs(turn(back(nb), back(nb-1))) <= smooth {
		nb++
	}
	for nf < n && math.Abs(turn(fore(nf-1), fore(nf))) <= smooth {
		nf++
	}
	for sum := 0; sum < nb+nf-1; sum++ {
		for kf := max(0, sum-nb+1); kf <= min(sum, nf-1); kf++ {
			kb := sum - kf
			if kb+kf+2 > n && n > 2 {
				continue
			}
			arc, ok := tangentDisc(back(kb), fore(kf), l[i].A, math.Copysign(r, t))
			if !ok {
				continue
			}
			in := float64(i-1-kb) + back(kb).param(arc.A)
			out := float64(i+kf) + fore(kf).param(arc.B)
			return rounding{i, arc, in, out}, nil
		}
	}
	return rounding{}, &misfit{l[i].A, "no room for a tangent arc"}
}

// tangentDisc returns the arc of radius |r| from a to b, turning left when r > 0, that is tangent to
// both; of two the one nearer the corner.
func tangentDisc(a, b Elem, corner geom.Vec2, r float64) (Elem, bool) {
	ka, okA := a.carrier(-r)
	kb, okB := b.carrier(-r)
	if !okA || !okB {
		return Elem{}, false
	}
	var best Elem
	near := math.Inf(1)
	for _, c := range ka.meet(kb) {
		pa, _, _ := a.foot(c)
		pb, _, _ := b.foot(c)
		arc := Elem{A: pa, B: pb, C: c, R: r}
		// Feet beyond the ends of the elements are not at distance r.
		if arc.check() != nil || !tangent(a, arc, pa) || !tangent(arc, b, pb) {
			continue
		}
		if d := c.Sub(corner).Norm(); d < near {
			best, near = arc, d
		}
	}
	return best, near-near == 0
}

// tangent reports whether e and f run the same way at q.
func tangent(e, f Elem, q geom.Vec2) bool {
	u, v := e.dir(q), f.dir(q)
	return u.Dot(v) > 0 && math.Abs(u.Cross(v)) < smooth/2
}
