package sdf

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// Design limits of a cluster. Source: measured while meshing clusters of pockets, ribs, bosses, lugs
// and recesses; derivations at the rules.
const (
	gapPlay    = 1.1               // times the tangent lengths of both walls
	webRadii   = 2.5               // web thickness over edge radius
	wedgePlay  = 1.25              // times the sine at which a ball has two places to rest
	ridgeWarn  = 120 * geom.Degree // the ridge recedes by one edge radius
	ridgeLimit = 150 * geom.Degree // the ridge recedes by nearly three
	fits       = 1e-6              // mm by which an offset point may miss its distance
)

// Misfit is a place where a cluster's roundings do not fit.
type Misfit struct {
	Members [2]string // feature ids; the same twice when a feature is at odds with itself
	What    string    // what was measured
	At      geom.Vec3 // where, mm
	Got     float64   // measured, mm or degrees
	Limit   float64   // the least, for angles the largest, that is allowed
	Angle   bool      // Got and Limit are degrees
	Largest float64   // the largest radius that fits there, mm; 0: no radius helps
	Of      string    // which radius that is, where it is not the one measured
	Hard    bool      // the cluster must not be made like this; else a caution
}

// String states the misfit, e.g. for an error.
func (m Misfit) String() string {
	unit := "mm"
	if m.Angle {
		unit = "deg"
	}
	s := fmt.Sprintf("%s of %s", m.What, m.Members[0])
	if m.Members[1] != m.Members[0] {
		s = fmt.Sprintf("%s between %s and %s", m.What, m.Members[0], m.Members[1])
	}
	s += fmt.Sprintf(" at (%.2f, %.2f, %.2f): %.2f %s, limit %.2f %s", m.At.X, m.At.Y, m.At.Z, m.Got, unit, m.Limit, unit)
	if m.Largest > 0 {
		of := "radius"
		if m.Of != "" {
			of = m.Of + " radius"
		}
		s += fmt.Sprintf("; the largest %s that fits is %.2f mm", of, m.Largest)
	}
	return s
}

// Check returns the places where the roundings do not fit, the worst of each kind for each pair of
// members, in the order of members. It looks along the outlines in steps of 0.5 mm, so a fault
// narrower than that can slip through.
func (j *Joint) Check() []Misfit {
	var out []Misfit
	l := newLayout(j.top, j.Members)
	for i := range l.members {
		out = l.widths(out, i)
	}
	for i := range l.members {
		for k := range i {
			out = l.pair(out, k, i)
		}
	}
	return out
}

// widths checks that the roundings of one member fit into its own corners and widths: the wall moved
// to where the rounding runs out must be a true offset of the outline.
func (l *layout) widths(out []Misfit, i int) []Misfit {
	m := &l.members[i]
	w := m.Wall
	k := tangent(w.Draft)
	in, by := "floor width or corner", "opening width or corner"
	if w.Raised() {
		in, by = "crown width or corner", "foot width or corner"
	}
	out = l.offset(out, i, in, w.End, w.EndR, func(r float64) float64 { return w.D(w.End) - k*r })
	return l.offset(out, i, by, w.Host, w.HostR, func(r float64) float64 { return w.D(w.Host) + k*r })
}

// offset checks one rounding, which runs out at distance run(r) from the outline.
func (l *layout) offset(out []Misfit, i int, what string, z, r float64, run func(float64) float64) []Misfit {
	m := &l.members[i]
	ok := func(e outline.Elem, t, x float64) bool {
		q := e.Point(t).Add(e.Out(t).Scale(x))
		return math.Abs(m.Outline.At(q).D-x) <= fits
	}
	worst := Misfit{What: what, Limit: math.Abs(run(r)), Largest: r, Hard: true}
	bad := false
	for _, e := range m.Outline.Elems {
		n := max(2, int(math.Ceil(e.Length()/probe)))
		for s := range n {
			t := (float64(s) + 0.5) / float64(n)
			if ok(e, t, run(r)) {
				continue
			}
			lo, hi := 0.0, r
			for range 40 {
				if mid := (lo + hi) / 2; ok(e, t, run(mid)) {
					lo = mid
				} else {
					hi = mid
				}
			}
			if !bad || lo < worst.Largest {
				bad = true
				x := run(lo)
				worst.Largest, worst.Got = lo, math.Abs(x)
				worst.At = e.Point(t).Add(e.Out(t).Scale(x)).At(z)
			}
		}
	}
	if !bad {
		return out
	}
	worst.Members = [2]string{m.Feature, m.Feature}
	worst.Largest = floor3(worst.Largest)
	return append(out, worst)
}

// pair checks two members against each other.
func (l *layout) pair(out []Misfit, a, b int) []Misfit {
	ma, mb := &l.members[a], &l.members[b]
	reach := 3 * (ma.Wall.HostR + ma.Wall.EndR + mb.Wall.HostR + mb.Wall.EndR)
	if !l.plan(a).Grow(reach).Overlaps(l.plan(b)) {
		return out
	}
	switch {
	case !ma.Wall.Raised() && !mb.Wall.Raised():
		if ma.Host == mb.Host {
			out = l.web(out, a, b)
			out = l.crossing(out, a, b)
			out = l.runout(out, a, b)
			out = l.runout(out, b, a)
		}
	case ma.Wall.Raised() && mb.Wall.Raised():
		if math.Abs(ma.Wall.Host-mb.Wall.Host) <= sameLevel {
			out = l.gap(out, a, b)
		}
		out = l.crossing(out, a, b)
	default:
		if mb.Wall.Raised() {
			a, b = b, a
		}
		if math.Abs(l.members[a].Wall.Host-l.members[b].Wall.End) <= sameLevel {
			out = l.gap(out, a, b)
		}
		if l.column(b) == a {
			out = l.rim(out, a, b)
		}
		out = l.crossing(out, a, b)
	}
	return out
}

// plan returns the box of a member at its widest.
func (l *layout) plan(i int) geom.Box2 {
	w := l.members[i].Wall
	return l.members[i].Outline.Bounds().Grow(max(0, w.D(w.Host), w.D(w.End)))
}

// strip is one point of a wall and its distance to another member's wall at the same height.
type strip struct {
	at   geom.Vec2
	dist float64 // outside the other member, mm; negative inside
	next int     // strip that follows on the same loop
}

// strips walks along the wall of a at height z.
func (l *layout) strips(a, b int, z float64) []strip {
	ma, mb := &l.members[a], &l.members[b]
	var out []strip
	for _, loop := range ma.Outline.Loops {
		first := len(out)
		for _, e := range ma.Outline.Elems[loop[0]:loop[1]] {
			n := max(1, int(math.Ceil(e.Length()/probe)))
			for s := range n {
				t := float64(s) / float64(n)
				q := e.Point(t).Add(e.Out(t).Scale(ma.Wall.D(z)))
				out = append(out, strip{at: q, dist: mb.Outline.At(q).D - mb.Wall.D(z), next: len(out) + 1})
			}
		}
		out[len(out)-1].next = first
	}
	return out
}

// narrow returns the strip of least sign*dist above 0 that is no wider than its neighbours: where
// the walls face each other, not where they run into one another.
func narrow(ss []strip, sign float64) (strip, float64, bool) {
	best, at := math.Inf(1), -1
	for i := range ss {
		mid := &ss[ss[i].next]
		next := &ss[mid.next]
		d := sign * mid.dist
		if d > 0 && d < best && d <= sign*ss[i].dist && d <= sign*next.dist {
			best, at = d, ss[i].next
		}
	}
	if at < 0 {
		return strip{}, 0, false
	}
	return ss[at], best, true
}

// web checks the material left between two sunk members of one level: a ball of the edge radius must
// stand in it with play.
func (l *layout) web(out []Misfit, a, b int) []Misfit {
	ma, mb := &l.members[a], &l.members[b]
	r, z := max(ma.Wall.HostR, mb.Wall.HostR), ma.Wall.Host
	s, d, ok := narrow(l.strips(a, b, z), 1)
	if !ok || d >= webRadii*r {
		return out
	}
	return append(out, Misfit{
		Members: [2]string{ma.Feature, mb.Feature}, What: "web", At: s.at.At(z),
		Got: d, Limit: webRadii * r, Largest: floor3(d / webRadii), Hard: d < 2*r,
	})
}

// rim checks the material left between the wall of raised member a and sunk member b in its crown:
// as a web, where it does not end in a ridge.
func (l *layout) rim(out []Misfit, a, b int) []Misfit {
	ma, mb := &l.members[a], &l.members[b]
	r, z := max(ma.Wall.EndR, mb.Wall.HostR), mb.Wall.Host
	s, d, ok := narrow(l.strips(b, a, z), -1)
	if !ok || d >= webRadii*r {
		return out
	}
	return append(out, Misfit{
		Members: [2]string{ma.Feature, mb.Feature}, What: "rim", At: s.at.At(z),
		Got: d, Limit: webRadii * r, Largest: floor3(d / webRadii), Hard: d < 2*r,
	})
}

// gap checks the level floor between raised member a and another wall on its level: the ball that
// makes the root must reach the floor between both, or a must stand in the other wall. A ball of
// radius r takes r tan((90 deg - draft)/2) of floor at each wall.
func (l *layout) gap(out []Misfit, a, b int) []Misfit {
	ma, mb := &l.members[a], &l.members[b]
	z, sign, r := ma.Wall.Host, 1.0, min(ma.Wall.HostR, mb.Wall.HostR)
	if !mb.Wall.Raised() {
		sign, r = -1, ma.Wall.HostR
	}
	need := gapPlay * (tangent(ma.Wall.Draft) + tangent(mb.Wall.Draft))
	s, d, ok := narrow(l.strips(a, b, z), sign)
	if !ok || d >= need*r {
		return out
	}
	return append(out, Misfit{
		Members: [2]string{ma.Feature, mb.Feature}, What: "gap", At: s.at.At(z),
		Got: d, Limit: need * r, Largest: floor3(d / need), Hard: true,
	})
}

// crossing checks the angle between the walls of two members where they run into one another, at
// three heights that both walls have.
//
// Two sunk walls, or that of a raised member and one sunk in its crown, meet in a ridge of the
// material, which recedes by r (1/cos(t/2) - 1), t being the angle between the outward normals. A raised wall meets another wall in a groove, in which the ball
// rolls with h = 0 when sin t = r/(rc + r), rc being the smallest convex radius it rolls over.
func (l *layout) crossing(out []Misfit, a, b int) []Misfit {
	ma, mb := &l.members[a], &l.members[b]
	lo, hi := max(l.foot(a), l.foot(b)), min(l.head(a), l.head(b))
	if lo > hi {
		return out
	}
	worst := Misfit{Members: [2]string{ma.Feature, mb.Feature}, Angle: true}
	for i := range 3 {
		z := lo + (hi-lo)*(0.02+0.48*float64(i))
		l.crossings(a, b, z, func(q geom.Vec2) {
			_, na := surfaceNormal(ma, a, q, z)
			_, nb := surfaceNormal(mb, b, q, z)
			t := geom.Angle(math.Acos(max(-1, min(1, na.Dot(nb)))))
			if t.Degrees() > worst.Got {
				worst.Got, worst.At = t.Degrees(), q.At(z)
			}
		})
	}
	t := geom.Angle(worst.Got) * geom.Degree
	if !mb.Wall.Raised() && (!ma.Wall.Raised() || l.column(b) == a) {
		if t <= ridgeWarn {
			return out
		}
		worst.What, worst.Limit, worst.Hard = "ridge angle", ridgeWarn.Degrees(), t > ridgeLimit
		if worst.Hard {
			worst.Limit = ridgeLimit.Degrees()
		}
		return append(out, worst)
	}
	r, rc := math.Inf(1), math.Inf(1)
	for _, m := range []*Member{ma, mb} {
		if m.Wall.Raised() {
			r, rc = min(r, m.Wall.HostR), min(rc, m.Wall.EndR)
		} else {
			rc = min(rc, m.Wall.HostR)
		}
	}
	limit := wedgePlay * r / (rc + r)
	if t <= 90*geom.Degree || t.Sin() >= limit {
		return out
	}
	s := t.Sin() / wedgePlay
	worst.What, worst.Hard = "wedge angle", t.Sin() < r/(rc+r)
	worst.Limit = 90
	if limit < 1 {
		worst.Limit = 180 - geom.Angle(math.Asin(limit)).Degrees()
	}
	worst.Largest = floor3(s * rc / (1 - s))
	return append(out, worst)
}

// surfaceNormal returns the value and outward normal of a member's wall.
func surfaceNormal(m *Member, i int, q geom.Vec2, z float64) (float64, geom.Vec3) {
	s, f := wallOf(i, m.Wall), m.Outline.At(q)
	return s.value(foot{d: f.D, g: f.G}, z)
}

// foot returns the lowest height at which a member's drafted wall can show.
func (l *layout) foot(i int) float64 {
	w := l.members[i].Wall
	if !w.Raised() {
		return l.deepest(i)
	}
	if math.IsInf(l.clip[i], 1) {
		z := w.Host
		for _, m := range l.members {
			z = min(z, m.Wall.End)
		}
		return z
	}
	return w.Host
}

// head returns the greatest height at which a member's wall can show.
func (l *layout) head(i int) float64 {
	w := l.members[i].Wall
	return max(w.Host, w.End)
}

func floor3(x float64) float64 { return math.Floor(x*1000) / 1000 }
