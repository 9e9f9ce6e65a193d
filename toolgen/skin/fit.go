package skin

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/sdf"
)

// steepest is the largest angle between neighbouring rows or columns, rad: coarser steps would save
// nothing on a finished tool and make poor pictures.
const steepest = math.Pi / 3

// mostKnown is how many kinds of sweep are remembered.
const mostKnown = 64

// mostSteps ends the search for rows on a stretch that no number of rows can bring within tolerance.
const mostSteps = 1 << 14

// bend is what makes the plan of a sweep curved: an arc, or a corner where the offset is round.
type bend struct {
	r      float64 // signed radius of the outline there, 0 for a corner
	convex bool
	sweep  float64
	limit  float64 // how far the section runs towards the centre, mm
	trims  *trims  // of an arc that mitred corners shorten
	n      int     // columns
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

// fitter chooses how many rows and columns a sweep gets.
//
// The bound it keeps: a quad between two rows and two columns has its corners on the surface, at
// the radii rho0, rho1 of the bend and the heights z0, z1. A point of it, or of a triangle of its corners, is
// a mean of corners, so in the half plane through the axis of the bend and the point it lies at the
// mean height and between c times the mean radius and the mean radius, where c is the cosine of half the angle the corners span. All such points
// fill the four-sided figure (rho0, z0), (rho1, z1), (c rho1, z1), (c rho0, z0). The distance from the
// section is largest at its corners or, towards the centre of a rounding, where the figure comes
// nearest to that centre.
type fitter struct {
	tol   float64
	worst float64 // largest bound of what was chosen
	known []choice

	rows []geom.Vec2 // scratch: row points of the part last asked for
	part *part
	n    int
}

// choice is what was found for one kind of sweep: most features of a tool are repeats.
type choice struct {
	parts      []part
	bends      []*bend
	rows, cols []int
}

// like reports whether the choice was made for the same section and the same bends.
func (c choice) like(parts []*part, bends []*bend) bool {
	if len(c.parts) != len(parts) || len(c.bends) != len(bends) {
		return false
	}
	for i, p := range parts {
		if c.parts[i].Elem != p.Elem {
			return false
		}
	}
	for i, b := range bends {
		if !c.bends[i].like(b) {
			return false
		}
	}
	return true
}

// like reports whether both bends need the same columns.
func (b *bend) like(o *bend) bool {
	return b.trims == nil && o.trims == nil && o.convex == b.convex &&
		math.Abs(o.r-b.r) < 1e-9 && math.Abs(o.sweep-b.sweep) < 1e-9
}

// choose sets the rows of the parts and the columns of the loops such that the bound holds with the
// fewest quads. It tries shares of the tolerance for the plan, gives the section the rest, then
// takes columns away while the bound allows.
func (f *fitter) choose(s *sdf.Sweep, bs []band, loops []loop) error {
	var parts []*part
	for i := range bs {
		for k := range bs[i].parts {
			parts = append(parts, &bs[i].parts[k])
		}
	}
	bends := bendsOf(loops, parts)
	straights := 0
	for _, l := range loops {
		for _, e := range l.elems {
			if e.R == 0 {
				straights++
			}
		}
	}
	rows, cols := f.remembered(s, parts, bends)
	if rows == nil {
		if rows, cols = f.search(s, parts, bends, straights); rows == nil {
			return fmt.Errorf("no number of rows keeps %.4f mm", f.tol)
		}
	}
	for i, p := range parts {
		p.n = rows[i]
		f.worst = max(f.worst, sagitta(p.Elem, p.n))
	}
	for i, b := range bends {
		for _, at := range b.places {
			if at.corner {
				loops[at.loop].joints[at.i].n = cols[i]
			} else {
				loops[at.loop].n[at.i] = cols[i]
			}
		}
		f.worst = max(f.worst, f.bound(s, parts, rows, b, cols[i]))
	}
	return nil
}

// remembered returns the choice made for a sweep of the same kind before, or nil.
func (f *fitter) remembered(s *sdf.Sweep, parts []*part, bends []*bend) (rows, cols []int) {
	for _, c := range f.known {
		if !c.like(parts, bends) {
			continue
		}
		for i, b := range bends { // alike is not equal: the bound may have moved over the limit
			if f.bound(s, parts, c.rows, b, c.cols[i]) > f.tol {
				return nil, nil
			}
		}
		return c.rows, c.cols
	}
	return nil, nil
}

// search returns the best numbers of rows and columns, and remembers them.
func (f *fitter) search(s *sdf.Sweep, parts []*part, bends []*bend, straights int) (rows, cols []int) {
	best := math.Inf(1)
	for share := 0.08; share < 1; share *= 1.12 {
		r, ok := f.rowsFor(s, parts, bends, share)
		if !ok {
			continue
		}
		c := f.fewerColumns(s, parts, bends, r)
		if q := quads(r, c, bends, straights); q < best {
			best, rows, cols = q, r, c
		}
	}
	if rows != nil && len(f.known) < mostKnown {
		c := choice{bends: bends, rows: rows, cols: cols}
		for _, p := range parts {
			c.parts = append(c.parts, *p)
		}
		f.known = append(f.known, c)
	}
	return rows, cols
}

func quads(rows, cols []int, bends []*bend, straights int) float64 {
	r, c := 0, straights
	for _, n := range rows {
		r += n
	}
	for i, n := range cols {
		c += n * len(bends[i].places)
	}
	return float64(r) * float64(c)
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
		out = append(out, b)
	}
	for li := range loops {
		l := &loops[li]
		for i, e := range l.elems {
			j := &l.joints[i]
			next := l.joints[(i+1)%len(l.joints)]
			j.n = 0
			if j.turn != 0 && !(j.mitred(inner) && j.mitred(outer)) {
				put(&bend{convex: j.turn > 0, sweep: math.Abs(j.turn)}, place{li, i, true})
			}
			if e.R != 0 {
				b := &bend{r: e.R, convex: e.R > 0, sweep: float64(e.Sweep())}
				if j.turn != 0 || next.turn != 0 {
					b.trims = &trims{l, i}
				}
				put(b, place{li, i, false})
			}
		}
	}
	for _, b := range out {
		b.limit = outer
		if !b.convex {
			b.limit = inner
		}
	}
	return out
}

// rho returns the radius of the bend at the distance d; on the mitred side of a corner it is 0.
func (b *bend) rho(d float64) float64 {
	if b.convex {
		return max(0, b.r+d)
	}
	return max(0, -b.r-d)
}

// at returns the distance from the outline at the radius rho.
func (b *bend) at(rho float64) float64 {
	if b.convex {
		return rho - b.r
	}
	return -rho - b.r
}

// least returns the fewest columns whose chords stay within e of the plan.
func (b *bend) least(e float64) int {
	r := b.rho(b.limit)
	step := steepest
	if e < r {
		step = min(step, 2*math.Acos(1-e/r))
	}
	return max(1, int(math.Ceil(b.sweep/step-1e-9)))
}

// rowsFor returns the fewest rows of each part when the plan takes its share of the tolerance.
func (f *fitter) rowsFor(s *sdf.Sweep, parts []*part, bends []*bend, share float64) ([]int, bool) {
	for _, b := range bends {
		b.n = b.least(share * f.tol)
	}
	rows := make([]int, len(parts))
	for i, p := range parts {
		n := leastRows(p.Elem, f.tol)
		for _, b := range bends {
			for f.partBound(s, parts, i, n, b, b.n) > f.tol {
				if n++; n > mostSteps {
					return nil, false
				}
			}
		}
		rows[i] = n
	}
	return rows, true
}

// leastRows returns the fewest chords within tol of the element alone.
func leastRows(e outline.Elem, tol float64) int {
	if e.R == 0 {
		return 1
	}
	step := steepest
	if r := math.Abs(e.R); tol < r {
		step = min(step, 2*math.Acos(1-tol/r))
	}
	return max(1, int(math.Ceil(float64(e.Sweep())/step-1e-9)))
}

// sagitta returns how far n chords leave the element.
func sagitta(e outline.Elem, n int) float64 {
	return math.Abs(e.R) * (1 - math.Cos(float64(e.Sweep())/float64(2*n)))
}

// fewerColumns returns the fewest columns of each bend that the rows allow.
func (f *fitter) fewerColumns(s *sdf.Sweep, parts []*part, bends []*bend, rows []int) []int {
	cols := make([]int, len(bends))
	for i, b := range bends {
		n := b.n
		for n > 1 && b.sweep <= steepest*float64(n-1) && f.bound(s, parts, rows, b, n-1) <= f.tol {
			n--
		}
		cols[i] = n
	}
	return cols
}

// bound returns the bound over all parts for one bend.
func (f *fitter) bound(s *sdf.Sweep, parts []*part, rows []int, b *bend, cols int) float64 {
	worst := 0.0
	for i := range parts {
		worst = max(worst, f.partBound(s, parts, i, rows[i], b, cols))
	}
	return worst
}

// partBound returns the bound over the n rows of part i for one bend.
func (f *fitter) partBound(s *sdf.Sweep, parts []*part, i, n int, b *bend, cols int) float64 {
	p := parts[i]
	if f.part != p || f.n != n {
		f.rows, f.part, f.n = p.points(n, f.rows[:0]), p, n
	}
	worst := sagitta(p.Elem, n)
	span := b.sweep / float64(cols)
	c := math.Cos(span / 2)
	for k := range n {
		x, y := f.rows[k], f.rows[k+1]
		if b.trims != nil {
			skew, ok := b.trims.skew(x.X, y.X)
			if !ok {
				return 0 // the rows will say so with the place
			}
			c = math.Cos(min(math.Pi/2, (span+skew)/2))
		}
		cx, cy := x, y
		cx.X, cy.X = b.at(c*b.rho(x.X)), b.at(c*b.rho(y.X))
		if b.rho(x.X) == 0 {
			cx = x
		}
		if b.rho(y.X) == 0 {
			cy = y
		}
		worst = max(worst, figure(p.Elem, x, y, cy, cx))
		if k == 0 {
			worst = max(worst, beyond(s.Profile, p, x, cx, -1))
		}
		if k == n-1 {
			worst = max(worst, beyond(s.Profile, p, y, cy, 1))
		}
	}
	return worst
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

// beyond returns the distance from the section of x, a point near the end of part p that the chord
// of the plan may carry beyond it (dir 1) or before its start (dir -1).
func beyond(prof sdf.Profile, p *part, end, x geom.Vec2, dir int) float64 {
	e := p.Elem
	t := e.Out(float64(dir+1) / 2).Left().Scale(float64(dir)) // leads away from the part
	if x.Sub(end).Dot(t) <= 0 {
		return 0 // its foot is on the part
	}
	k := p.src + dir
	if edge := prof[p.src].A; dir > 0 {
		edge = prof[p.src].B
		if edge != end {
			k = p.src
		}
	} else if edge != end {
		k = p.src
	}
	at := 0.0
	if k < p.src {
		at = 1
	}
	if k != p.src && prof[k].Out(at).Dot(e.Out(1-at)) < 1-1e-9 {
		return x.Sub(end).Norm() // not tangent: the end itself is near enough
	}
	return off(prof[k], x)
}
