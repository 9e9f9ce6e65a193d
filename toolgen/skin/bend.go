package skin

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/sdf"
)

// bend is what makes the plan of a sweep curved: an arc, or a corner where the offset is round.
type bend struct {
	r      float64 // signed radius of the outline there, 0 for a corner
	convex bool
	sweep  float64
	wide   float64 // largest radius over the section, mm
	trims  *trims  // of an arc that mitred corners shorten
	places []place // where it occurs
}

// trims is an arc between mitred corners: its ends move along it from row to row.
type trims struct {
	l *loop
	i int
}

// place is an element or joint of a loop.
type place struct {
	loop, i int
	corner  bool
}

// bendsOf lists what curves the plan, like with like, and clears the columns of corners that are
// mitred all along.
func bendsOf(loops []loop, parts []*part) []*bend {
	inner, outer := math.Inf(1), math.Inf(-1)
	for _, p := range parts {
		b := p.Bounds()
		inner, outer = min(inner, b.Min.X), max(outer, b.Max.X)
	}
	var out []*bend
	put := func(b *bend, at place) {
		for _, o := range out {
			if o.like(b) {
				o.places = append(o.places, at)
				return
			}
		}
		b.places = []place{at}
		b.wide = max(b.rho(inner), b.rho(outer))
		out = append(out, b)
	}
	for li := range loops {
		l := &loops[li]
		for i, e := range l.elems {
			j := &l.joints[i]
			after := l.joints[(i+1)%len(l.joints)]
			j.n = 0
			if j.turn != 0 && !(j.mitred(inner) && j.mitred(outer)) {
				put(&bend{convex: j.turn > 0, sweep: math.Abs(j.turn)}, place{li, i, true})
			}
			if e.R != 0 {
				b := &bend{r: e.R, convex: e.R > 0, sweep: float64(e.Sweep())}
				if j.turn != 0 || after.turn != 0 {
					b.trims = &trims{l, i}
				}
				put(b, place{li, i, false})
			}
		}
	}
	return out
}

// like reports whether both bends need the same columns.
func (b *bend) like(o *bend) bool {
	return b.trims == nil && o.trims == nil && b.convex == o.convex &&
		math.Abs(b.r-o.r) < 1e-9 && math.Abs(b.sweep-o.sweep) < 1e-9
}

// rho returns the radius of the bend at the distance d; on the mitred side of a corner it is 0.
func (b *bend) rho(d float64) float64 {
	if b.convex {
		return max(0, b.r+d)
	}
	return max(0, -b.r-d)
}

// scaled returns a point of the section with its radius multiplied by k.
func (b *bend) scaled(x geom.Vec2, k float64) geom.Vec2 {
	x.X += (k - 1) * (b.r + x.X)
	return x
}

// divided returns n columns. Corners and trimmed arcs are not balanced: their rows have columns in
// places of their own.
func (b *bend) divided(n int, divide division) steps {
	if b.r == 0 || b.trims != nil {
		return even(b.sweep, n)
	}
	return divide(b.sweep, n)
}

// within returns the fewest columns whose chords stay within e of the plan.
func (b *bend) within(e float64, divide division) steps {
	n := max(1, int(math.Ceil(b.sweep/steepest-1e-9)))
	if e < b.wide {
		// No division has chords longer than a balanced one's inner chord.
		n = max(n, int(b.sweep/(2*math.Acos((b.wide-e)/(b.wide+e)))))
	}
	for {
		if by := b.divided(n, divide); by.spread(b.wide) <= e {
			return by
		}
		n++
	}
}

// skew returns the largest angle by which a column turns between the distances d0 and d1.
func (t *trims) skew(d0, d1 float64) (float64, bool) {
	s0, e0, err := t.l.trim(t.i, d0)
	if err != nil {
		return 0, false
	}
	s1, e1, err := t.l.trim(t.i, d1)
	return max(math.Abs(s0-s1), math.Abs(e0-e1)), err == nil
}

// figure returns the largest distance of a four-sided figure from the line or circle of e.
func figure(e outline.Elem, q ...geom.Vec2) float64 {
	worst := 0.0
	if e.R == 0 {
		for _, x := range q {
			worst = max(worst, off(e, x))
		}
		return worst
	}
	r := math.Abs(e.R)
	far, near := 0.0, math.Inf(1)
	for i, x := range q {
		far = max(far, x.Sub(e.C).Norm())
		near = min(near, toSegment(e.C, x, q[(i+1)%len(q)]))
	}
	return max(far-r, r-near)
}

// toSegment returns the distance of p from the segment a-b.
func toSegment(p, a, b geom.Vec2) float64 {
	u, v := b.Sub(a), p.Sub(a)
	t := 0.0
	if l := u.Dot(u); l > 0 {
		t = min(1, max(0, v.Dot(u)/l))
	}
	return v.Sub(u.Scale(t)).Norm()
}

// beyond returns the distance from the section of x, a point near the end of part p that a chord
// of the plan may carry beyond it (dir 1) or before its start (dir -1).
func beyond(prof sdf.Profile, p *part, end, x geom.Vec2, dir int) float64 {
	e := p.Elem
	t := e.Out(float64(dir+1) / 2).Left().Scale(float64(dir)) // leads away from the part
	if x.Sub(end).Dot(t) <= 0 {
		return 0 // its foot is on the part
	}
	edge, k, mine, theirs := prof[p.src].A, p.src-1, 0.0, 1.0
	if dir > 0 {
		edge, k, mine, theirs = prof[p.src].B, p.src+1, 1, 0
	}
	if edge != end {
		return off(prof[p.src], x) // the part was cut here: its element goes on
	}
	if prof[k].Out(theirs).Dot(e.Out(mine)) < 1-1e-9 {
		return x.Sub(end).Norm() // not tangent: the end itself is near enough
	}
	return off(prof[k], x)
}
