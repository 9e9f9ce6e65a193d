package stack

import (
	"context"
	"math"
	"slices"

	"platen/toolgen/geom"
)

// Settled is how the upper part lies once it has tilted on to what carries its load: a plane over the
// lower part's plan that gives the lift.
type Settled struct {
	Centre geom.Vec2 // of its load
	Lift   float64   // there, mm
	Slope  geom.Vec2 // rise a mm along X and Y
	Held   bool      // its load lies between places that carry
}

// At returns the lift over a place of the plan.
func (s Settled) At(p geom.Vec2) float64 { return s.Lift + s.Slope.Dot(p.Sub(s.Centre)) }

// Tilt returns the steepest slope.
func (s Settled) Tilt() geom.Angle { return geom.Angle(math.Atan(s.Slope.Norm())) }

// settles is how far below the lift at which parts first touch others are looked for as the upper one
// tilts, mm.
const settles = 1.5

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

// settle finds the plane that lies on the candidates and is lowest over the middle of the load: each step
// takes in the candidate that stands out most, for the corner that keeps the middle between the three.
//
// SOURCE: derived: with small tilts the part rests where its load is lowest, which is a linear programme.
func settle(list []candidate, c geom.Vec2) Settled {
	out := Settled{Centre: c, Lift: math.Inf(-1)}
	for _, k := range list {
		out.Lift = max(out.Lift, k.lift)
	}
	corner, ok := around(list, c)
	if !ok {
		return out
	}
	out.Held = true
	for range 1000 {
		out.Lift, out.Slope = plane3(list, corner, c)
		worst, over := -1, even
		for i := range list {
			if d := list[i].lift - out.At(list[i].At.Plan()); d > over {
				worst, over = i, d
			}
		}
		if worst < 0 {
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
			return out
		}
		corner = best
	}
	return out
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
