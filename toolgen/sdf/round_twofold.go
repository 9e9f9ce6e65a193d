package sdf

import (
	"math"

	"platen/toolgen/geom"
)

// aside is how far along its ridge a ball is put to look for another place to rest, over its radius:
// beyond the hump between two places, and short of the end of either's reach.
const aside = 0.25

// nearest takes the nearest place for the ball of group k where it may have several along its ridge, b being
// one of them.
func (c *core) nearest(k int, p geom.Vec3, at *parts, b *search) {
	if !b.sure || !c.twofold(k, b) {
		return
	}
	r := c.groups[k].r
	t, _ := b.ridge()
	from := ball{b.v, b.lids, true}
	for _, way := range [2]float64{aside * r, -aside * r} {
		var o search
		var next parts
		o.start(p, r, &ball{from.v.Add(t.Scale(way)), from.lids, true})
		c.closeFill(k, o.q, r+o.v.Norm(), &next, &o.here)
		c.settle(k, p, at, &next, &o)
		if o.sure && o.rest.n == 2 && o.v.Norm() < b.v.Norm()-stop {
			*b = o
		}
	}
}

// twofold reports whether the ball of group k may have another place to rest along the ridge of two parts:
// were it to roll over the edges of both at once, the ridge would turn away from it faster than it follows.
// The edges may lie beyond where it rests, so what binds there does not tell.
func (c *core) twofold(k int, b *search) bool {
	if b.rest.n != 2 {
		return false
	}
	h := 1.0
	for i, id := range b.rest.ids[:2] {
		h -= b.rest.mu[i] / (c.groups[k].r + c.edge(k, id))
	}
	return h < 0
}

// edge returns the least radius of the edges of part id of group k, +Inf if it has none.
func (c *core) edge(k int, id int32) float64 {
	if id != inner {
		if pl := &c.plateaus[id]; len(pl.walls) > 0 {
			return pl.r
		}
		return math.Inf(1)
	}
	least := math.Inf(1)
	for _, g := range c.groups[:k] {
		for _, id := range g.plateaus {
			least = min(least, c.edge(k, id))
		}
	}
	return least
}
