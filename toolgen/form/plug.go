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
	size := s.set.Frame.Size()
	steps := max(s.opt.Raise, int(stepsAcross*min(size.X, size.Y)/s.opt.Mesh)) // the sheet must follow it
	for k := range steps + steps/4 {                                           // the last of them for the sheet to come to rest
		down := s.set.Plug.Travel * min(1, float64(k+1)/float64(steps))
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
	if s.set.Plug.Slip {
		s.slide(i, d, dir)
		return false
	}
	s.at[i] = s.at[i].Sub(dir.Scale(d))
	n.slack = 0 // it was moved: ask the tool anew
	n.state, n.v, n.plug = carried, dir, 0
	return true
}

// slide keeps a free node on the outside of the plug: it loses what speed it has into it.
func (s *sim) slide(i int32, d float64, dir geom.Vec3) {
	n := &s.nodes[i]
	s.at[i] = s.at[i].Sub(dir.Scale(d))
	n.slack = 0 // it was moved: ask the tool anew
	if into := n.v.Dot(dir); into < 0 {
		n.v = n.v.Sub(dir.Scale(into))
	}
	n.plug = 0
}

// cutsPlug reports whether the middle of an edge of the squared length l2 lies too deep in the plug.
func (s *sim) cutsPlug(a, b int32, l2 float64) bool {
	if r := s.nodes[a].plug + s.nodes[b].plug; r > 0 && r*r >= l2 {
		return false
	}
	d, _ := s.off(s.at[a].Add(s.at[b]).Scale(0.5))
	return d < -depth/2
}

// onPlug reports whether a triangle hugs the plug: there it may stand steep.
func (s *sim) onPlug(t *triangle) bool {
	if !s.plugged {
		return false
	}
	d, _ := s.off(s.at[t.n[0]].Add(s.at[t.n[1]]).Add(s.at[t.n[2]]).Scale(1.0 / 3))
	return d < webClear
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

// beside returns where the new node between two lies once it is out of the plug, whose edge may lie between
// them, and has it carried with both.
func (s *sim) beside(n, a, b *node, at geom.Vec3) geom.Vec3 {
	if a.plug > passed/2 && b.plug > passed/2 {
		n.plug = passed
		return at
	}
	held := a.state == carried && b.state == carried
	if !held && !s.set.Plug.Slip {
		return at // the next step lands it on the plug
	}
	in, away := s.off(at)
	if held {
		n.state, n.v = carried, away
	}
	return at.Sub(away.Scale(min(0, in)))
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
