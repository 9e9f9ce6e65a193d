package skin

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// sharp is the turn of the outline from which a joint counts as a corner, rad. Below it the two
// sides part by 1e-5 mm over a section that runs 10 mm, less than the grid of vertices shows.
const sharp = 1e-6

// faint is the turn up to which a corner between arcs is mitred like one between lines, rad: its
// sides then meet within 0.005 mm of it over a section that runs 10 mm, too near for their
// curvature to show.
const faint = 1e-3

// joint is where two elements of a loop meet.
type joint struct {
	p      geom.Vec2
	na, nb geom.Vec2 // outward normals before and after
	turn   float64   // positive where the outline bulges outward, 0 where it is smooth
	n      int       // columns round it, on the side where the corner is round
}

// loop is a closed curve of the outline with its columns.
type loop struct {
	elems  []outline.Elem
	joints []joint // joint i lies before element i
	by     []steps // columns of each element
}

func newLoop(elems []outline.Elem) (loop, error) {
	l := loop{elems: elems, joints: make([]joint, len(elems)), by: make([]steps, len(elems))}
	for i, e := range elems {
		prev := elems[(i+len(elems)-1)%len(elems)]
		j := joint{p: e.A, na: prev.Out(1), nb: e.Out(0)}
		j.turn = math.Atan2(j.na.Cross(j.nb), j.na.Dot(j.nb))
		if math.Abs(j.turn) < sharp {
			j.turn = 0
		}
		if math.Abs(j.turn) > math.Pi-1e-3 {
			return l, fmt.Errorf("the outline runs back on itself at (%.3f, %.3f)", e.A.X, e.A.Y)
		}
		l.joints[i], l.by[i] = j, even(0, 1)
	}
	return l, nil
}

// isSharp reports whether the loop has a corner.
func (l loop) isSharp() bool {
	for _, j := range l.joints {
		if j.turn != 0 {
			return true
		}
	}
	return false
}

// columns returns the number of columns of the loop.
func (l loop) columns() int {
	n := 0
	for i := range l.elems {
		n += l.by[i].n + l.joints[i].n
	}
	return n
}

// mitred reports whether the corner stays sharp at the distance d from the outline.
func (j joint) mitred(d float64) bool { return j.turn*d < 0 }

// moved returns where the two sides of a mitred corner meet at the distance d.
func (l loop) moved(i int, d float64) (geom.Vec2, error) {
	j := l.joints[i]
	e, f := l.elems[(i+len(l.elems)-1)%len(l.elems)], l.elems[i]
	guess := j.p.Add(j.na.Add(j.nb).Scale(d / (1 + j.na.Dot(j.nb))))
	if e.R == 0 && f.R == 0 || math.Abs(j.turn) < faint {
		return guess, nil
	}
	// Newton on the two distances; the start is right to the second order.
	q := guess
	for range 20 {
		de, ne := side(e, q)
		df, nf := side(f, q)
		det := ne.Cross(nf)
		if re, rf := d-de, d-df; math.Abs(det) < 1e-9 {
			break
		} else if math.Abs(re)+math.Abs(rf) < 1e-11 {
			return q, nil
		} else {
			q = q.Add(geom.Vec2{X: re*nf.Y - rf*ne.Y, Y: rf*ne.X - re*nf.X}.Scale(1 / det))
		}
	}
	return q, fmt.Errorf("the walls at the corner at (%.3f, %.3f) do not meet %.3f mm from the outline", j.p.X, j.p.Y, d)
}

// side returns the signed distance of q from the element or its continuation, with its gradient.
func side(e outline.Elem, q geom.Vec2) (float64, geom.Vec2) {
	if e.R == 0 {
		n := e.Out(0)
		return n.Dot(q.Sub(e.A)), n
	}
	v := q.Sub(e.C)
	s := math.Copysign(1, e.R)
	return s * (v.Norm() - math.Abs(e.R)), v.Unit().Scale(s)
}

// trim returns the angles by which the mitred corners at its ends shorten arc i at the distance d.
func (l loop) trim(i int, d float64) (start, end float64, err error) {
	e := l.elems[i]
	if e.R == 0 {
		return 0, 0, nil
	}
	angle := func(k int, from geom.Vec2) float64 {
		if !l.joints[k].mitred(d) {
			return 0
		}
		q, bad := l.moved(k, d)
		if bad != nil {
			err = bad
		}
		u, v := from.Sub(e.C), q.Sub(e.C)
		return math.Atan2(u.Cross(v), u.Dot(v)) * math.Copysign(1, e.R)
	}
	start = angle(i, e.A)
	end = -angle((i+1)%len(l.joints), e.B)
	if err == nil && start+end >= float64(e.Sweep()) {
		err = fmt.Errorf("the arc at (%.3f, %.3f) vanishes %.3f mm from the outline", e.A.X, e.A.Y, d)
	}
	return start, end, err
}

// row appends the plan points of the loop's columns at the distance d.
func (l loop) row(d float64, dst []geom.Vec2) ([]geom.Vec2, error) {
	for i, e := range l.elems {
		if e.R != 0 && e.R*(e.R+d) < -1e-9 {
			return nil, fmt.Errorf("the corner of radius %.3f mm at (%.3f, %.3f) is too small for a section that runs %.3f mm over it",
				math.Abs(e.R), e.A.X, e.A.Y, math.Abs(d))
		}
		j := l.joints[i]
		if j.mitred(d) {
			q, err := l.moved(i, d)
			if err != nil {
				return nil, err
			}
			for range j.n + 1 {
				dst = append(dst, q)
			}
		} else {
			for k := range j.n {
				dst = append(dst, j.p.Add(j.na.Turn(geom.Angle(j.turn*float64(k)/float64(j.n))).Scale(d)))
			}
			dst = append(dst, j.p.Add(j.nb.Scale(d)))
		}
		start, end, err := l.trim(i, d)
		if err != nil {
			return nil, err
		}
		by := l.by[i]
		for k := 1; k < by.n; k++ { // of arcs only
			angle := by.angle(k)
			if start != 0 || end != 0 {
				angle = start + angle*(by.sweep-start-end)/by.sweep
			}
			dst = append(dst, e.C.Add(e.Out(angle/by.sweep).Scale((e.R+d)*by.rise(k))))
		}
	}
	return dst, nil
}
