package sdf

import (
	"math"

	"platen/toolgen/geom"
)

// The surfaces that shape the field near p are those that the resting balls touch. When p moves by
// rho, the centre of its ball moves by at most swell rho: it is the point nearest to p among those
// where a ball fits, and the nearest point moves no faster than p does on what is flat or hollow, and
// faster by the quotient of the radii on what bulges. So what the ball of the middle point clears by
// more than that can be left out.

// marks says which surfaces of each plateau may bind.
type marks struct {
	plane []bool
	walls []uint64 // bit i: wall i
}

// mostWalls is the number of walls of a plateau that marks can hold.
const mostWalls = 64

func newMarks(c *core) *marks {
	return &marks{make([]bool, len(c.plateaus)), make([]uint64, len(c.plateaus))}
}

func (m *marks) clear() {
	clear(m.plane)
	clear(m.walls)
}

// swells bounds the tries to find a swell that the surfaces found with it confirm.
const swells = 4

// bindClose marks what may bind in groups 0 to k within rho of p and returns the smallest radius of
// what bulges towards the ball there; ok is false when nothing can be said.
func (c *core) bindClose(ms *marks, k int, p geom.Vec3, rho float64) (tight float64, ok bool) {
	g := &c.groups[k]
	h := c.close(k, p)
	if !h.sure || h.d < -g.r {
		return 0, false
	}
	x := p.Add(h.g.Scale(max(0, g.r-h.d)))
	trial := newMarks(c)
	swell := 1.0
	for range swells {
		trial.clear()
		far := swell * rho * (1 + 1e-6)
		limit := max(g.r, h.d+rho) + far
		parts, one := 0, inner
		tight = math.Inf(1)
		bind := func(id int32, from geom.Vec3, rho float64) bool {
			t, ok := 0.0, false
			if id == inner {
				t, ok = c.bindClose(trial, k-1, from, rho)
			} else {
				t, ok = c.bindOpen(trial, id, from, rho)
			}
			tight = min(tight, t)
			return ok
		}
		var fs feet
		if k > 0 {
			if c.close(k-1, x).d <= limit {
				parts++
				if !bind(inner, x, far) {
					return 0, false
				}
			}
		}
		for _, id := range g.plateaus {
			if c.least(&c.plateaus[id], x) > limit || c.open(id, x, &fs, limit+stop, &ball{}).d > limit {
				continue
			}
			parts, one = parts+1, id
			if !bind(id, x, far) {
				return 0, false
			}
		}
		if need := 1 + (g.r+rho)/tight; need > swell {
			swell = need
			continue
		}
		switch parts {
		case 0:
			return 0, false
		case 1: // no ball rests on it with another part, so only its own balls count
			trial.clear()
			if tight = math.Inf(1); !bind(one, p, rho) {
				return 0, false
			}
		}
		ms.join(trial)
		return tight, true
	}
	return 0, false
}

func (m *marks) join(o *marks) {
	for i := range m.plane {
		m.plane[i] = m.plane[i] || o.plane[i]
		m.walls[i] |= o.walls[i]
	}
}

// bindOpen marks what may bind in plateau id within rho of p, and returns as bindClose.
func (c *core) bindOpen(ms *marks, id int32, p geom.Vec3, rho float64) (tight float64, ok bool) {
	pl := &c.plateaus[id]
	if len(pl.walls) == 0 {
		ms.plane[id] = true
		return math.Inf(1), true
	}
	var fs feet
	h := c.open(id, p, &fs, math.Inf(1), &ball{})
	if !h.sure || h.d >= c.clear || len(pl.walls) > mostWalls {
		return 0, false
	}
	y := p.Sub(h.g.Scale(max(0, h.d+pl.r)))
	out := max(0, h.d)
	var fy feet
	swell := 1.0
	for range swells {
		far := swell * rho * (1 + 1e-6)
		limit := min(-pl.r, h.d-rho) - far
		plane, walls, n := y.Z-pl.z >= limit, uint64(0), 0
		need := 1.0
		tight = math.Inf(1)
		if plane {
			n++
		}
		for i := range pl.walls {
			s := &pl.walls[i]
			if c.most(s, y) < limit {
				continue
			}
			if a, _ := s.value(c.foot(&fy, s.member, y), y.Z); a < limit || c.spared(pl, s, y, far) {
				continue
			}
			walls |= 1 << i
			n++
			hollow, bulge, ok := c.bends(s, p, out+far)
			if !ok {
				return 0, false
			}
			tight = min(tight, bulge)
			if !math.IsInf(hollow, 1) {
				need = max(need, (hollow+pl.r)/max(hollow-out-rho, 0.25*hollow))
			}
		}
		if n > 1 {
			tight = min(tight, pl.r)
		}
		if need > swell {
			swell = need
			continue
		}
		ms.plane[id] = ms.plane[id] || plane
		ms.walls[id] |= walls
		return tight, n > 0
	}
	return 0, false
}

// spared reports whether s is the clip of a wall whose contact with the balls about y, as far as
// they move, lies above the bend between both.
func (c *core) spared(pl *plateau, s *surface, y geom.Vec3, far float64) bool {
	if !s.clip {
		return false
	}
	for i := range pl.walls {
		if w := &pl.walls[i]; w.member == s.member && !w.clip {
			bend := (w.off-w.sd*s.off)/w.sz + pl.r*w.sz/(1+w.sd)*w.sd
			return y.Z+pl.r*w.sz-far > bend
		}
	}
	return false
}

// bends returns the least radius of the round corners of a wall within reach of p: of those that are
// hollow and of those that bulge, seen from the air; +Inf for none. It says nothing near a sharp
// corner.
func (c *core) bends(w *surface, p geom.Vec3, reach float64) (hollow, bulge float64, ok bool) {
	hollow, bulge = math.Inf(1), math.Inf(1)
	chain := c.chains[w.member]
	if chain == nil {
		return 0, 0, false
	}
	out := (w.off - w.sz*p.Z) / w.sd // distance from the outline at which the wall stands at this height
	es := c.outlines[w.member].Elems
	chain.Each(p.Plan(), func(i int, dist float64) {
		r := es[i].R
		if r == 0 || (dist-math.Abs(out))*math.Abs(w.sd) > reach {
			return
		}
		at := 0.9 * max(0, math.Abs(r)+math.Copysign(out, r))
		if (r > 0) == (w.sd > 0) {
			bulge = min(bulge, at)
		} else {
			hollow = min(hollow, at)
		}
	})
	return hollow, bulge, true
}

// only returns the core with the marked surfaces, less the plateaus that lie wholly within another.
func (c *core) only(ms *marks) *core {
	small := *c
	small.plateaus, small.groups = nil, nil
	var in []int // group of each plateau kept
	for k, g := range c.groups {
		for _, id := range g.plateaus {
			if !ms.plane[id] && ms.walls[id] == 0 {
				continue
			}
			pl := c.plateaus[id]
			if !ms.plane[id] {
				pl.z = math.Inf(1)
			}
			pl.walls = nil
			for i, s := range c.plateaus[id].walls {
				if ms.walls[id]>>i&1 == 1 {
					pl.walls = append(pl.walls, s)
				}
			}
			small.plateaus = append(small.plateaus, pl)
			in = append(in, k)
		}
	}
	for i := 0; i < len(small.plateaus); i++ {
		for k := range small.plateaus {
			a, b := &small.plateaus[i], &small.plateaus[k]
			if k != i && in[k] <= in[i] && a.within(b) && !(k > i && b.within(a)) {
				small.plateaus = append(small.plateaus[:i], small.plateaus[i+1:]...)
				in = append(in[:i], in[i+1:]...)
				i--
				break
			}
		}
	}
	for i, k := range in {
		if n := len(small.groups); n == 0 || in[i-1] != k {
			small.groups = append(small.groups, group{r: c.groups[k].r})
		}
		g := &small.groups[len(small.groups)-1]
		g.plateaus = append(g.plateaus, int32(i))
	}
	return &small
}

// within reports whether p lies wholly within b: everything that bounds b bounds p too.
func (p *plateau) within(b *plateau) bool {
	if b.z < p.z {
		return false
	}
	n := len(b.walls)
	if !math.IsInf(b.z, 1) {
		n++
	}
	for i := range b.walls {
		s := &b.walls[i]
		found := false
		for k := range p.walls {
			found = found || *s == p.walls[k]
		}
		if !found {
			return false
		}
	}
	return n == 1 || b.r <= p.r
}
