package skin

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/sdf"
)

// part is a stretch of a section between two rows that stay: an element of the profile, or a piece of
// one that is cut where it stands over the outline.
type part struct {
	outline.Elem
	src int // element of the profile
	by  steps
}

// band is what lies between two level elements of a section.
type band struct {
	parts       []part
	first, last int // the level elements
}

// bands cuts a section at its levels. With cut, parts end where they stand over the outline, because
// sharp corners are mitred on one side of it and round on the other.
func bands(p sdf.Profile, cut bool) ([]band, error) {
	if n := len(p); n < 3 || !sdf.Level(p[0]) || !sdf.Level(p[n-1]) {
		return nil, fmt.Errorf("the section does not run from level to level")
	}
	var out []band
	for i, e := range p {
		if sdf.Level(e) {
			if i+1 < len(p) {
				out = append(out, band{first: i})
			}
			continue
		}
		b := &out[len(out)-1]
		b.last = i + 1
		from := e
		if cut {
			for _, x := range crossings(e) {
				head := from
				head.B, from.A = x, x
				b.parts = append(b.parts, part{Elem: head, src: i})
			}
		}
		b.parts = append(b.parts, part{Elem: from, src: i})
	}
	for _, b := range out {
		if len(b.parts) == 0 {
			return nil, fmt.Errorf("the section has two levels in a row")
		}
	}
	return out, nil
}

// crossings returns the points strictly inside e that stand over the outline (d = 0), in order.
func crossings(e outline.Elem) []geom.Vec2 {
	if e.R == 0 {
		if e.A.X*e.B.X < 0 {
			t := e.A.X / (e.A.X - e.B.X)
			return []geom.Vec2{{X: 0, Y: e.A.Y + t*(e.B.Y-e.A.Y)}}
		}
		return nil
	}
	h := e.R*e.R - e.C.X*e.C.X
	if h <= 0 {
		return nil
	}
	a, b := e.A.Sub(e.C), e.B.Sub(e.C)
	s := math.Copysign(1, e.R)
	var out []geom.Vec2
	for _, y := range []float64{math.Sqrt(h), -math.Sqrt(h)} {
		x := geom.Vec2{X: 0, Y: e.C.Y + y}
		v := x.Sub(e.C)
		if s*a.Cross(v) > 1e-9 && s*v.Cross(b) > 1e-9 {
			out = append(out, x)
		}
	}
	if len(out) == 2 && out[0].Sub(e.A).Norm() > out[1].Sub(e.A).Norm() {
		out[0], out[1] = out[1], out[0]
	}
	return out
}

// points appends the row points of the part.
func (p part) points(by steps, dst []geom.Vec2) []geom.Vec2 {
	for k := range by.n + 1 {
		t := float64(k) / float64(by.n)
		if p.R == 0 || k == 0 || k == by.n {
			dst = append(dst, p.Point(t))
			continue
		}
		q := p.Point(by.angle(k) / by.sweep)
		dst = append(dst, p.C.Add(q.Sub(p.C).Scale(by.rise(k))))
	}
	return dst
}

// spread returns how far the rows leave the part where the plan is straight, mm.
func (p part) spread(by steps) float64 {
	if p.R == 0 {
		return 0
	}
	return by.spread(math.Abs(p.R))
}

// off returns how far x is from the element or its straight continuation, mm.
func off(e outline.Elem, x geom.Vec2) float64 {
	if e.R != 0 {
		return math.Abs(x.Sub(e.C).Norm() - math.Abs(e.R))
	}
	return math.Abs(e.Out(0).Dot(x.Sub(e.A)))
}
