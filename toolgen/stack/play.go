package stack

import (
	"cmp"
	"context"
	"math"
	"slices"

	"platen/toolgen/geom"
)

// Way is one way in which the upper part may be moved over the lower.
type Way struct {
	Name string     // "+X" and so on, "turned left"
	Dir  geom.Vec2  // unit; zero for a turn
	Turn geom.Angle // 1 or -1 for a turn about the centre
}

// Ways are the ways in which play is looked for.
func Ways() []Way {
	return []Way{
		{Name: "+X", Dir: geom.Vec2{X: 1}}, {Name: "-X", Dir: geom.Vec2{X: -1}},
		{Name: "+Y", Dir: geom.Vec2{Y: 1}}, {Name: "-Y", Dir: geom.Vec2{Y: -1}},
		{Name: "turned left", Turn: 1}, {Name: "turned right", Turn: -1},
	}
}

// Play is how far the upper part may be moved one way on its seat.
type Play struct {
	Way   Way
	Far   float64 // mm, or radians for a turn
	Ends  End
	At    geom.Vec3 // where it strikes, lower part's frame
	Lower string    // feature of the lower part that it strikes
}

// End says what ends a play.
type End uint8

// The ends.
const (
	Free    End = iota // nothing within MostPlay
	Strikes            // it strikes a wall
	Leaves             // what carries no longer holds the load
)

// String returns the word for the end.
func (e End) String() string { return [...]string{"free", "strikes", "leaves its seat"}[e] }

const (
	// MostPlay is how far play is looked for, mm; turns until the farthest point has gone as far.
	MostPlay = 12.0
	// ride is how much the upper part is lifted while it is moved, mm: what is lower is slid over.
	ride = 0.05
	// probe is the least step of a place that slides along another, mm, and found to what an end is found.
	probe = 0.1
	found = 1e-4
)

// Plays returns the play of the upper part in every way.
//
// ERROR: the context's error.
func (r *Rest) Plays(ctx context.Context) ([]Play, error) {
	near := r.clearances(ctx)
	var out []Play
	for _, w := range Ways() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		out = append(out, r.play(ctx, w, near))
	}
	return out, ctx.Err()
}

// clear is a place with how far it may be moved at least.
type clear struct {
	of  Side
	at  geom.Vec3
	gap float64
}

// clearances returns the places that may come to strike, the nearest first.
func (r *Rest) clearances(ctx context.Context) []clear {
	var out []clear
	pr := &pair{r.Lower, r.Upper, r.Place}
	for _, of := range [...]Side{Upper, Under} {
		pts := r.Lower.points[Upper]
		if of == Under {
			pts = r.Upper.points[Under]
		}
		gap := make([]float64, len(pts))
		each(ctx, len(pts), func(i int) { gap[i], _, _ = pr.gap(of, pts[i].At, r.Lift+ride) })
		for i, g := range gap {
			if g < MostPlay {
				out = append(out, clear{of, pts[i].At, g})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b clear) int { return cmp.Compare(a.gap, b.gap) })
	return out
}

// moved returns the place after the upper part has gone s mm one way; a turn by how far its farthest
// point has gone.
func (r *Rest) moved(w Way, s float64) Place {
	l := r.Place
	if w.Turn == 0 {
		l.Shift = l.Shift.Add(w.Dir.Scale(s))
		return l
	}
	// A turn about the centre of the lower part, after what the place does.
	by := geom.Angle(s/r.reach()) * w.Turn
	c := r.Lower.Centre()
	at := l.Centre.Add(l.Shift).Sub(c)
	l.Shift = geom.Turned(by).Point(at).Add(c).Sub(l.Centre)
	l.Turn += by
	return l
}

// reach is how far from the centre the farthest place of the lower part lies.
func (r *Rest) reach() float64 {
	b := r.Lower.trim.Bounds()
	return b.Size().Norm() / 2
}

func (r *Rest) play(ctx context.Context, w Way, near []clear) Play {
	out := Play{Way: w, Far: MostPlay}
	for k, c := range near {
		if k%256 == 0 && ctx.Err() != nil || c.gap >= out.Far {
			break // what follows is farther off still
		}
		s, hit := r.strikes(c.of, c.at, w, out.Far)
		if !hit || s >= out.Far {
			continue
		}
		out.Far, out.Ends = s, Strikes
		pr := &pair{r.Lower, r.Upper, r.moved(w, s)}
		out.At = pr.world(c.of, c.at, r.Lift)
		out.Lower = r.Lower.field.Pieces.At(r.Lower.field.Face(r.Lower.m.Point(out.At)).Piece).Feature
	}
	if s := r.leaves(w, out.Far); s < out.Far {
		out.Far, out.Ends = s, Leaves
	}
	if w.Turn != 0 {
		out.Far /= r.reach()
	}
	return out
}

// strikes returns how far one way a place goes until it touches, if that is less than most: it goes by
// its gap at a time, which is how far it can go at least.
func (r *Rest) strikes(of Side, x geom.Vec3, w Way, most float64) (float64, bool) {
	inside := func(s float64) (float64, bool) {
		pr := pair{r.Lower, r.Upper, r.moved(w, s)}
		g, _, ok := pr.gap(of, x, r.Lift+ride)
		return g, ok && g < 0
	}
	last := 0.0
	for s := 0.0; ; {
		g, in := inside(s)
		if in {
			if s == 0 {
				return 0, true
			}
			for s-last > found {
				if mid := (last + s) / 2; second(inside(mid)) {
					s = mid
				} else {
					last = mid
				}
			}
			return last, true
		}
		if s >= most {
			return most, false
		}
		last, s = s, min(s+max(g, probe), most)
	}
}

func second(_ float64, b bool) bool { return b }

// leaves returns how far one way what carries still holds the middle of the load.
func (r *Rest) leaves(w Way, most float64) float64 {
	const step = 0.5
	holds := func(s float64) bool {
		pr := pair{r.Lower, r.Upper, r.moved(w, s)}
		var pts []geom.Vec2
		for _, t := range r.Touch {
			if g, _, ok := pr.gap(t.of, t.pt.At, r.Settled.At(t.At.Plan())-2*Give); ok && g < 0 {
				pts = append(pts, pr.world(t.of, t.pt.At, r.Lift).Plan())
			}
		}
		_, margin := inside(hull(pts), pr.at.Plan(r.Upper.LoadCentre()))
		return margin >= 0
	}
	if !holds(0) {
		return math.Inf(1) // it does not hold to begin with
	}
	for s := 0.0; s < most; s += step {
		if holds(min(s+step, most)) {
			continue
		}
		lo, hi := s, min(s+step, most)
		for hi-lo > found {
			if mid := (lo + hi) / 2; holds(mid) {
				lo = mid
			} else {
				hi = mid
			}
		}
		return lo
	}
	return math.Inf(1)
}
