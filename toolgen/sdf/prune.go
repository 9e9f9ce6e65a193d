package sdf

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// Pruner is a field that can be cut down to what matters in a ball.
type Pruner interface {
	Surveyor
	// Prune returns a field for the ball of radius rho about c, which must lie in the ball that this
	// one was cut down to. It has the same signs there, the same values wherever they are at most rho
	// and at most any rounding's radius, and says as much about which surface lies in the ball.
	Prune(c geom.Vec3, rho float64) Pruner
	// Weight says how much of a sample's cost a smaller ball may save: 0 none.
	Weight() int
}

// Weights of pruned fields.
const (
	weightFar   = 0  // no surface in the ball
	weightBalls = 64 // balls may rest on several surfaces
)

// near is a cluster cut down to a ball in which roundings of several surfaces may show.
type near struct {
	core   *core
	weight int
}

// At returns the sample at p.
func (n *near) At(p geom.Vec3) Sample {
	c := n.core
	var h hit
	if len(c.plateaus) == 1 { // nothing to close
		h = c.open(0, p, &feet{}, math.Inf(1), &ball{})
	} else {
		h = c.close(len(c.groups)-1, p)
	}
	return Sample{h.d, h.g, c.piece(h.tag, p)}
}

// Survey lists what may have surface within rho of c.
func (n *near) Survey(c geom.Vec3, rho float64) Survey { return n.core.survey(c, rho) }

// Prune cuts the cluster down further.
func (n *near) Prune(c geom.Vec3, rho float64) Pruner { return n.core.prune(c, rho) }

// Weight is that of the ball search, or none where no surface is near.
func (n *near) Weight() int { return n.weight }

// Prune returns the cluster for evaluation within the ball of radius rho about c: a plane, a wall
// with its roundings as a closed profile, or where several walls meet the cluster with only the
// surfaces that can matter there.
func (j *Joint) Prune(c geom.Vec3, rho float64) Pruner { return j.core.prune(c, rho) }

// Weight is that of the ball search.
func (j *Joint) Weight() int { return weightBalls }

// Check that what is pruned can be pruned again.
var _, _ Pruner = (*Joint)(nil), (*near)(nil)

func (c *core) prune(p geom.Vec3, rho float64) Pruner {
	small := c.trimmed(p, rho)
	last := len(small.groups) - 1
	h := small.close(last, p)
	switch {
	case !h.sure:
		return &near{small, weightBalls}
	case math.Abs(h.d) > rho:
		return &near{small, weightFar}
	}
	ms := newMarks(small)
	if _, ok := small.bindClose(ms, last, p, rho); !ok {
		return &near{small, weightBalls}
	}
	tight := small.only(ms)
	if l := tight.lone(p, rho, h.d); l != nil {
		return l
	}
	tight.narrow(p, rho)
	if len(tight.plateaus) > 1 {
		tight.sit(p, rho)
	}
	return &near{tight, weightBalls}
}

// narrow leaves out the elements of outlines that no ball for a point within rho of p can touch.
func (c *core) narrow(p geom.Vec3, rho float64) {
	edge, sum, most := 0.0, 0.0, 0.0
	for i := range c.plateaus {
		edge = max(edge, c.plateaus[i].r)
	}
	for _, g := range c.groups {
		sum, most = sum+g.r, max(most, g.r)
	}
	// From p to the centre of the closing balls, on to that of the opening ball, and room to overshoot.
	if len(c.plateaus) == 1 {
		sum, most = 0, 0
	}
	reach := 1.25 * (4*rho + sum + most + edge)
	c.within = make([]*outline.Chain, len(c.outlines))
	for i := range c.plateaus {
		for k := range c.plateaus[i].walls {
			m := c.plateaus[i].walls[k].member
			if c.chains[m] != nil && c.within[m] == nil {
				d := c.outlines[m].At(p.Plan()).D
				c.within[m] = c.chains[m].Near(p.Plan(), math.Abs(d)+2*reach)
			}
		}
	}
}

// trimmed returns the core with only the surfaces that can matter in the ball, by their values at
// its centre alone.
//
// A surface matters at p only if a ball of the roundings that rests within reach of p touches it, so
// its own value at c, of slope 1, is within that reach too.
func (c *core) trimmed(p geom.Vec3, rho float64) *core {
	reach := c.reach(rho)
	small := *c
	small.seat = nil
	small.plateaus = make([]plateau, 0, 8)
	small.groups = make([]group, 0, len(c.groups))
	keep := func(id int32, ps []int32) []int32 {
		small.plateaus = append(small.plateaus, c.trim(&c.plateaus[id], p, reach, rho))
		return append(ps, int32(len(small.plateaus)-1))
	}
	lowest, low := int32(0), math.Inf(1)
	for _, g := range c.groups {
		var ps []int32
		for _, id := range g.plateaus {
			l := c.sharp(&c.plateaus[id], p)
			if l < low {
				lowest, low = id, l
			}
			if l <= reach {
				ps = keep(id, ps)
			}
		}
		if len(ps) > 0 {
			small.groups = append(small.groups, group{g.r, ps})
		}
	}
	if len(small.groups) == 0 { // nothing near: one part will do as the bound
		small.groups = append(small.groups, group{c.groups[0].r, keep(lowest, nil)})
	}
	// Many are kept, so no room to spare.
	small.plateaus = append(make([]plateau, 0, len(small.plateaus)), small.plateaus...)
	return &small
}

// reach returns how far from the centre of a ball of radius rho a surface can be and still shape the
// field inside it where that is at most rho.
func (c *core) reach(rho float64) float64 {
	edge, sum := 0.0, 0.0
	for i := range c.plateaus {
		edge = max(edge, c.plateaus[i].r)
	}
	for _, g := range c.groups {
		sum += g.r
	}
	return 2*(rho+edge+sum) + loose*(edge+sum) + nudge
}

// sharp returns the value of a plateau before its opening.
func (c *core) sharp(pl *plateau, p geom.Vec3) float64 {
	var fs feet
	m := c.least(pl, p)
	for i := range pl.walls {
		s := &pl.walls[i]
		if c.most(s, p) > m {
			a, _ := s.value(c.foot(&fs, s.member, p), p.Z)
			m = max(m, a)
		}
	}
	return m
}

// trim returns a plateau with only the walls and owners that matter within rho of p.
func (c *core) trim(pl *plateau, p geom.Vec3, reach, rho float64) plateau {
	var fs feet
	out := *pl
	out.walls = nil
	for i := range pl.walls {
		s := &pl.walls[i]
		if c.most(s, p) < -reach {
			continue
		}
		if a, _ := s.value(c.foot(&fs, s.member, p), p.Z); a >= -reach {
			out.walls = append(out.walls, *s)
		}
	}
	if len(pl.owners) > 1 {
		nearest := math.Inf(1)
		for _, m := range pl.owners {
			nearest = min(nearest, c.foot(&fs, m, p).d)
		}
		out.owners = nil
		for _, m := range pl.owners {
			if c.foot(&fs, m, p).d <= nearest+2*rho {
				out.owners = append(out.owners, m)
			}
		}
	}
	return out
}
