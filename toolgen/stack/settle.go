package stack

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"platen/toolgen/geom"
)

// Settled is how the upper part lies once it has tilted on to what carries its load: a plane over the
// lower part's plan that gives the lift.
//
// ERROR: small tilts are reckoned with: a place moves up and down only. At a tilt a it also moves sideways,
// by its height times sin a, and is 1 - cos a nearer. Places are those looked at, some 3 mm apart.
type Settled struct {
	Centre  geom.Vec2 // of its load
	Lift    float64   // there, mm
	Slope   geom.Vec2 // rise a mm along X and Y
	Held    bool      // its load lies between places that carry
	Unknown string    // why it is not known whether they hold it; "" where it is
	Looked  float64   // places were looked at that touch so far below the lift of the first, mm
	Off     float64   // how far the load lies outside what touches first, mm; 0 where that holds it
	Edge    geom.Vec2 // the nearest place there of what touches first
	Low     geom.Vec3 // the lowest of the three places that hold it, lower part's frame
	Sinks   float64   // how far below the lift of the first that touches, mm
}

// At returns the lift over a place of the plan.
func (s Settled) At(p geom.Vec2) float64 { return s.Lift + s.Slope.Dot(p.Sub(s.Centre)) }

// Tilt returns the steepest slope.
func (s Settled) Tilt() geom.Angle { return geom.Angle(math.Atan(s.Slope.Norm())) }

const (
	// settles is how far below the lift at which parts first touch others are looked for at first as the
	// upper one tilts, mm. Where those do not hold it, or it sinks deeper at its rim, it is twice as far, and
	// so on.
	settles = 1.5
	// mostTilt is the steepest tilt that is reckoned with: a place 20 mm up moves sideways by 3.5 mm.
	mostTilt = 10 * geom.Degree
	// mostTurns is how many steps the search for the three places may take.
	mostTurns = 1000
	// nudge is how far the middle of the load is moved where it lies in line with places that carry, mm.
	nudge = 1e-3
)

// settled tilts the upper part, which first touches at a lift, until its load is held: as far down as places
// of the parts come to touch. A part that jams is centred where it wedges and does not tilt.
func (r *pair) settled(ctx context.Context, lift float64, jams bool) (Settled, []candidate) {
	c := r.at.Plan(r.upper.LoadCentre())
	all := lift - (r.lower.low - r.upper.high - 1)
	within := settles
	if jams {
		within = Give
	}
	off, edge := 0.0, c
	for first := true; ; first = false {
		list := r.candidates(ctx, lift-within)
		s := settle(list, c)
		if first && !s.Held && len(list) > 0 {
			at, margin := inside(hull(plans(s.touching(list))), c)
			off, edge = max(0, -margin), at
		}
		s.Off, s.Edge, s.Looked = off, edge, within
		deep := 0.0
		if !s.Held { // it lies level on what touches first, which may be no place looked at
			s.Lift = lift
		} else {
			s.Sinks = lift - s.Sinks
			deep = lift - r.deepest(s)
		}
		if jams || within >= all || ctx.Err() != nil || s.Unknown != "" || s.Held && deep <= within {
			return s.small(lift), list
		}
		within = min(all, max(2*within, deep))
	}
}

// deepest returns the least lift of a plane over the lower part.
func (r *pair) deepest(s Settled) float64 {
	box := r.lower.trim.Bounds()
	low := math.Inf(1)
	for _, p := range [...]geom.Vec2{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}} {
		low = min(low, s.At(p))
	}
	return low
}

// small returns s, or that it is not known where it tilts by more than is reckoned with.
func (s Settled) small(lift float64) Settled {
	if s.Tilt() <= mostTilt {
		return s
	}
	return Settled{
		Centre: s.Centre, Lift: lift, Looked: s.Looked, Off: s.Off, Edge: s.Edge,
		Unknown: fmt.Sprintf("it would lie %.1f deg tilted, and up to %.0f are reckoned with", s.Tilt().Degrees(), mostTilt.Degrees()),
	}
}

func plans(list []Touch) []geom.Vec2 {
	var out []geom.Vec2
	for _, t := range list {
		out = append(out, t.At.Plan())
	}
	return out
}

// candidate is a place that may come to carry: the lift at which it touches.
type candidate struct {
	Touch
	lift float64
}

// candidates returns the places that touch at a lift or higher.
func (r *pair) candidates(ctx context.Context, from float64) []candidate {
	var out []candidate
	for _, of := range [...]Side{Upper, Under} {
		pts := r.lower.points[Upper]
		if of == Under {
			pts = r.upper.points[Under]
		}
		at := make([]float64, len(pts))
		hit := make([]bool, len(pts))
		each(ctx, len(pts), func(i int) { at[i], hit[i] = r.lift(of, pts[i].At, from) })
		for i, h := range hit {
			if h {
				out = append(out, candidate{Touch{
					At: r.world(of, pts[i].At, at[i]), Slope: geom.Angle(math.Asin(min(1, math.Abs(pts[i].Out.Z)))), of: of, pt: pts[i],
				}, at[i]})
			}
		}
	}
	return out
}

// even is how far a candidate may stand out of the plane found, mm.
const even = 1e-6

// settle finds the plane that lies on the candidates and is lowest over the middle of the load. What it
// returns as Sinks is the lift of the lowest of the three.
//
// SOURCE: derived: with small tilts the part rests where its load is lowest, which is a linear programme.
func settle(list []candidate, c geom.Vec2) Settled {
	// In line with two places the step may go round in a ring: beside the line it does not.
	var out Settled
	for i, by := range [...]geom.Vec2{{}, {X: nudge, Y: nudge / 3}, {X: -nudge, Y: nudge / 2}, {X: nudge / 5, Y: -nudge}} {
		s := settleIn(list, c.Add(by), mostTurns)
		s.Lift, s.Centre = s.At(c), c
		if i == 0 {
			out = s
		}
		if s.Unknown == "" && (i == 0 || s.Held) {
			return s
		}
	}
	return out
}

// settleIn is settle in so many steps: each takes in the candidate that stands out most, for the corner that
// keeps the middle between the three.
func settleIn(list []candidate, c geom.Vec2, steps int) Settled {
	out := Settled{Centre: c, Lift: math.Inf(-1)}
	for _, k := range list {
		out.Lift = max(out.Lift, k.lift)
	}
	corner, ok := around(list, c)
	if !ok {
		return out
	}
	lost := out
	out.Held = true
	for range steps {
		out.Lift, out.Slope = plane3(list, corner, c)
		worst, over := -1, even
		for i := range list {
			if d := list[i].lift - out.At(list[i].At.Plan()); d > over {
				worst, over = i, d
			}
		}
		if worst < 0 {
			low := slices.MinFunc(corner[:], func(a, b int) int { return cmp.Compare(list[a].lift, list[b].lift) })
			out.Low, out.Sinks = list[low].At, list[low].lift
			return out
		}
		best, most := corner, math.Inf(-1)
		for k := range corner {
			next := corner
			next[k] = worst
			if !between(list, next, c) {
				continue
			}
			if z, _ := plane3(list, next, c); z > most {
				best, most = next, z
			}
		}
		if math.IsInf(most, -1) {
			lost.Unknown = "the places that touch lie too near to one line to tell which three hold it"
			return lost
		}
		corner = best
	}
	lost.Unknown = fmt.Sprintf("the search for the three places that hold it gave up after %d steps", steps)
	return lost
}

// around returns three candidates that have a place between them.
func around(list []candidate, c geom.Vec2) (corner [3]int, ok bool) {
	pts := make([]geom.Vec2, len(list))
	for i := range list {
		pts[i] = list[i].At.Plan()
	}
	poly := hull(pts)
	var at []int
	for _, v := range poly {
		at = append(at, slices.IndexFunc(pts, func(p geom.Vec2) bool { return p == v }))
	}
	for k := 1; k+1 < len(at); k++ {
		if t := [3]int{at[0], at[k], at[k+1]}; between(list, t, c) {
			return t, true
		}
	}
	return corner, false
}

// between reports whether a place lies within the triangle of three candidates, its sides included.
func between(list []candidate, t [3]int, c geom.Vec2) bool {
	a, b, d := list[t[0]].At.Plan(), list[t[1]].At.Plan(), list[t[2]].At.Plan()
	whole := b.Sub(a).Cross(d.Sub(a))
	if math.Abs(whole) < 1e-9 {
		return false
	}
	for _, e := range [...][2]geom.Vec2{{a, b}, {b, d}, {d, a}} {
		if e[1].Sub(e[0]).Cross(c.Sub(e[0]))/whole < -1e-12 {
			return false
		}
	}
	return true
}

// plane3 returns the height over c, and the slope, of the plane through three candidates.
func plane3(list []candidate, t [3]int, c geom.Vec2) (z float64, slope geom.Vec2) {
	a, b, d := list[t[0]].At.Plan(), list[t[1]].At.Plan(), list[t[2]].At.Plan()
	u, v := b.Sub(a), d.Sub(a)
	zu, zv := list[t[1]].lift-list[t[0]].lift, list[t[2]].lift-list[t[0]].lift
	det := u.Cross(v)
	slope = geom.Vec2{X: (zu*v.Y - zv*u.Y) / det, Y: (zv*u.X - zu*v.X) / det}
	return list[t[0]].lift + slope.Dot(c.Sub(a)), slope
}

// touching returns the candidates that carry once the part has settled: those within Give of its plane.
func (s Settled) touching(list []candidate) []Touch {
	var out []Touch
	for _, k := range list {
		if k.lift >= s.At(k.At.Plan())-Give {
			out = append(out, k.Touch)
		}
	}
	return out
}
