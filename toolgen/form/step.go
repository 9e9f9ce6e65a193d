package form

import (
	"math"

	"platen/toolgen/geom"
)

// Chunks of the loops. Their size is fixed, so that sums are added in the same order whoever
// computes them.
const (
	triChunk  = 1024
	nodeChunk = 512
)

// sums are what a chunk of nodes adds up in a step.
type sums struct {
	work, mass float64 // v.(f_old - f_new) and m v.v
	speed      float64 // largest speed after contact, mm per step
	landed     int
}

// advance does one step: forces, motion, contact, and the damping of the next one.
//
// SOURCE: dynamic relaxation with the damping steered by a Rayleigh quotient of the running motion,
// P. Underwood, Dynamic relaxation, 1983 (from memory, unverified).
func (s *sim) advance() sums {
	s.step++
	chunks := (len(s.hot) + triChunk - 1) / triChunk
	s.crew.run(chunks+1, func(chunk int) {
		if chunk == 0 {
			s.fillState()
			return
		}
		s.pushOn(chunk - 1)
	})
	chunks = (len(s.moving) + nodeChunk - 1) / nodeChunk
	s.crew.run(chunks, s.moveOn)
	var all sums
	for _, c := range s.sums[:chunks] {
		all.work += c.work
		all.mass += c.mass
		all.speed = max(all.speed, c.speed)
		all.landed += c.landed
	}
	if all.mass > 0 {
		c := max(0.01, min(1.5, 2*math.Sqrt(max(0, all.work/all.mass))))
		s.damping = 0.95*s.damping + 0.05*c
	}
	return all
}

// pushOn computes the corner forces of a chunk of the active triangles.
func (s *sim) pushOn(chunk int) {
	lo, hi := chunk*triChunk, min((chunk+1)*triChunk, len(s.hot))
	hot, push := s.hot[lo:hi], s.push[3*lo:3*hi]
	law, p, at := s.set.Law, s.pressure, s.at
	for k := range hot {
		e := &hot[k]
		f := (*[3]geom.Vec3)(push[3*k:])
		f[0], f[1], f[2] = e.forces(&law, &at[e.n[0]], &at[e.n[1]], &at[e.n[2]], p)
	}
}

// moveOn gathers the forces on a chunk of the moving nodes, moves them and lands those that arrive.
func (s *sim) moveOn(chunk int) {
	lo, hi := chunk*nodeChunk, min((chunk+1)*nodeChunk, len(s.moving))
	keep, gain := 1-s.damping/2, 1/(1+s.damping/2)
	limit2 := s.limit * s.limit
	var sum sums
	fast2 := 0.0
	for k := lo; k < hi; k++ {
		i := s.moving[k]
		n := &s.nodes[i]
		if !n.state.loose() {
			continue
		}
		var f geom.Vec3
		for _, c := range s.corner[s.first[k]:s.first[k+1]] {
			g := &s.push[c]
			f.X += g.X
			f.Y += g.Y
			f.Z += g.Z
		}
		if n.state == carried {
			if s.carry(i, f) {
				sum.landed++
			}
			continue
		}
		sum.work += n.v.Dot(n.f.Sub(f))
		sum.mass += n.m * n.v.Dot(n.v)
		n.f = f
		n.v = n.v.Scale(keep).Add(f.Scale(1 / n.m)).Scale(gain)
		v2 := n.v.Dot(n.v)
		if v2 > limit2 {
			n.v = n.v.Scale(s.limit / math.Sqrt(v2))
			v2 = limit2
		}
		s.at[i] = s.at[i].Add(n.v)
		if n.slack -= math.Sqrt(v2); n.slack <= 0 && s.touch(i) {
			sum.landed++
			continue
		}
		if s.plugged && s.mount(i, math.Sqrt(v2)) {
			continue
		}
		fast2 = max(fast2, v2)
	}
	sum.speed = math.Sqrt(fast2)
	s.sums[chunk] = sum
}
