package sdf

import (
	"math"

	"platen/toolgen/geom"
)

// foot is what one outline says over a point of the plan.
type foot struct {
	d      float64
	g      geom.Vec2
	corner bool
}

// feet remembers the feet of one point; a point near more outlines than it holds looks them up anew.
type feet struct {
	n    int
	ids  [16]int32
	list [16]foot
}

// foot returns the foot of p on the outline of member m.
func (c *core) foot(fs *feet, m int32, p geom.Vec3) foot {
	for i := range fs.n {
		if fs.ids[i] == m {
			return fs.list[i]
		}
	}
	o := c.outlines[m]
	t := o.At(p.Plan())
	f := foot{t.D, t.G, o.Elems[t.Elem].R != 0}
	if fs.n < len(fs.ids) {
		fs.ids[fs.n], fs.list[fs.n] = m, f
		fs.n++
	}
	return f
}

// value returns the surface's value and gradient over a foot at height z.
func (s *surface) value(f foot, z float64) (float64, geom.Vec3) {
	return s.sd*f.d + s.sz*z - s.off, geom.Vec3{X: s.sd * f.g.X, Y: s.sd * f.g.Y, Z: s.sz}
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
// bounds.
func (c *core) open(k int32, p geom.Vec3, fs *feet, limit float64) hit {
	pl := &c.plateaus[k]
	m, n, best := p.Z-pl.z, geom.Vec3{Z: 1}, -1
	corner := false
	for i := range pl.walls {
		s := &pl.walls[i]
		if c.most(s, p) <= m {
			continue
		}
		f := c.foot(fs, s.member, p)
		if a, g := s.value(f, p.Z); a > m {
			m, n, best, corner = a, g, i, f.corner
		}
	}
	one := hit{m, n, c.name(k, best, corner), true}
	if m <= -pl.r || m >= min(limit, c.clear) || len(pl.walls) == 0 {
		return one
	}
	if !c.crowded(pl, p, fs, one, best) {
		return one
	}
	return c.openSearch(k, p, one)
}

// crowded reports whether another surface than best may bind beside it.
func (c *core) crowded(pl *plateau, p geom.Vec3, fs *feet, one hit, best int) bool {
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
func (c *core) openSearch(k int32, p geom.Vec3, one hit) hit {
	pl := &c.plateaus[k]
	var b search
	b.p, b.q, b.want = p, p, pl.r
	c.openFill(pl, k, p, 2*pl.r, &b.at)
	b.here = b.at
	for range rounds {
		if b.step() {
			break
		}
		if b.rest.n == 2 && b.x0 != 0 {
			g0 := c.openGradient(pl, b.here.list[b.rest.set[0]].id, b.ahead())
			g1 := c.openGradient(pl, b.here.list[b.rest.set[1]].id, b.ahead())
			b.bent(g0, g1)
		}
		b.move()
		c.openFill(pl, k, b.q, 2*pl.r+b.v.Norm(), &b.here)
	}
	if b.gap || (!b.sure && one.d < 0) {
		one.sure = false
		return one
	}
	l := b.v.Norm()
	if b.rest.n == 1 || l < stop || l-pl.r < one.d {
		// Opening only removes material, so it never lies below the sharp surfaces.
		one.sure = b.sure
		return one
	}
	// Far off, the place found may not be the nearest: the sharp surfaces are the bound.
	return hit{min(l-pl.r, c.clear), b.v.Scale(1 / l), c.openTag(k, &b), b.sure}
}

// openFill lists the conditions on a ball's centre at q, leaving out those with more play than slack.
func (c *core) openFill(pl *plateau, k int32, q geom.Vec3, slack float64, cs *cons) {
	var fs feet
	cs.n = 0
	if a := q.Z - pl.z + pl.r; a > -slack {
		cs.add(con{a, geom.Vec3{Z: 1}, -1, tag{tagLevel, k}})
	}
	for i := range pl.walls {
		s := &pl.walls[i]
		if c.most(s, q)+pl.r <= -slack {
			continue
		}
		f := c.foot(&fs, s.member, q)
		if a, g := s.value(f, q.Z); a+pl.r > -slack {
			cs.add(con{a + pl.r, g, int32(i), c.name(k, i, f.corner)})
		}
	}
}

func (c *core) openGradient(pl *plateau, id int32, q geom.Vec3) geom.Vec3 {
	if id < 0 {
		return geom.Vec3{Z: 1}
	}
	var fs feet
	s := &pl.walls[id]
	_, g := s.value(c.foot(&fs, s.member, q), q.Z)
	return g
}
