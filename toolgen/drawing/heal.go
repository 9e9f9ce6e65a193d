package drawing

import (
	"math"

	"platen/toolgen/geom"
)

// square is the least angle, rad, between two segments whose carriers may be cut to find their corner.
// Below it the cut runs away from the ends: they are joined half way.
const square = 0.1

// heal makes s end where t starts, and returns the gap there was. Where the two meet at an angle the
// corner is where their lines or circles meet, so that neither changes direction or radius; else it is
// half way, and arcs keep their sweep.
func heal(s, t *seg, join float64) float64 {
	gap := t.a.Sub(s.b).Norm()
	if gap == 0 {
		return 0
	}
	if math.Abs(s.dir(true).Cross(t.dir(false))) > square {
		if x, ok := corner(*s, *t, join); ok {
			s.slideEnd(x)
			r := t.reversed()
			r.slideEnd(x)
			*t = r.reversed()
			return gap
		}
	}
	mid := s.b.Add(t.a).Scale(0.5)
	s.b, t.a = mid, mid
	return gap
}

// slideEnd moves the end to a point on the line or circle of s.
func (s *seg) slideEnd(x geom.Vec2) {
	if s.isArc() {
		c, _ := s.centre()
		v, w := s.b.Sub(c), x.Sub(c)
		s.sweep += math.Atan2(v.Cross(w), v.Dot(w))
	}
	s.b = x
}

// corner returns the point nearest to the end of s and the start of t where their carriers meet.
func corner(s, t seg, join float64) (geom.Vec2, bool) {
	best, found := geom.Vec2{}, false
	least := join
	for _, x := range carriersMeet(s, t) {
		if d := max(x.Sub(s.b).Norm(), x.Sub(t.a).Norm()); d <= least {
			best, least, found = x, d, true
		}
	}
	return best, found
}

func carriersMeet(s, t seg) []geom.Vec2 {
	switch {
	case !s.isArc() && !t.isArc():
		d, e := s.b.Sub(s.a), t.b.Sub(t.a)
		return []geom.Vec2{t.a.Add(e.Scale(s.a.Sub(t.a).Cross(d) / e.Cross(d)))}
	case !s.isArc():
		c, r := t.centre()
		u := s.b.Sub(s.a).Unit()
		m := s.a.Add(u.Scale(c.Sub(s.a).Dot(u)))
		off := m.Sub(c).Norm()
		return bothSides(m, u, (r-off)*(r+off))
	case !t.isArc():
		return carriersMeet(t, s)
	}
	c, r := s.centre()
	d, q := t.centre()
	v := d.Sub(c)
	l := v.Norm()
	if l == 0 {
		return nil
	}
	along := l/2 + (r-q)*(r+q)/(2*l)
	u := v.Scale(1 / l)
	return bothSides(c.Add(u.Scale(along)), u.Left(), (r-along)*(r+along))
}

func bothSides(m, u geom.Vec2, h2 float64) []geom.Vec2 {
	if !(h2 >= 0) {
		return nil
	}
	h := u.Scale(math.Sqrt(h2))
	return []geom.Vec2{m.Sub(h), m.Add(h)}
}
