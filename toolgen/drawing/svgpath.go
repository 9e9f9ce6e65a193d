package drawing

import (
	"fmt"
	"math"
	"strings"

	"platen/toolgen/geom"
)

// svgPath reads path data and hands every subpath to add.
type svgPath struct {
	svgScan
	m       geom.Affine
	pen     geom.Vec2 // current point, in the path's own units
	start   geom.Vec2
	control geom.Vec2 // of the last curve, for smooth ones
	last    byte      // last command, upper case
	segs    []seg     // of the subpath so far, mapped
	add     func(segs []seg, closed bool)
}

// operands is how many numbers each command takes a turn.
var operands = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

// readPath reads the path data d.
func readPath(d string, m geom.Affine, add func(segs []seg, closed bool)) error {
	p := &svgPath{svgScan: svgScan{s: d}, m: m, add: add}
	var letter byte
	for p.more() {
		c := p.s[p.at]
		isLetter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		switch {
		case isLetter:
			letter = c
			p.at++
		case letter == 0 || letter|0x20 == 'z':
			return fmt.Errorf("%s where a path command is expected", quoted([]byte(p.s[p.at:])))
		case letter|0x20 == 'm':
			letter-- // further pairs after a move are lines: L and l stand before M and m
		}
		if p.last == 0 && letter|0x20 != 'm' {
			return fmt.Errorf("path data begins with %q, not with a move", letter)
		}
		if err := p.command(letter); err != nil {
			return err
		}
		if len(p.segs) > mostSegments {
			return fmt.Errorf("a path of more than %d lines and arcs", mostSegments)
		}
	}
	p.end(false)
	return nil
}

// end hands over the subpath.
func (p *svgPath) end(closed bool) {
	if len(p.segs) > 0 {
		p.add(p.segs, closed)
	}
	p.segs = nil
}

func (p *svgPath) command(letter byte) error {
	up := letter &^ 0x20
	n, ok := operands[up]
	if !ok {
		return fmt.Errorf("the path command %q is not known", letter)
	}
	var v [7]float64
	if up == 'A' {
		if err := p.arcOperands(&v); err != nil {
			return err
		}
	} else if err := p.numbers(v[:n]); err != nil {
		return err
	}
	base := geom.Vec2{}
	if letter != up {
		base = p.pen
	}
	pt := func(i int) geom.Vec2 { return base.Add(geom.Vec2{X: v[i], Y: v[i+1]}) }
	last := p.last
	p.last = up
	switch up {
	case 'M':
		p.end(false)
		p.pen, p.start = pt(0), pt(0)
	case 'L':
		p.line(pt(0))
	case 'H':
		p.line(geom.Vec2{X: base.X + v[0], Y: p.pen.Y})
	case 'V':
		p.line(geom.Vec2{X: p.pen.X, Y: base.Y + v[0]})
	case 'C':
		return p.cubic(bezier{p.pen, pt(0), pt(2), pt(4)})
	case 'S':
		return p.cubic(bezier{p.pen, p.reflected(last == 'C' || last == 'S'), pt(0), pt(2)})
	case 'Q':
		return p.quadratic(pt(0), pt(2))
	case 'T':
		return p.quadratic(p.reflected(last == 'Q' || last == 'T'), pt(0))
	case 'A':
		return p.arc(v, pt(5))
	case 'Z':
		if len(p.segs) > 0 {
			p.end(true)
		}
		p.pen = p.start
	}
	return nil
}

// reflected returns the control point that continues the last curve, the current point where there was
// none of the kind.
func (p *svgPath) reflected(goesOn bool) geom.Vec2 {
	if !goesOn {
		return p.pen
	}
	return p.pen.Scale(2).Sub(p.control)
}

func (p *svgPath) line(to geom.Vec2) {
	p.segs = append(p.segs, seg{a: p.m.Point(p.pen), b: p.m.Point(to)})
	p.pen = to
}

func (p *svgPath) cubic(z bezier) error {
	p.pen, p.control = z[3], z[2]
	return p.bezier(z)
}

func (p *svgPath) quadratic(c, to geom.Vec2) error {
	z := raised(p.pen, c, to)
	p.pen, p.control = to, c
	return p.bezier(z)
}

func (p *svgPath) bezier(z bezier) error {
	for i := range z {
		z[i] = p.m.Point(z[i])
	}
	if z.size() < same {
		p.segs = append(p.segs, seg{a: z[0], b: z[3]})
		return nil
	}
	return p.curve(fitted(z.curve()))
}

func (p *svgPath) curve(segs []seg, err error) error {
	p.segs = append(p.segs, segs...)
	return err
}

// arcOperands takes radii, turn, two flags and the end of an arc.
func (p *svgPath) arcOperands(v *[7]float64) error {
	if err := p.numbers(v[:3]); err != nil {
		return err
	}
	for i := 3; i < 5; i++ {
		on, err := p.flag()
		if err != nil {
			return err
		}
		if on {
			v[i] = 1
		}
	}
	return p.numbers(v[5:7])
}

// arc adds an elliptical arc given by its ends: radii, turn of the axes, large arc, sweep.
//
// SOURCE: SVG 1.1, appendix F.6, conversion from endpoint to center parameterization.
func (p *svgPath) arc(v [7]float64, to geom.Vec2) error {
	from := p.pen
	rx, ry := math.Abs(v[0]), math.Abs(v[1])
	if rx == 0 || ry == 0 || from == to {
		p.line(to)
		return nil
	}
	p.pen = to
	turn := geom.Angle(math.Mod(v[2], 360)) * geom.Degree
	// In axes of the ellipse, scaled to a unit circle, it is an arc over a chord.
	unit := func(q geom.Vec2) geom.Vec2 { q = q.Turn(-turn); return geom.Vec2{X: q.X / rx, Y: q.Y / ry} }
	h := unit(to.Sub(from)).Scale(0.5)
	l := h.Norm()
	if l > 1 { // the radii are too small: the least that reach
		rx, ry, h = rx*l, ry*l, h.Scale(1/l)
		l = 1
	}
	off := h.Left().Scale(math.Sqrt(max(1-l*l, 0)) / l)
	if (v[3] != 0) == (v[4] != 0) {
		off = off.Scale(-1)
	}
	// off leads from the middle of the chord to the centre.
	a, b := h.Scale(-1).Sub(off), h.Sub(off)
	sweep := math.Atan2(a.Cross(b), a.Dot(b))
	switch {
	case v[4] != 0 && sweep <= 0:
		sweep += 2 * math.Pi
	case v[4] == 0 && sweep >= 0:
		sweep -= 2 * math.Pi
	}
	u, w := geom.Vec2{X: rx}.Turn(turn), geom.Vec2{Y: ry}.Turn(turn)
	mid := from.Add(to).Scale(0.5)
	e := ellipse{mid.Add(u.Scale(off.X)).Add(w.Scale(off.Y)), u, w, math.Atan2(a.Y, a.X), sweep}
	return p.curve(e.mapped(p.m).segs())
}

// svgPoints reads the points of a polygon or a polyline.
func svgPoints(text string, m geom.Affine) ([]seg, error) {
	v, err := numberList(text)
	if err != nil {
		return nil, err
	}
	if len(v)%2 != 0 || len(v) < 4 {
		return nil, fmt.Errorf("%d numbers where pairs of at least two points are expected", len(v))
	}
	var segs []seg
	at := m.Point(geom.Vec2{X: v[0], Y: v[1]})
	for i := 2; i < len(v); i += 2 {
		to := m.Point(geom.Vec2{X: v[i], Y: v[i+1]})
		segs = append(segs, seg{a: at, b: to})
		at = to
	}
	return segs, nil
}

// styleOf returns a property of the style attribute.
func styleOf(style, name string) string {
	for _, decl := range strings.Split(style, ";") {
		k, v, _ := strings.Cut(decl, ":")
		if strings.EqualFold(strings.TrimSpace(k), name) {
			return strings.TrimSpace(v)
		}
	}
	return ""
}
