package sdf

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// Undercut makes a wall waisted: between its host level and its widest it is narrower, so that it holds
// behind a lip. The outline is that of the widest; Wall.Datum does not count then.
type Undercut struct {
	Depth float64 // how much narrower the waist is than the widest, mm a side; below 0 where only the sheet makes it so
	At    float64 // height of the widest, mm
	R     float64 // rounding at the widest, mm
}

// Waisted reports whether the wall has the section of an undercut, if need be one that the sheet on it makes.
func (w Wall) Waisted() bool { return w.Undercut != Undercut{} }

// shortLine is the least straight wall between waist and widest, mm: a surface that a mesh closes.
const shortLine = 0.05

// LeastRise returns how far from its host level the widest of an undercut must lie, mm, with the roundings
// at the waist and at the widest.
//
// SOURCE: derived. The two rounding circles stand r = waistR + widestR - depth apart across and must leave
// a common inner tangent: rise^2 + r^2 > (waistR + widestR)^2.
func LeastRise(depth, waistR, widestR float64) float64 {
	sum := waistR + widestR
	return waistR + math.Sqrt(max(0, depth*(2*sum-depth))+shortLine*shortLine)
}

// TooLow is the refusal of an undercut whose widest, or whose end, lies too near its host level.
type TooLow struct {
	Widest     bool    // whether it is the widest that is too near
	Got, Least float64 // mm
	why        string
}

// Error says what is too low and the least that fits, rounded up.
func (e *TooLow) Error() string {
	return fmt.Sprintf("%s at least %.3f mm", e.why, math.Ceil(e.Least*1000)/1000)
}

// waist is the section of an undercut, in (d, h), h counting from the host level towards the end.
type waist struct {
	depth, rise, height float64
	r1, r2, r3          float64   // at the waist, the widest and the end
	c1, c2              geom.Vec2 // centres of the first two
	t1, t2, t3          geom.Vec2 // the wall between waist and widest, and where the lead-in begins
	e1, e2              geom.Vec2 // where the rounding of the end begins and ends
}

// section solves the section: it is fixed by its roundings, the waist and the widest, and the slope of the
// wall between them follows.
func (w Wall) section() (waist, error) {
	u := w.Undercut
	s := waist{depth: u.Depth, rise: math.Abs(u.At - w.Host), height: math.Abs(w.End - w.Host), r1: w.HostR, r2: u.R, r3: w.EndR}
	switch {
	case (u.At > w.Host) != w.Raised():
		return s, fmt.Errorf("its widest lies beyond its host level")
	case s.r1 <= 0 || s.r2 <= 0 || s.r3 < 0:
		return s, fmt.Errorf("an undercut is rounded at its waist and at its widest, not by %.3f and %.3f mm", s.r1, s.r2)
	case s.depth > s.r1+s.r2:
		return s, &TooTight{"the undercut", s.depth, s.r1 + s.r2}
	}
	if least := LeastRise(s.depth, s.r1, s.r2); s.rise < least-1e-9 {
		return s, &TooLow{true, s.rise, least, fmt.Sprintf("its widest lies %.3f mm from the level it stands on or sinks from; its undercut of %.3f mm with roundings of %.3f and %.3f mm needs",
			s.rise, s.depth, s.r1, s.r2)}
	}
	s.c1, s.c2 = geom.Vec2{X: s.r1 - s.depth, Y: s.r1}, geom.Vec2{X: -s.r2, Y: s.rise}
	e := s.c2.Sub(s.c1)
	l := e.Norm()
	e = e.Scale(1 / l)
	// The normal of the common inner tangent, out of the shape.
	cos := (s.r1 + s.r2) / l
	n := e.Scale(-cos).Add(geom.Vec2{X: e.Y, Y: -e.X}.Scale(math.Sqrt(max(0, 1-cos*cos))))
	s.t1, s.t2 = s.c1.Sub(n.Scale(s.r1)), s.c2.Add(n.Scale(s.r2))
	lead := geom.Vec2{X: w.Draft.Cos(), Y: w.Draft.Sin()}
	if n.Y > lead.Y-1e-9 {
		return s, fmt.Errorf("behind the wall nothing is left of its undercut: %.3f mm a side, a slope of %.2f deg, and the lead-in has %.2f deg; undercut at least %.3f mm more, or more lead",
			s.depth, math.Asin(n.Y)*180/math.Pi, w.Draft.Degrees(), math.Ceil(-s.depth*1000)/1000)
	}
	s.t3 = s.c2.Add(lead.Scale(s.r2))
	k := ((90*geom.Degree - w.Draft) / 2).Tan()
	along := lead.Left()
	corner := s.t3.Add(along.Scale((s.height - s.t3.Y) / along.Y))
	if left := corner.Sub(s.t3).Dot(along) - k*s.r3; left < shortLine-1e-9 {
		return s, &TooLow{false, s.height, s.height + (shortLine-left)*along.Y,
			fmt.Sprintf("it is %.3f mm high or deep, which leaves no wall between its widest and its end;", s.height)}
	}
	s.e1, s.e2 = corner.Sub(along.Scale(k*s.r3)), corner.Sub(geom.Vec2{X: k * s.r3})
	return s, nil
}

// waisted returns the closed profile of a wall with an undercut.
func (w Wall) waisted() (Profile, error) {
	s, err := w.section()
	if err != nil {
		return nil, err
	}
	if w.Inside > 0 && max(-s.e2.X, s.depth) >= w.Inside {
		return nil, &TooTight{"the run of the wall and its rounding", max(-s.e2.X, s.depth), w.Inside}
	}
	up := -1.0 // sense of the rounding at the waist: convex for a sunk feature
	if !w.Raised() {
		up = 1
	}
	at := func(p geom.Vec2) geom.Vec2 { return geom.Vec2{X: p.X, Y: w.Host - up*p.Y} }
	foot := geom.Vec2{X: s.c1.X}
	p := Profile{
		{A: geom.Vec2{X: far, Y: w.Host}, B: at(foot)},
		{A: at(foot), B: at(s.t1), C: at(s.c1), R: up * s.r1},
		{A: at(s.t1), B: at(s.t2)},
		{A: at(s.t2), B: at(s.t3), C: at(s.c2), R: -up * s.r2},
		{A: at(s.t3), B: at(s.e1)},
	}
	if s.r3 > 0 {
		p = append(p, outline.Elem{A: at(s.e1), B: at(s.e2), C: at(s.e2.Sub(geom.Vec2{Y: s.r3})), R: -up * s.r3})
	}
	return append(p, outline.Elem{A: at(s.e2), B: geom.Vec2{X: -far, Y: w.End}}), nil
}

// Overhang returns how far the wall between waist and widest leans over, from the vertical; 0 without an
// undercut of the wall itself, or with one that does not fit.
func (w Wall) Overhang() geom.Angle {
	if w.Undercut.Depth <= 0 {
		return 0
	}
	s, err := w.section()
	if err != nil {
		return 0
	}
	d := s.t2.Sub(s.t1)
	return geom.Angle(math.Atan2(d.X, d.Y))
}

// d returns the distance of the waisted wall from the outline at h, its end roundings left out.
func (s waist) d(h float64) float64 {
	switch {
	case h <= s.r1:
		return -s.depth
	case h < s.t1.Y:
		return s.c1.X - math.Sqrt(max(0, s.r1*s.r1-(h-s.r1)*(h-s.r1)))
	case h <= s.t2.Y:
		return s.t1.X + (s.t2.X-s.t1.X)*(h-s.t1.Y)/(s.t2.Y-s.t1.Y)
	case h < s.t3.Y:
		return s.c2.X + math.Sqrt(max(0, s.r2*s.r2-(h-s.rise)*(h-s.rise)))
	}
	return s.t3.X - (h-s.t3.Y)*(s.t3.X-s.e1.X)/(s.e1.Y-s.t3.Y)
}
