package sdf

import (
	"math"

	"platen/toolgen/geom"
)

// inner is the id of the result of the group before in a group's search.
const inner int32 = -2

// parts remembers what the parts of a group say at one point, and where their balls rest.
type parts struct {
	fs   feet
	n    int
	list [8]part
}

// part is one part's answer: exact below limit, else a bound.
type part struct {
	id    int32
	limit float64
	hit   hit
	ball  ball
}

// part returns the field of one part of group k at p, a plateau or the result of the group before.
// Values from limit upwards may be lower bounds.
func (c *core) part(k int, id int32, p geom.Vec3, ps *parts, limit float64) hit {
	var m *part
	for i := range ps.n {
		if ps.list[i].id == id {
			m = &ps.list[i]
			if m.hit.d < m.limit || limit <= m.limit {
				return m.hit
			}
		}
	}
	if m == nil {
		i := min(ps.n, len(ps.list)-1) // more parts than it holds share the last place
		m, ps.n = &ps.list[i], i+1
		*m = part{id: id}
	}
	if id == inner {
		m.hit, m.limit = c.close(k-1, p), math.Inf(1)
	} else {
		m.hit, m.limit = c.open(id, p, &ps.fs, limit, &m.ball), limit
	}
	return m.hit
}

// again makes ps ready for another point near the last.
func (ps *parts) again() {
	ps.fs.n = 0
	for i := range ps.n {
		ps.list[i].limit = math.Inf(-1)
		ps.list[i].hit.d = math.Inf(1)
	}
}

// trail is where the searches for one point ended.
type trail struct {
	at, next parts // at the point and at the centre of the closing ball
	ball     ball
}

// seat is where the searches of the last group end for one point: those for points nearby start there.
// Many are kept, so they hold no more than that.
type seat struct {
	at, next []rested
	ball     ball
}

// rested is where the ball of a part rests.
type rested struct {
	id   int32
	ball ball
}

// rests returns where the balls of the parts rest.
func (ps *parts) rests() []rested {
	rs := make([]rested, ps.n)
	for i := range rs {
		rs[i] = rested{ps.list[i].id, ps.list[i].ball}
	}
	return rs
}

// start makes ps ready for a point near that of the rests.
func (ps *parts) start(rs []rested) {
	ps.n = len(rs)
	for i, r := range rs {
		ps.list[i] = part{id: r.id, limit: math.Inf(-1), hit: hit{d: math.Inf(1)}, ball: r.ball}
	}
}

// sit fills the core's seat from the points about p, within rho, until one has a closing ball.
func (c *core) sit(p geom.Vec3, rho float64) {
	c.seat = nil
	t := &trail{}
	for _, d := range [7]geom.Vec3{{}, {X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}} {
		*t = trail{}
		if c.closeFrom(len(c.groups)-1, p.Add(d.Scale(rho/2)), t); t.ball.ok {
			break
		}
	}
	c.seat = &seat{t.at.rests(), t.next.rests(), t.ball}
}

// close returns the field of groups 0 to k: the union of their parts, closed by each group's ball.
func (c *core) close(k int, p geom.Vec3) hit { return c.closeFrom(k, p, nil) }

// closeFrom is close that leaves in out, if that is not nil, where its searches end.
func (c *core) closeFrom(k int, p geom.Vec3, out *trail) hit {
	g := &c.groups[k]
	var ps parts
	if c.seat != nil && k == len(c.groups)-1 {
		ps.start(c.seat.at)
	}
	one, best := hit{d: math.Inf(1)}, inner
	if k > 0 {
		one = c.part(k, inner, p, &ps, math.Inf(1))
	}
	for _, id := range g.plateaus {
		if c.least(&c.plateaus[id], p) >= one.d {
			continue
		}
		if h := c.part(k, id, p, &ps, one.d); h.d < one.d {
			one, best = h, id
		}
	}
	if one.d >= g.r || one.d <= -g.r {
		return one
	}
	if !c.contested(k, p, &ps, &one, best) {
		return one
	}
	h := c.closeSearch(k, p, &ps, &one, out)
	if out != nil {
		out.at = ps
	}
	return h
}

// contested reports whether the ball that rests on part best alone may touch another part of group k.
func (c *core) contested(k int, p geom.Vec3, ps *parts, one *hit, best int32) bool {
	if k > 0 && best != inner && c.touches(k, inner, p, ps, one) {
		return true
	}
	for _, id := range c.groups[k].plateaus {
		if id != best && c.touches(k, id, p, ps, one) {
			return true
		}
	}
	return false
}

// touches reports whether the ball that rests on one alone may touch part id of group k.
func (c *core) touches(k int, id int32, p geom.Vec3, ps *parts, one *hit) bool {
	r := c.groups[k].r
	limit := 2*r - one.d
	if id != inner {
		pl := &c.plateaus[id]
		if c.least(pl, p) >= limit || c.beyond(pl, one.tag) {
			return false
		}
	}
	h := c.part(k, id, p, ps, limit)
	if h.d >= limit {
		return false
	}
	guess := h.d + h.g.Dot(one.g)*(r-one.d)
	if id != inner {
		return guess < r+c.slack(one.tag, h.tag)*r
	}
	// What is in reach of the ball there need not be what is nearest here.
	return guess < r+loose*r || c.close(k-1, p.Add(one.g.Scale(r-one.d))).d < r
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

// closeSearch finds the ball that rests on group k nearest to p; one is the answer without it. Where
// it ends is left in out, if that is not nil.
func (c *core) closeSearch(k int, p geom.Vec3, at *parts, one *hit, out *trail) hit {
	g := &c.groups[k]
	var b search
	var next parts
	if c.seat != nil && c.seat.ball.ok && k == len(c.groups)-1 {
		next.start(c.seat.next)
		b.start(p, g.r, &c.seat.ball)
		c.closeFill(k, b.q, g.r+b.v.Norm(), &next, &b.here)
	} else {
		next = *at
		b.start(p, g.r, &ball{})
		c.closeFill(k, p, 2*g.r+max(0, -one.d), at, &b.here)
	}
	c.settle(k, p, at, &next, &b)
	c.nearest(k, p, at, &b)
	if out != nil && b.sure {
		out.next, out.ball = next, ball{b.v, b.lids, true}
	}
	if b.gap || (!b.sure && one.d < 0) {
		h := *one
		h.sure = false
		return h
	}
	l := b.v.Norm()
	if b.rest.n == 1 || l < stop || g.r-l > one.d {
		// Closing only adds material, so it never lies above the union.
		h := *one
		h.sure = h.sure && b.sure
		return h
	}
	// Deep in the material the place found may not be the nearest: there the depth below the parts is
	// the bound, and between both the depth to which the search is trusted.
	r := b.rolls(l)
	return hit{max(g.r-l, -g.r), b.v.Scale(-1 / l), c.closeTag(&b), b.sure, bend{r.w, -r.k, -r.m}}
}

// settle runs the search for the ball of group k to its end.
func (c *core) settle(k int, p geom.Vec3, at, next *parts, b *search) {
	g := &c.groups[k]
	for round := range rounds {
		over := b.step()
		if id, ok := b.alone(); ok && !over {
			h := c.part(k, id, p, at, math.Inf(1))
			over = b.aim(g.r-h.d, h.g.Scale(-1))
		}
		if over {
			break
		}
		b.move(round)
		next.again()
		c.closeFill(k, b.q, g.r+b.v.Norm(), next, &b.here)
		if b.holds() {
			break
		}
	}
	b.sure = b.sure && b.firm()
}

// closeFill lists the conditions on the centre of a ball outside group k at q, leaving out those
// with more play than slack.
func (c *core) closeFill(k int, q geom.Vec3, slack float64, ps *parts, cs *cons) {
	g := &c.groups[k]
	cs.n = 0
	if k > 0 {
		cs.addPart(inner, g.r, slack, c.part(k, inner, q, ps, math.Inf(1)))
	}
	for _, id := range g.plateaus {
		if c.least(&c.plateaus[id], q) < g.r+slack {
			cs.addPart(id, g.r, slack, c.part(k, id, q, ps, g.r+slack))
		}
	}
}

// addPart appends the condition that a ball of radius r keeps off a part that says h.
func (cs *cons) addPart(id int32, r, slack float64, h hit) {
	if h.d < r+slack {
		cs.add(con{r - h.d, h.g.Scale(-1), bend{h.bend.w, -h.bend.k, -h.bend.m}, id, h.tag, h.sure})
	}
}
