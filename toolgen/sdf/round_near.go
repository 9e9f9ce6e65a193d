package sdf

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// Survey lists what may have surface within rho of c.
//
// Where one surface carries the ball alone at c, with so much play that it does so all over the
// ball, that surface is all there is; else roundings may show.
func (j *Joint) Survey(c geom.Vec3, rho float64) Survey { return j.core.survey(c, rho) }

func (c *core) survey(p geom.Vec3, rho float64) Survey {
	s := Survey{Radius: math.Inf(1)}
	last := len(c.groups) - 1
	h := c.close(last, p)
	if h.sure && math.Abs(h.d) > rho {
		return s
	}
	if t, ok := c.alone(last, p, rho); ok {
		if t.kind == tagLevel {
			s.Planes = 1
			return s
		}
		c.seen(&s, t.of, p, rho)
		return s
	}
	c.mixed(&s, p, rho)
	return s
}

// rolled is the part of a ball's radius that is left where it rolls over another rounding: there the
// surface bends by (1/h - 1)/r along the ridge, with h as in search.bent. Measured on recesses across
// pocket rims with an edge of 3 and a floor of 4 mm: at most 1.22/r. Sharper wedges are refused by Check.
const rolled = 0.7

// mixed surveys a ball in which roundings may show.
func (c *core) mixed(s *Survey, p geom.Vec3, rho float64) {
	s.Curved = true
	heights := make([]float64, 0, 8)
	walls := make([]int32, 0, 8)
	edge, near := false, 0
	for _, g := range c.groups {
		for _, id := range g.plateaus {
			pl := &c.plateaus[id]
			if c.sharp(pl, p) > rho+2*g.r {
				continue
			}
			near++
			s.Radius = min(s.Radius, g.r)
			heights = distinct(heights, pl.z, p.Z, rho)
			play := rho + 2*pl.r
			binds := 0
			if p.Z-pl.z >= -play {
				binds++
			}
			var fs feet
			for i := range pl.walls {
				w := &pl.walls[i]
				if c.most(w, p) < -play {
					continue
				}
				if a, _ := w.value(c.foot(&fs, w.member, p), p.Z); a < -play {
					continue
				}
				binds++
				s.Radius = min(s.Radius, pl.r)
				if !has(walls, w.member) {
					walls = append(walls, w.member)
					c.seen(s, w.member, p, rho)
				}
			}
			edge = edge || binds > 1
		}
	}
	if edge && near > 1 {
		s.Radius *= rolled
	}
	s.Planes += len(heights)
}

// distinct adds height z to the list if it is within rho of at and not there yet.
func distinct(zs []float64, z, at, rho float64) []float64 {
	if math.Abs(z-at) > rho {
		return zs
	}
	for _, o := range zs {
		if math.Abs(o-z) <= sameLevel {
			return zs
		}
	}
	return append(zs, z)
}

func has(ms []int32, m int32) bool {
	for _, o := range ms {
		if o == m {
			return true
		}
	}
	return false
}

// seen adds to s the stretches of a member's wall that may have surface within rho of p.
func (c *core) seen(s *Survey, m int32, p geom.Vec3, rho float64) {
	for _, pl := range c.plateaus {
		for i := range pl.walls {
			if w := &pl.walls[i]; w.member == m && !w.clip {
				c.stretches(s, w, p, rho)
				return
			}
		}
	}
}

// stretches adds the straights of a wall near p as planes and its corners as curved.
func (c *core) stretches(s *Survey, w *surface, p geom.Vec3, rho float64) {
	q, rise := p.Plan(), w.sz*p.Z-w.off
	out := -rise / w.sd // distance from the outline at which the wall stands at this height
	o := c.outlines[w.member]
	for _, l := range o.Loops {
		for i := l[0]; i < l[1]; i++ {
			e := o.Elems[i]
			var n outline.Nearest
			n.Try(e, q, 0)
			d, _ := n.Signed(q)
			if d = math.Abs(d); math.Abs(d-math.Abs(out))*math.Abs(w.sd) > rho {
				continue
			}
			if e.R == 0 {
				s.Planes++
			} else {
				s.Curved = true
				s.Radius = min(s.Radius, max(0, math.Abs(e.R)+math.Copysign(1, e.R)*out-2*rho))
			}
			prev := o.Elems[l[0]+(i-l[0]+l[1]-l[0]-1)%(l[1]-l[0])]
			turn := prev.Out(1).Cross(e.Out(0))
			if math.Abs(turn) > 1e-7 && turn*out > 0 && math.Abs(e.A.Sub(q).Norm()-math.Abs(out)) <= rho {
				s.Curved = true // a sharp corner moved outward turns on its point
				s.Radius = min(s.Radius, math.Abs(out))
			}
		}
	}
}

// spread returns by how much the foot of a ball of radius r on a member's wall may move faster than
// the point it belongs to, within rho of p.
func (c *core) spread(t tag, p geom.Vec3, rho, r float64) float64 {
	if t.kind == tagLevel {
		return 1
	}
	s := Survey{Radius: math.Inf(1)}
	c.seen(&s, t.of, p, rho)
	if !s.Curved {
		return 1
	}
	return 1 + r/max(s.Radius, stop)
}

// alone reports whether one surface carries the field of groups 0 to k all over the ball of radius
// rho about p, and which.
func (c *core) alone(k int, p geom.Vec3, rho float64) (tag, bool) {
	g := &c.groups[k]
	var fs feet
	one, best := hit{d: math.Inf(1)}, inner
	if k > 0 {
		one = c.close(k-1, p)
	}
	for _, id := range g.plateaus {
		if h := c.open(id, p, &fs, math.Inf(1), &ball{}); h.d < one.d {
			one, best = h, id
		}
	}
	t := one.tag
	if !one.sure || !(t.kind == tagLevel || t.wall()) {
		return t, false
	}
	play := rho * c.spread(t, p, rho, g.r)
	x := p.Add(one.g.Scale(g.r - one.d))
	var fx feet
	if k > 0 && best != inner {
		if h := c.close(k-1, x); h.d < g.r+play {
			return t, false
		}
	}
	for _, id := range g.plateaus {
		pl := &c.plateaus[id]
		if id != best && !c.beyond(pl, t) && c.open(id, x, &fx, g.r+play, &ball{}).d < g.r+play {
			return t, false
		}
	}
	if best == inner {
		return c.alone(k-1, p, rho)
	}
	return t, c.openAlone(best, p, one, rho)
}

// openAlone reports whether the surface of one carries the opening of plateau k all over the ball.
func (c *core) openAlone(k int32, p geom.Vec3, one hit, rho float64) bool {
	pl := &c.plateaus[k]
	play := rho * c.spread(one.tag, p, rho, pl.r)
	q := p.Sub(one.g.Scale(one.d + pl.r))
	if one.tag.kind != tagLevel && q.Z-pl.z > -pl.r-play {
		return false
	}
	var fs feet
	for i := range pl.walls {
		s := &pl.walls[i]
		if c.most(s, q) <= -pl.r-play || (s.member == one.tag.of && one.tag.wall() && s.sz == one.g.Z) {
			continue
		}
		if a, _ := s.value(c.foot(&fs, s.member, q), q.Z); a > -pl.r-play {
			return false
		}
	}
	return true
}
