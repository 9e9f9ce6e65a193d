package form

import (
	"math"

	"platen/toolgen/geom"
)

// touching is how close a node counts as landed, mm: the rounding of the field, far under the mesh's
// own error.
const touching = 1e-6

// distance returns the distance to the tool and to what closes the air, the direction away, and
// whether the nearest is not the tool.
func (s *sim) distance(p geom.Vec3) (d float64, n geom.Vec3, off bool) {
	d, n = s.tool.Distance(p)
	if s.set.Closed {
		if e, m := s.enclosure(p); e < d {
			return e, m, true
		}
	}
	return d, n, false
}

// enclosure returns the distance to the walls and the platen that close the air, and the direction
// away.
func (s *sim) enclosure(p geom.Vec3) (d float64, n geom.Vec3) {
	f := &s.set.Frame
	d, n = p.Z-s.set.Floor, geom.Vec3{Z: 1}
	for _, w := range [...]struct {
		d float64
		n geom.Vec3
	}{
		{p.X - f.Min.X, geom.Vec3{X: 1}},
		{f.Max.X - p.X, geom.Vec3{X: -1}},
		{p.Y - f.Min.Y, geom.Vec3{Y: 1}},
		{f.Max.Y - p.Y, geom.Vec3{Y: -1}},
	} {
		if w.d < d {
			d, n = w.d, w.n
		}
	}
	return d, n
}

// touch measures a node's distance anew and lands it if it has arrived: put on the face, it sticks.
func (s *sim) touch(i int32) bool {
	n := &s.nodes[i]
	d, dir, off := s.distance(s.at[i])
	n.slack = d
	if d > touching {
		return false
	}
	s.at[i] = s.settle(s.at[i], d, dir)
	s.stop(i, stuck)
	n.off = off
	return true
}

// settle moves a point that lies d off the face on to it; a second and third move serve points in
// the corner of two walls.
func (s *sim) settle(p geom.Vec3, d float64, dir geom.Vec3) geom.Vec3 {
	for range 3 {
		p = p.Sub(dir.Scale(d))
		if d, dir, _ = s.distance(p); math.Abs(d) <= touching {
			break
		}
	}
	return p
}

// stop ends a node's motion.
func (s *sim) stop(i int32, how state) {
	n := &s.nodes[i]
	n.state, n.v, n.slack = how, geom.Vec3{}, 0
	s.rests[i] = rest{s.step, s.pressure}
}

// besideEdges is how many of its own edges the platen or a wall may be off for a triangle to count as
// theirs: in the sharp corner between them and the tool no sheet lands, however fine.
const besideEdges = 2.0

// farther reports whether the middle of a triangle is more than r off, and whether platen or walls
// are nearer than the tool or a few edges off.
func (s *sim) farther(t *triangle, r, edge float64) (far, beside bool) {
	m := s.at[t.n[0]].Add(s.at[t.n[1]]).Add(s.at[t.n[2]]).Scale(1.0 / 3)
	d, _ := s.tool.Distance(m)
	if s.set.Closed {
		e, _ := s.enclosure(m)
		return min(d, e) > r, e < max(d, besideEdges*edge)
	}
	return d > r, false
}

// Web guard: a free triangle that turns its upper side down, well off the tool, is about to fold or
// to grow through its neighbour, which a membrane without self-contact cannot tell from growing
// freely.
const (
	webTurn  = -0.1 // of the unit normal's height
	webClear = 3.0  // mm off the tool; a sheet that hugs an undercut is nearer
	webEvery = 10   // steps
)

// guard freezes the nodes of webbing triangles.
func (s *sim) guard() {
	s.marks = sized(s.marks, len(s.active))
	s.crew.run((len(s.active)+markChunk-1)/markChunk, s.guardOn)
	for k, m := range s.marks {
		if m == 0 {
			continue
		}
		for _, i := range s.tris[s.active[k]].n {
			if s.nodes[i].state == free {
				s.stop(i, web)
			}
		}
	}
}

// guardOn marks the webbing ones of a chunk of the active triangles.
func (s *sim) guardOn(chunk int) {
	for j := chunk * markChunk; j < min((chunk+1)*markChunk, len(s.active)); j++ {
		t := &s.tris[s.active[j]]
		s.marks[j] = 0
		a, b, c := s.at[t.n[0]], s.at[t.n[1]], s.at[t.n[2]]
		u := b.Sub(a).Cross(c.Sub(a))
		if u.Z >= webTurn*u.Norm() || !s.hasFree(t) {
			continue
		}
		if far, _ := s.farther(t, webClear, 0); far && !s.onPlug(t) {
			s.marks[j] = 1
		}
	}
}
