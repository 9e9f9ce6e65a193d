package outline

import (
	"math"

	"platen/toolgen/geom"
)

// Rounded returns the outline with every sharp corner, inner and outer, rounded by a tangent arc of
// radius r: what is left when a ball of that radius is rolled along the walls. A rounding swallows
// elements, and corners turning the same way, that the ball does not reach. With r = 0 the outline is
// returned as it is.
//
// ERROR: *TooLarge with the place and the largest radius that fits when a corner finds no room; or
// the outline is not simple.
func (o *Outline) Rounded(r float64) (*Outline, error) {
	if r == 0 {
		return o, nil
	}
	out, bad := o.rounded(o.radii(r))
	if bad == nil {
		return out, nil
	}
	return nil, o.tooLarge(r, bad)
}

// RoundedApart is Rounded with one radius for corners that bulge outward and another for those that
// bend inward.
func (o *Outline) RoundedApart(convex, concave float64) (*Outline, error) {
	radii := func(f float64) []float64 {
		out := o.radii(f * convex)
		for _, l := range o.Loops {
			for i := l[0]; i < l[1]; i++ {
				if k := next(l, i); out[k] > 0 && turn(o.Elems[i], o.Elems[k]) < 0 {
					out[k] = f * concave
				}
			}
		}
		return out
	}
	out, bad := o.rounded(radii(1))
	if bad == nil {
		return out, nil
	}
	if err := o.Simple(); err != nil {
		return nil, err
	}
	asked := max(convex, concave)
	most := largest(asked, func(r float64) bool { _, bad := o.rounded(radii(r / asked)); return bad == nil })
	return nil, &TooLarge{"corner radius", asked, most, bad.at, bad.why}
}

// Sharpest returns the angle enclosed at the sharpest sharp corner that bulges outward: 180 degrees
// where there is none.
func (o *Outline) Sharpest() geom.Angle {
	most := 0.0
	for _, l := range o.Loops {
		for i := l[0]; i < l[1]; i++ {
			if t := turn(o.Elems[i], o.Elems[next(l, i)]); t > smooth {
				most = max(most, t)
			}
		}
	}
	return 180*geom.Degree - geom.Angle(most)
}

// RoundedDown is Rounded, but a corner that finds no room for r is rounded less, down to least. It
// also returns the least radius used: +Inf where the outline has no sharp corner.
func (o *Outline) RoundedDown(r, least float64) (*Outline, float64, error) {
	const step = 0.9
	radii := o.radii(r)
	for {
		out, bad := o.rounded(radii)
		if bad == nil {
			used := math.Inf(1)
			for _, q := range radii {
				if q > 0 {
					used = min(used, q)
				}
			}
			return out, used, nil
		}
		// Of the corners in each other's way the rounder ones yield first.
		top := 0.0
		for _, i := range bad.corners {
			top = max(top, radii[i])
		}
		if top <= least {
			return nil, 0, o.tooLarge(r, bad)
		}
		for _, i := range bad.corners {
			radii[i] = min(radii[i], max(step*top, least))
		}
	}
}

// tooLarge is the refusal of radius r.
func (o *Outline) tooLarge(r float64, bad *misfit) error {
	if err := o.Simple(); err != nil {
		return err
	}
	most := 0.0
	if r > 0 && r-r == 0 {
		most = largest(r, func(r float64) bool { _, bad := o.rounded(o.radii(r)); return bad == nil })
	}
	return &TooLarge{"corner radius", r, most, bad.at, bad.why}
}

// radii returns r for every element that starts at a sharp corner and 0 for the others.
func (o *Outline) radii(r float64) []float64 {
	out := make([]float64, len(o.Elems))
	for _, l := range o.Loops {
		for i := l[0]; i < l[1]; i++ {
			if k := next(l, i); math.Abs(turn(o.Elems[i], o.Elems[k])) > smooth {
				out[k] = r
			}
		}
	}
	return out
}

// Corners returns the number of sharp corners.
func (o *Outline) Corners() int {
	n := 0
	for _, r := range o.radii(1) {
		n += int(r)
	}
	return n
}

func (o *Outline) rounded(radii []float64) (*Outline, *misfit) {
	for i, r := range radii {
		if !(r >= 0) || math.IsInf(r, 1) {
			return nil, &misfit{at: o.Elems[i].A, why: "a radius must be above 0"}
		}
	}
	loops := make([][]Elem, len(o.Loops))
	for i, span := range o.Loops {
		l, bad := roundLoop(o.Loop(i), radii[span[0]:span[1]])
		if bad != nil {
			for k := range bad.corners {
				bad.corners[k] += span[0]
			}
			return nil, bad
		}
		loops[i] = l
	}
	out, err := New(loops...)
	if err != nil {
		return nil, &misfit{at: loops[0][0].A, why: err.Error()}
	}
	if c := out.crossing(); c != nil {
		return nil, &misfit{at: c.At, why: "walls meet"}
	}
	return out, nil
}

// rounding is the arc that takes the place of one corner, or of several in a row that turn the same
// way. Places on the loop are element index plus parameter; they may run past either end of it.
type rounding struct {
	first, last int // elements that start at the first and last corner
	r           float64
	sense       float64 // 1 turning left, -1 turning right
	arc         Elem
	ok          bool    // whether there is such an arc
	in, out     float64 // where the arc leaves the loop and joins it again
}

func roundLoop(l []Elem, radii []float64) ([]Elem, *misfit) {
	n := len(l)
	var rs []rounding
	for i, r := range radii {
		if r == 0 {
			continue
		}
		t := turn(l[(i+n-1)%n], l[i])
		if math.Abs(t) > math.Pi-smooth {
			return nil, &misfit{at: l[i].A, why: "the outline runs back on itself"}
		}
		c := rounding{first: i, last: i, r: r, sense: math.Copysign(1, t)}
		c.fit(l)
		rs = append(rs, c)
	}
	if len(rs) == 0 {
		return l, nil
	}
	rs, bad := settle(l, rs)
	if bad != nil {
		return nil, bad
	}
	var out []Elem
	for k, c := range rs {
		between, _ := stretch(l, c.out, rs[(k+1)%len(rs)].in+wrap(k, rs, n))
		out = append(append(out, c.arc), between...)
	}
	return stitch(out), nil
}

// wrap returns what to add to places of the rounding after k: n after the last one.
func wrap(k int, rs []rounding, n int) float64 {
	if k+1 == len(rs) {
		return float64(n)
	}
	return 0
}

// settle joins roundings that find no room, or are in each other's way, until all fit.
func settle(l []Elem, rs []rounding) ([]rounding, *misfit) {
	n := len(l)
	for k := 0; k < len(rs); {
		c, j := rs[k], (k+1)%len(rs)
		d := rs[j]
		why := "no room for a tangent arc"
		if c.ok && d.ok {
			if _, fits := stretch(l, c.out, d.in+wrap(k, rs, n)); fits {
				k++
				continue
			}
			why = "the roundings of neighbouring corners overlap"
		} else if c.ok {
			k++ // the next one is looked at in its turn
			continue
		}
		if j != k && c.sense == d.sense {
			joint := rounding{first: c.first, last: d.last + int(wrap(k, rs, n)), r: min(c.r, d.r), sense: c.sense}
			if joint.fit(l); joint.ok || !c.ok && !d.ok {
				rs[k] = joint
				rs = append(rs[:j], rs[j+1:]...)
				k = 0
				continue
			}
		}
		if i := (k + len(rs) - 1) % len(rs); !c.ok && i != k && rs[i].sense == c.sense {
			b := rs[i]
			joint := rounding{first: b.first, last: c.last, r: min(b.r, c.r), sense: c.sense}
			if k == 0 {
				joint.last += n
			}
			if joint.fit(l); joint.ok {
				rs[i] = joint
				rs = append(rs[:k], rs[k+1:]...)
				k = 0
				continue
			}
		}
		bad := &misfit{at: l[d.first%n].A, why: why, corners: []int{c.first % n, c.last % n}}
		if !c.ok {
			bad.at = l[c.first%n].A
		}
		if c.ok || j == k {
			bad.corners = append(bad.corners, d.first%n, d.last%n)
		}
		return nil, bad
	}
	return rs, nil
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

// fit finds the arc tangent to the smooth stretches before the first and after the last corner: on the
// nearest pair of elements, walking away from them, that a disc touches.
func (c *rounding) fit(l []Elem) {
	n := len(l)
	back := func(k int) Elem { return l[((c.first-1-k)%n+n)%n] }
	fore := func(k int) Elem { return l[(c.last+k)%n] }
	room := n - (c.last - c.first) // elements outside the corners
	nb, nf := 1, 1                 // lengths of the smooth stretches
	for nb < room && math.Abs(turn(back(nb), back(nb-1))) <= smooth {
		nb++
	}
	for nf < room && math.Abs(turn(fore(nf-1), fore(nf))) <= smooth {
		nf++
	}
	for sum := range nb + nf - 1 {
		for kf := max(0, sum-nb+1); kf <= min(sum, nf-1); kf++ {
			kb := sum - kf
			if kb+kf+2 > room && n > 2 {
				continue
			}
			arc, ok := tangentDisc(back(kb), fore(kf), l[c.last%n].A, c.sense*c.r)
			if !ok {
				continue
			}
			c.arc, c.ok = arc, true
			c.in = float64(c.first-1-kb) + back(kb).param(arc.A)
			c.out = float64(c.last+kf) + fore(kf).param(arc.B)
			return
		}
	}
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
