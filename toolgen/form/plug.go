package form

import (
	"context"

	"platen/toolgen/geom"
)

// plunge brings the plug down. It stays there until the vacuum has come on.
func (s *sim) plunge(ctx context.Context) error {
	if s.set.Plug == nil {
		return nil
	}
	s.plugged = true
	for i := range s.nodes { // all are asked at the first step
		s.nodes[i].plug = 0
	}
	for k := range s.opt.Raise {
		down := s.set.Plug.Travel * float64(k+1) / float64(s.opt.Raise)
		s.plugStep, s.plugDown = down-s.plugDown, down
		if _, err := s.turn(ctx); err != nil {
			return err
		}
	}
	s.plugStep = 0
	return nil
}

// off returns the distance of a point to the plug where it stands, and the direction away.
func (s *sim) off(p geom.Vec3) (float64, geom.Vec3) {
	p.Z += s.plugDown
	return s.set.Plug.Face.Distance(p)
}

// mount puts a free node that has moved by the given length on the plug if it has met it.
func (s *sim) mount(i int32, moved float64) bool {
	n := &s.nodes[i]
	if n.plug -= moved + s.plugStep; n.plug > 0 {
		return false
	}
	d, dir := s.off(s.at[i])
	if n.plug = d; d > touching {
		return false
	}
	s.at[i] = s.at[i].Sub(dir.Scale(d))
	n.slack = 0 // it was moved: ask the tool anew
	n.state, n.v, n.plug = carried, dir, 0
	return true
}

// cutsPlug reports whether the middle of an edge of the squared length l2 lies too deep in the plug.
func (s *sim) cutsPlug(a, b int32, l2 float64) bool {
	if r := s.nodes[a].plug + s.nodes[b].plug; r > 0 && r*r >= l2 {
		return false
	}
	d, _ := s.off(s.at[a].Add(s.at[b]).Scale(0.5))
	return d < -depth/2
}

// carry moves a carried node with the plug, lands it if it meets the tool, and lets go of it when the
// plug stands and the force on it points away. A node once let go passes the plug.
func (s *sim) carry(i int32, f geom.Vec3) (landed bool) {
	n := &s.nodes[i]
	n.f = f
	if s.plugStep > 0 {
		s.at[i].Z -= s.plugStep
		if n.slack -= s.plugStep; n.slack <= 0 {
			dir := n.v
			if s.touch(i) {
				return true
			}
			n.v = dir
		}
		return false
	}
	if s.pressure > 0 && f.Dot(n.v) > 0 {
		n.state, n.v, n.slack, n.plug = free, geom.Vec3{}, 0, passed
	}
	return false
}

// passed is farther than any node travels, mm.
const passed = 1e9

// withdraw takes the plug away and frees what it still holds.
func (s *sim) withdraw() {
	if !s.plugged {
		return
	}
	s.plugged = false
	for i := range s.nodes {
		if n := &s.nodes[i]; n.state == carried {
			n.state, n.v, n.slack = free, geom.Vec3{}, 0
		}
	}
}
