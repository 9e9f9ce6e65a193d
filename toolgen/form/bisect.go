package form

// bisect splits a triangle at the middle of its edge 0, and its neighbour there too. A neighbour
// whose own edge 0 is another is split first, so the mesh stays matched at all times; that neighbour
// is never split more often than the triangle that asks, so this ends.
//
// SOURCE: newest-vertex bisection: W. F. Mitchell, A comparison of adaptive refinement techniques
// for elliptic problems, ACM TOMS 15, 1989 (from memory, unverified).
func (s *sim) bisect(t int32) {
	o := s.tris[t].next[0]
	if o >= 0 && s.tris[o].next[0] != t {
		s.bisect(o)
		o = s.tris[t].next[0]
	}
	m := s.middle(s.tris[t].n[0], s.tris[t].n[1], o < 0)
	t2 := s.halve(t, m)
	if o < 0 {
		return
	}
	// The neighbour runs the other way: its first half lies across our second.
	o2 := s.halve(o, m)
	s.tris[t].next[1], s.tris[o2].next[2] = o2, t
	s.tris[t2].next[2], s.tris[o].next[1] = o, t2
}

// halve splits triangle (a, b, c) at m on edge a-b into (c, a, m), which keeps its index, and
// (b, c, m), whose index it returns. What lies across a-m and m-b is left open.
func (s *sim) halve(t, m int32) int32 {
	old := s.tris[t]
	t2 := int32(len(s.tris))
	a, b, c := old.n[0], old.n[1], old.n[2]
	level := old.level + 1
	s.tris[t] = triangle{n: [3]int32{c, a, m}, next: [3]int32{old.next[2], -1, t2}, parent: old.parent, level: level, listed: true, sound: old.sound >> 2 & 1}
	s.tris = append(s.tris, triangle{n: [3]int32{b, c, m}, next: [3]int32{old.next[1], t, -1}, parent: t, level: level, listed: true, sound: old.sound >> 1 & 1})
	if o := old.next[1]; o >= 0 {
		for i := range s.tris[o].next {
			if s.tris[o].next[i] == t {
				s.tris[o].next[i] = t2
			}
		}
	}
	if !old.listed {
		s.active = append(s.active, t)
	}
	s.active = append(s.active, t2)
	return t2
}

// near is how far off the tool the middle of two landed nodes is put on to it, mm; farther off it is
// set free to travel on.
const near = 0.2

// middle adds the node halfway between a and b. It keeps the stretch of the sheet; inside the tool,
// or close to it between two landed nodes, it lands at once.
func (s *sim) middle(a, b int32, atFrame bool) int32 {
	na, nb := &s.nodes[a], &s.nodes[b]
	flat := s.flat[a].Add(s.flat[b]).Scale(0.5)
	at := s.at[a].Add(s.at[b]).Scale(0.5)
	if atFrame {
		return s.add(flat, at, node{state: clamped})
	}
	if s.laying {
		return s.add(flat, at, node{state: free})
	}
	n := node{v: na.v.Add(nb.v).Scale(0.5), f: na.f.Add(nb.f).Scale(0.5), m: (na.m + nb.m) / 2}
	if s.plugged {
		at = s.beside(&n, na, nb, at)
	}
	d, dir, off := s.distance(at)
	n.slack = d
	held := na.state == stuck && nb.state == stuck
	if d > touching && !(held && d <= near) {
		return s.add(flat, at, n)
	}
	n = node{state: stuck, off: off}
	m := s.add(flat, s.settle(at, d, dir), n)
	s.rests[m] = rest{s.step, s.pressure}
	if held { // the sheet landed here between them, no later than they did
		s.rests[m] = s.rests[a]
		if s.rests[b].step > s.rests[a].step {
			s.rests[m] = s.rests[b]
		}
	}
	return m
}
