package sdf

import (
	"math"

	"platen/toolgen/geom"
)

// inner is the id of the result of the group before in a group's search.
const inner int32 = -2

// part returns the field of one part of group k: a plateau, or the result of the group before.
func (c *core) part(k int, id int32, p geom.Vec3, fs *feet, limit float64) hit {
	if id == inner {
		return c.close(k-1, p)
	}
	return c.open(id, p, fs, limit)
}

// close returns the field of groups 0 to k: the union of their parts, closed by each group's ball.
func (c *core) close(k int, p geom.Vec3) hit {
	g := &c.groups[k]
	var fs feet
	one, best := hit{d: math.Inf(1)}, inner
	if k > 0 {
		one = c.close(k-1, p)
	}
	for _, id := range g.plateaus {
		if c.least(&c.plateaus[id], p) >= one.d {
			continue
		}
		if h := c.open(id, p, &fs, one.d); h.d < one.d {
			one, best = h, id
		}
	}
	if one.d >= g.r || one.d <= -g.r {
		return one
	}
	if !c.contested(k, p, &fs, one, best) {
		return one
	}
	return c.closeSearch(k, p, one)
}

// contested reports whether the ball that rests on part best alone may touch another part of group k.
func (c *core) contested(k int, p geom.Vec3, fs *feet, one hit, best int32) bool {
	g := &c.groups[k]
	run := g.r - one.d
	w := one.g.Scale(run)
	touch := func(id int32) bool {
		limit := g.r + run
		if id != inner {
			pl := &c.plateaus[id]
			if c.least(pl, p) >= limit || c.beyond(pl, one.tag) {
				return false
			}
		}
		h := c.part(k, id, p, fs, limit)
		return h.d < limit && h.d+h.g.Dot(w) < g.r+c.slack(one.tag, h.tag)*g.r
	}
	if k > 0 && best != inner && touch(inner) {
		return true
	}
	for _, id := range g.plateaus {
		if id != best && touch(id) {
			return true
		}
	}
	return false
}

// slack returns the part of the radius by which a straight guess between two parts may be off.
func (c *core) slack(a, b tag) float64 {
	flat := a.kind == tagLevel && b.wall() || b.kind == tagLevel && a.wall()
	if flat || (a.wall() && b.wall() && a.of == b.of) {
		return stop
	}
	return loose
}

// beyond reports whether a plateau lies wholly behind the lone surface t: then a ball that rests on
// it never touches the plateau first.
func (c *core) beyond(pl *plateau, t tag) bool {
	switch {
	case t.kind == tagLevel:
		return pl.z <= c.plateaus[t.of].z
	case t.wall():
		return pl.has(t.of)
	}
	return false
}

// closeSearch finds the ball that rests on group k nearest to p; one is the answer without it.
func (c *core) closeSearch(k int, p geom.Vec3, one hit) hit {
	g := &c.groups[k]
	var b search
	b.p, b.q, b.want = p, p, g.r
	c.closeFill(k, p, 2*g.r+max(0, -one.d), &b.at)
	b.here = b.at
	for range rounds {
		if b.step() {
			break
		}
		if b.rest.n == 2 && b.x0 != 0 {
			g0 := c.closeGradient(k, b.here.list[b.rest.set[0]].id, b.ahead())
			g1 := c.closeGradient(k, b.here.list[b.rest.set[1]].id, b.ahead())
			b.bent(g0, g1)
		}
		b.move()
		c.closeFill(k, b.q, g.r+b.v.Norm(), &b.here)
	}
	if b.gap || (!b.sure && one.d < 0) {
		one.sure = false
		return one
	}
	l := b.v.Norm()
	if b.rest.n == 1 || l < stop || g.r-l > one.d {
		// Closing only adds material, so it never lies above the union.
		one.sure = one.sure && b.sure
		return one
	}
	// Deep in the material the place found may not be the nearest: there the depth below the parts is
	// the bound, and between both the depth to which the search is trusted.
	return hit{max(g.r-l, -g.r), b.v.Scale(-1 / l), c.closeTag(&b), b.sure}
}

// closeFill lists the conditions on the centre of a ball outside group k at q, leaving out those
// with more play than slack.
func (c *core) closeFill(k int, q geom.Vec3, slack float64, cs *cons) {
	g := &c.groups[k]
	var fs feet
	cs.n = 0
	add := func(id int32, h hit) {
		if h.d < g.r+slack {
			cs.add(con{g.r - h.d, h.g.Scale(-1), id, h.tag})
		}
	}
	if k > 0 {
		add(inner, c.close(k-1, q))
	}
	for _, id := range g.plateaus {
		if c.least(&c.plateaus[id], q) < g.r+slack {
			add(id, c.open(id, q, &fs, g.r+slack))
		}
	}
}

func (c *core) closeGradient(k int, id int32, q geom.Vec3) geom.Vec3 {
	var fs feet
	return c.part(k, id, q, &fs, math.Inf(1)).g.Scale(-1)
}
