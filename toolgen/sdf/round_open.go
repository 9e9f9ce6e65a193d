package sdf

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// foot is what one outline says over a point of the plan.
type foot struct {
	d      float64
	g      geom.Vec2
	k      float64 // second derivative of d across g
	corner bool
}

// feet remembers the feet of one point; a point near more outlines than it holds looks them up anew.
type feet struct {
	n    int
	ids  [8]int32
	list [8]foot
}

// foot returns the foot of p on the outline of member m.
func (c *core) foot(fs *feet, m int32, p geom.Vec3) foot {
	for i := range fs.n {
		if fs.ids[i] == m {
			return fs.list[i]
		}
	}
	f := c.look(m, p.Plan())
	if fs.n < len(fs.ids) {
		fs.ids[fs.n], fs.list[fs.n] = m, f
		fs.n++
	}
	return f
}

// look returns the foot of q on the outline of member m.
func (c *core) look(m int32, q geom.Vec2) foot {
	o := c.outlines[m]
	if c.within != nil && c.within[m] != nil {
		if d, g, i, ok := c.within[m].At(q); ok {
			return footOn(&o.Elems[i], d, g)
		}
	}
	t := o.At(q)
	f := footOn(&o.Elems[t.Elem], t.D, t.G)
	if c.chains[m] == nil { // the foot may be a corner
		e := o.Elems[t.Elem]
		n := e.Out(0)
		if e.R != 0 {
			n = q.Sub(e.C).Unit()
		}
		if math.Abs(n.Dot(t.G)) < 1-1e-12 && math.Abs(t.D) > stop {
			f.k = 1 / t.D
		}
	}
	return f
}

// footOn returns a foot square on an element.
func footOn(e *outline.Elem, d float64, g geom.Vec2) foot {
	if e.R == 0 {
		return foot{d: d, g: g}
	}
	return foot{d, g, 1 / (d + e.R), true}
}

// value returns the surface's value and gradient over a foot at height z.
func (s *surface) value(f foot, z float64) (float64, geom.Vec3) {
	return s.sd*f.d + s.sz*z - s.off, geom.Vec3{X: s.sd * f.g.X, Y: s.sd * f.g.Y, Z: s.sz}
}

// bend returns how the surface's value bends over a foot.
func (s *surface) bend(f foot) bend {
	return bend{w: geom.Vec3{X: -f.g.Y, Y: f.g.X}, k: s.sd * f.k}
}

// most returns an upper bound of the surface's value at p that needs no outline.
func (c *core) most(s *surface, p geom.Vec3) float64 {
	if s.sd > 0 {
		return math.Inf(1)
	}
	d := c.boxes[s.member].Dist(p.Plan())
	if d == 0 {
		return math.Inf(1)
	}
	return s.sd*d + s.sz*p.Z - s.off
}

// least returns a lower bound of a plateau's value at p that needs no outline.
func (c *core) least(pl *plateau, p geom.Vec3) float64 {
	m := p.Z - pl.z
	for i := range pl.walls {
		s := &pl.walls[i]
		if s.sd > 0 {
			if d := c.boxes[s.member].Dist(p.Plan()); d > 0 {
				m = max(m, s.sd*d+s.sz*p.Z-s.off)
			}
		}
	}
	return m
}

// name returns the tag of surface i of plateau k, -1 being its plane.
func (c *core) name(k int32, i int, corner bool) tag {
	switch {
	case i < 0:
		return tag{tagLevel, k}
	case corner:
		return tag{tagCorner, c.plateaus[k].walls[i].member}
	}
	return tag{tagWall, c.plateaus[k].walls[i].member}
}

// open returns the field of plateau k opened by its ball. Values from limit upwards may be lower
// bounds. The search starts where w rests, if it does, and leaves there where it ended.
func (c *core) open(k int32, p geom.Vec3, fs *feet, limit float64, w *ball) hit {
	pl := &c.plateaus[k]
	one := hit{d: p.Z - pl.z, g: geom.Vec3{Z: 1}, sure: true}
	best := -1
	var on foot
	for i := range pl.walls {
		s := &pl.walls[i]
		if c.most(s, p) <= one.d {
			continue
		}
		f := c.foot(fs, s.member, p)
		if a, g := s.value(f, p.Z); a > one.d {
			one.d, one.g, best, on = a, g, i, f
		}
	}
	one.tag = c.name(k, best, on.corner)
	if best >= 0 {
		one.bend = pl.walls[best].bend(on)
	}
	if one.d <= -pl.r || one.d >= min(limit, c.clear) || len(pl.walls) == 0 {
		return one
	}
	if !c.crowded(pl, p, fs, &one, best) {
		return one
	}
	return c.openSearch(k, p, &one, fs, w)
}

// crowded reports whether another surface than best may bind beside it.
func (c *core) crowded(pl *plateau, p geom.Vec3, fs *feet, one *hit, best int) bool {
	run := one.d + pl.r
	v := one.g.Scale(run)
	for i := -1; i < len(pl.walls); i++ {
		if i == best {
			continue
		}
		a, g, slack := p.Z-pl.z, geom.Vec3{Z: 1}, stop
		if i >= 0 {
			s := &pl.walls[i]
			if c.most(s, p)+run <= -pl.r {
				continue
			}
			a, g = s.value(c.foot(fs, s.member, p), p.Z)
			// A plane, and the walls of one outline seen along its own normal, are straight along v.
			if best >= 0 && pl.walls[best].member != s.member {
				slack = loose * pl.r
			}
		}
		if a+run > -pl.r && a-g.Dot(v) > -pl.r-slack {
			return true
		}
	}
	return false
}

// openSearch finds the ball that rests inside plateau k nearest to p; one is the answer without it.
func (c *core) openSearch(k int32, p geom.Vec3, one *hit, fs *feet, w *ball) hit {
	pl := &c.plateaus[k]
	var b search
	b.start(p, pl.r, w)
	if w.ok {
		c.openFill(pl, k, b.q, 2*pl.r+b.v.Norm(), &feet{}, &b.here)
	} else {
		c.openFill(pl, k, p, 2*pl.r, fs, &b.here)
	}
	for round := range rounds {
		over := b.step()
		if id, ok := b.alone(); ok && !over {
			over = b.aim(c.openAt(pl, id, p, fs))
		}
		if over {
			break
		}
		b.move(round)
		c.openFill(pl, k, b.q, 2*pl.r+b.v.Norm(), &feet{}, &b.here)
		if b.holds() {
			break
		}
	}
	if b.gap || !b.sure {
		h := *one
		h.sure = false
		if one.d < 0 {
			return h
		}
		c.openFill(pl, k, p, c.clear, fs, &b.here)
		h.d = max(h.d, min(c.apart(pl, &b.here), c.clear))
		return h
	}
	*w = ball{b.v, b.lids, b.sure}
	l := b.v.Norm()
	if b.rest.n == 1 || l < stop || l-pl.r < one.d {
		// Opening only removes material, so it never lies below the sharp surfaces.
		h := *one
		h.sure = b.sure
		return h
	}
	// Far off, the place found may not be the nearest: the sharp surfaces are the bound.
	return hit{min(l-pl.r, c.clear), b.v.Scale(1 / l), c.openTag(k, &b), b.sure, b.rolls(l)}
}

// apart returns a lower bound of the field of a plateau, given the conditions at p, where no ball is
// found that fits.
//
// Where two conditions face each other a ball has to keep both: their sum has the slope m of the sum
// of both normals, which turns by k per mm at most, so it takes at least the way D to bring it from s
// down to 0, with s = m D + k D²/2.
func (c *core) apart(pl *plateau, cs *cons) float64 {
	far := 0.0
	turn := func(id int32) float64 {
		if id < 0 {
			return 0
		}
		return c.turns[pl.walls[id].member]
	}
	for i := range cs.n {
		for j := range i {
			a, b := &cs.list[i], &cs.list[j]
			s, m, k := a.c+b.c, a.n.Add(b.n).Norm(), turn(a.id)+turn(b.id)
			if s <= 0 {
				continue
			}
			far = max(far, 2*s/(m+math.Sqrt(m*m+2*k*s)))
		}
	}
	return far - pl.r
}

// openAt returns condition id of plateau pl at p.
func (c *core) openAt(pl *plateau, id int32, p geom.Vec3, fs *feet) (float64, geom.Vec3) {
	if id < 0 {
		return p.Z - pl.z + pl.r, geom.Vec3{Z: 1}
	}
	s := &pl.walls[id]
	a, g := s.value(c.foot(fs, s.member, p), p.Z)
	return a + pl.r, g
}

// openFill lists the conditions on a ball's centre at q, leaving out those with more play than slack.
func (c *core) openFill(pl *plateau, k int32, q geom.Vec3, slack float64, fs *feet, cs *cons) {
	cs.n = 0
	if a := q.Z - pl.z + pl.r; a > -slack {
		cs.add(con{c: a, n: geom.Vec3{Z: 1}, id: -1, of: tag{tagLevel, k}, sure: true})
	}
	for i := range pl.walls {
		s := &pl.walls[i]
		if c.most(s, q)+pl.r <= -slack {
			continue
		}
		f := c.foot(fs, s.member, q)
		if a, g := s.value(f, q.Z); a+pl.r > -slack {
			cs.add(con{a + pl.r, g, s.bend(f), int32(i), c.name(k, i, f.corner), true})
		}
	}
}
