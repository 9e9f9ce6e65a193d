package outline

import (
	"fmt"
	"math"
	"slices"

	"platen/toolgen/geom"
)

// TooLarge is the refusal of a rounding or an offset, with the largest that fits.
type TooLarge struct {
	What    string    // "corner radius" or "offset"
	Got     float64   // mm
	Largest float64   // mm, same sign as Got; 0 where nothing fits
	At      geom.Vec2 // place
	Why     string    // what goes wrong there
}

// Error names quantity, place and the largest that fits, rounded towards 0.
func (e *TooLarge) Error() string {
	return fmt.Sprintf("%s %.3f mm does not fit at (%.3f, %.3f): %s; at most %.3f mm",
		e.What, e.Got, e.At.X, e.At.Y, e.Why, math.Trunc(e.Largest*1000)/1000)
}

// misfit is why one rounding or offset fails.
type misfit struct {
	at      geom.Vec2
	why     string
	corners []int // elements that start at the corners to blame, for roundings
}

// largest returns the largest value between 0 and got for which try succeeds, found by halving.
func largest(got float64, try func(float64) bool) float64 {
	lo, hi := 0.0, got
	for math.Abs(hi-lo) > 1e-6*math.Abs(got) && math.Abs(hi-lo) > 1e-5 {
		if mid := (lo + hi) / 2; try(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// Offset returns the outline moved outward by m (inward when negative): arcs change radius, sharp
// corners stay sharp.
//
// ERROR: *TooLarge with the largest offset that works when an element would vanish or turn over, or
// when the moved outline would meet itself.
func (o *Outline) Offset(m float64) (*Outline, error) {
	if m == 0 {
		return o, nil
	}
	out, bad := o.offset(m)
	if bad == nil {
		return out, nil
	}
	ok := func(m float64) bool { _, bad := o.offset(m); return bad == nil }
	return nil, &TooLarge{"offset", m, largest(m, ok), bad.at, bad.why}
}

func (o *Outline) offset(m float64) (*Outline, *misfit) {
	loops := make([][]Elem, 0, len(o.Loops))
	for _, l := range o.Loops {
		n := l[1] - l[0]
		out := make([]Elem, n)
		for i := range n {
			prev, e := o.Elems[l[0]+(i+n-1)%n], o.Elems[l[0]+i]
			p, bad := movedJoint(prev, e, m)
			if bad != nil {
				return nil, bad
			}
			out[i].A, out[(i+n-1)%n].B = p, p
		}
		for i := range out {
			e := o.Elems[l[0]+i]
			if out[i].C = e.C; e.R != 0 {
				out[i].R = e.R + m
			}
			// What turns over runs against the direction it had.
			from, to := e.dir(e.Point(0.5)), out[i].B.Sub(out[i].A)
			if from.Dot(to) < noSize {
				return nil, &misfit{at: e.Point(0.5), why: "an element vanishes"}
			}
		}
		loops = append(loops, out)
	}
	moved, err := New(loops...)
	if err != nil {
		return nil, &misfit{at: loops[0][0].A, why: err.Error()}
	}
	if c := moved.crossing(); c != nil {
		return nil, &misfit{at: c.At, why: "walls meet"}
	}
	// Free of crossings, the result is right when each loop keeps its distance at one point; all are
	// looked at, since corners are farther off.
	for _, e := range moved.Elems {
		if p := e.Point(0.5); math.Abs(o.At(p).D-m) > 1e-6 && math.Abs(o.At(p).D) < math.Abs(m) {
			return nil, &misfit{at: p, why: "walls pass each other"}
		}
	}
	return moved, nil
}

// movedJoint returns where the joint of prev and e lies when both are moved outward by m.
func movedJoint(prev, e Elem, m float64) (geom.Vec2, *misfit) {
	p := e.A
	ka, okA := prev.carrier(m)
	kb, okB := e.carrier(m)
	if !okA || !okB {
		return p, &misfit{at: p, why: "a corner's radius vanishes"}
	}
	na, nb := prev.Out(1), e.Out(0)
	guess := p.Add(na.Add(nb).Scale(m / (1 + na.Dot(nb))))
	t := math.Abs(turn(prev, e))
	switch {
	case t < smooth || prev.R == 0 && e.R == 0 && t < math.Pi-smooth:
		return guess, nil
	case t >= math.Pi-smooth:
		return p, &misfit{at: p, why: "the outline runs back on itself"}
	}
	best, near := guess, math.Inf(1)
	for _, q := range ka.meet(kb) {
		if d := q.Sub(guess).Norm(); d < near {
			best, near = q, d
		}
	}
	if near-near != 0 {
		return p, &misfit{at: p, why: "the walls at a corner do not meet"}
	}
	return best, nil
}

// Inset returns the outline moved inward by m, 0 or more, as a knife that follows it would be: corners that
// bulge outward and would have a radius below corner get that radius, where they lie between straight
// lines.
//
// ERROR: as Offset and Rounded.
func (o *Outline) Inset(m, corner float64) (*Outline, error) {
	if m == 0 {
		return o.Rounded(corner)
	}
	loops := make([][]Elem, len(o.Loops))
	for i := range o.Loops {
		loops[i] = sharpened(o.Loop(i), m+corner)
	}
	sharp, err := New(loops...)
	if err != nil {
		return nil, err
	}
	moved, err := sharp.Offset(-m)
	if err != nil {
		return nil, err
	}
	return moved.Rounded(corner)
}

// sharpened returns a loop with every left arc below radius r between two straight lines taken back to
// the corner where the lines meet.
func sharpened(l []Elem, r float64) []Elem {
	out := slices.Clone(l)
	keep := make([]bool, len(l))
	for i := range l {
		e, p, n := out[i], (i+len(l)-1)%len(l), (i+1)%len(l)
		keep[i] = true
		if !(e.R > 0 && e.R < r) || out[p].R != 0 || out[n].R != 0 || p == n {
			continue
		}
		a, b := out[p].B.Sub(out[p].A).Unit(), out[n].B.Sub(out[n].A).Unit()
		cross := a.Cross(b)
		if !(cross > smooth) {
			continue
		}
		q := e.A.Add(a.Scale(e.B.Sub(e.A).Cross(b) / cross))
		out[p].B, out[n].A, keep[i] = q, q, false
	}
	var kept []Elem
	for i, e := range out {
		if keep[i] {
			kept = append(kept, e)
		}
	}
	return kept
}
