package glyph

import (
	"fmt"
	"math"

	"golang.org/x/image/font/sfnt"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// even is the turn, rad, below which a joint of two curves is meant to be smooth: font points are
// whole units, which bends joints by up to a degree.
const even = 3 * math.Pi / 180

// Bounds on the work a font file can ask for in one glyph.
const (
	mostSegments = 5000
	mostContours = 200
	mostReach    = 20.0 // heights of capitals, from the origin
)

// segment is a Bezier curve of degree 1 to 3: its first and last points and those between.
type segment struct {
	p        []geom.Vec2
	from, to geom.Vec2 // unit directions at its ends, smoothed
}

// contours turns the decoder's operations into closed contours in millimetres, y up. Contours of one
// point, which fonts keep as marks, are left out.
func contours(segs sfnt.Segments, scale, capHeight float64) ([][]segment, error) {
	if len(segs) > mostSegments {
		return nil, fmt.Errorf("it has %d segments; at most %d", len(segs), mostSegments)
	}
	var all [][]segment
	var c []segment
	var start, at geom.Vec2
	end := func() {
		if c = appendSegment(c, at, start); len(c) > 1 {
			all = append(all, c)
		}
		c = nil
	}
	for _, s := range segs {
		var p []geom.Vec2
		for _, q := range s.Args[:points(s.Op)] {
			v := geom.Vec2{X: scale * float64(q.X), Y: -scale * float64(q.Y)}
			if v.Norm() > mostReach*capHeight {
				return nil, fmt.Errorf("it reaches %.0f mm from its origin; at most %.0f heights of capitals", v.Norm(), mostReach)
			}
			p = append(p, v)
		}
		if s.Op == sfnt.SegmentOpMoveTo {
			end()
			start, at = p[0], p[0]
			continue
		}
		c = appendSegment(c, append([]geom.Vec2{at}, p...)...)
		at = p[len(p)-1]
	}
	end()
	if len(all) > mostContours {
		return nil, fmt.Errorf("it has %d contours; at most %d", len(all), mostContours)
	}
	for _, c := range all {
		align(c)
	}
	return all, nil
}

// appendSegment adds a curve unless it has no length; a curve whose points lie in line is one.
func appendSegment(c []segment, p ...geom.Vec2) []segment {
	a, b := p[0], p[len(p)-1]
	size, bend := 0.0, 0.0
	ab := b.Sub(a)
	for _, q := range p[1:] {
		v := q.Sub(a)
		size = max(size, v.Norm())
		bend = max(bend, math.Abs(ab.Unit().Cross(v)))
	}
	switch {
	case size < 1e-9:
		return c
	case bend < 1e-9 && ab.Norm() >= size: // no bend, and no run beyond its ends
		p = []geom.Vec2{a, b}
	}
	s := segment{p: p}
	_, s.from = s.at(0)
	_, s.to = s.at(1)
	return append(c, s)
}

// align makes both sides of a nearly smooth joint of curves agree in direction: that of the line where
// one side is straight, else the mean.
func align(c []segment) {
	for i := range c {
		a, b := &c[i], &c[(i+1)%len(c)]
		if t := math.Abs(math.Atan2(a.to.Cross(b.from), a.to.Dot(b.from))); t > even {
			continue
		}
		switch line, next := len(a.p) == 2, len(b.p) == 2; {
		case line && next: // a polygon's corner, however flat
		case line:
			b.from = a.to
		case next:
			a.to = b.from
		default:
			m := a.to.Add(b.from).Unit()
			a.to, b.from = m, m
		}
	}
}

// at returns the point and unit direction at t.
func (s segment) at(t float64) (p, dir geom.Vec2) {
	u := 1 - t
	n := len(s.p) - 1
	var w [4]float64
	var d [3]float64
	switch n {
	case 1:
		w, d = [4]float64{u, t}, [3]float64{1}
	case 2:
		w, d = [4]float64{u * u, 2 * u * t, t * t}, [3]float64{u, t}
	default:
		w, d = [4]float64{u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t}, [3]float64{u * u, 2 * u * t, t * t}
	}
	for i, q := range s.p {
		p = p.Add(q.Scale(w[i]))
		if i < n {
			dir = dir.Add(s.p[i+1].Sub(q).Scale(d[i]))
		}
	}
	size := s.p[n].Sub(s.p[0]).Norm() + s.p[1].Sub(s.p[0]).Norm()
	if dir.Norm() > 1e-9*size {
		return p, dir.Unit()
	}
	// A control point upon an end: the direction is that towards (from) the next one off it.
	for i := 1; i <= n; i++ {
		v := s.p[i].Sub(s.p[0])
		if t > 0.5 {
			v = s.p[n].Sub(s.p[n-i])
		}
		if v.Norm() > 1e-9*size {
			return p, v.Unit()
		}
	}
	return p, dir
}

// elems returns the lines and arcs that follow the segment within tol.
func (s segment) elems(tol float64) ([]outline.Elem, error) {
	a, b := s.p[0], s.p[len(s.p)-1]
	if len(s.p) == 2 {
		return []outline.Elem{{A: a, B: b}}, nil
	}
	es, err := outline.Fit(func(t float64) (p, dir geom.Vec2) {
		switch t {
		case 0:
			return a, s.from
		case 1:
			return b, s.to
		}
		return s.at(t)
	}, tol)
	if err == nil {
		return es, nil
	}
	// The smoothed ends may ask for more than a fine tolerance allows: keep the font's corners then.
	return outline.Fit(s.at, tol)
}
