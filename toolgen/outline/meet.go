package outline

import (
	"math"

	"platen/toolgen/geom"
)

// carrier is the whole line or circle an element lies on.
type carrier struct {
	c geom.Vec2 // centre, or a point of the line
	d geom.Vec2 // unit direction of the line
	r float64   // 0 for a line
}

// carrier returns the carrier of e moved outward by m; ok is false where its radius would vanish.
func (e Elem) carrier(m float64) (k carrier, ok bool) {
	if e.R == 0 {
		d := e.B.Sub(e.A).Unit()
		return carrier{c: e.A.Add(d.Right().Scale(m)), d: d}, true
	}
	r := (e.R + m) * math.Copysign(1, e.R)
	return carrier{c: e.C, r: r}, r >= noSize
}

// meet returns the common points of two carriers; carriers that coincide have none.
func (k carrier) meet(l carrier) []geom.Vec2 {
	switch {
	case k.r == 0 && l.r == 0:
		x := k.d.Cross(l.d)
		if math.Abs(x) < 1e-12 {
			return nil
		}
		return []geom.Vec2{k.c.Add(k.d.Scale(l.c.Sub(k.c).Cross(l.d) / x))}
	case k.r == 0:
		m := k.c.Add(k.d.Scale(l.c.Sub(k.c).Dot(k.d)))
		off := m.Sub(l.c).Norm()
		return about(m, k.d, (l.r-off)*(l.r+off), l.r)
	case l.r == 0:
		return l.meet(k)
	}
	v := l.c.Sub(k.c)
	d := v.Norm()
	if d < 1e-12*(k.r+l.r) {
		return nil
	}
	u := v.Scale(1 / d)
	a := d/2 + (k.r-l.r)*(k.r+l.r)/(2*d)
	return about(k.c.Add(u.Scale(a)), u.Left(), (k.r-a)*(k.r+a), min(k.r, l.r))
}

// about returns m +- sqrt(h2) d; a touch within rounding counts as one point.
func about(m, d geom.Vec2, h2, r float64) []geom.Vec2 {
	switch {
	case h2 < -1e-13*r*r:
		return nil
	case h2 <= 0:
		return []geom.Vec2{m}
	}
	h := math.Sqrt(h2)
	return []geom.Vec2{m.Sub(d.Scale(h)), m.Add(d.Scale(h))}
}

// chord joins a point of one element to a point of another.
type chord struct {
	a, b geom.Vec2
	d    float64 // length
}

// chords returns the candidates for the least distance between two elements: from each end to the
// other element, and along common normals. Crossings have length 0.
func chords(e, f Elem) []chord {
	out := make([]chord, 0, 8)
	add := func(a, b geom.Vec2) { out = append(out, chord{a, b, a.Sub(b).Norm()}) }
	for _, p := range [2]geom.Vec2{e.A, e.B} {
		q, _, _ := f.foot(p)
		add(p, q)
	}
	for _, p := range [2]geom.Vec2{f.A, f.B} {
		q, _, _ := e.foot(p)
		add(q, p)
	}
	ke, _ := e.carrier(0)
	kf, _ := f.carrier(0)
	for _, p := range ke.meet(kf) {
		if e.holds(p) && f.holds(p) {
			add(p, p)
		}
	}
	var axis geom.Vec2 // direction of the common normal
	switch {
	case e.R == 0 && f.R == 0:
		return out
	case e.R == 0:
		axis = ke.d.Left()
	case f.R == 0:
		axis = kf.d.Left()
	default:
		axis = f.C.Sub(e.C).Unit()
	}
	for _, s := range [2]float64{1, -1} {
		for _, t := range [2]float64{1, -1} {
			a, okA := e.normalFoot(axis.Scale(s), f.C)
			b, okB := f.normalFoot(axis.Scale(t), e.C)
			if okA && okB {
				add(a, b)
			}
		}
	}
	return out
}

// normalFoot returns the point of an arc in direction u from its centre, or the foot of c on a line.
func (e Elem) normalFoot(u, c geom.Vec2) (geom.Vec2, bool) {
	if e.R == 0 {
		q, _, ortho := e.foot(c)
		return q, ortho
	}
	q := e.C.Add(u.Scale(math.Abs(e.R)))
	return q, e.holds(q)
}

// holds reports whether a point of the carrier lies on the element.
func (e Elem) holds(q geom.Vec2) bool {
	_, d2, _ := e.foot(q)
	return d2 <= joined*joined
}

// gap returns the shortest chord between two elements.
func gap(e, f Elem) chord {
	best := chord{d: math.Inf(1)}
	for _, c := range chords(e, f) {
		if c.d < best.d {
			best = c
		}
	}
	return best
}
