package form

import (
	"math"
	"slices"

	"platen/toolgen/geom"
)

const (
	refineEvery = 25   // steps between rebuilds
	landedShare = 0.05 // share of the free nodes that have landed, over which a rebuild comes early
	depth       = 0.2  // mm an edge's middle may lie inside the tool
	shortest    = 0.5  // edges are split for depth down to this share of Options.Least
	mostLevels  = 14   // most bisections for depth
)

// mark is a triangle to split, and how often it had been split when marked.
type mark struct {
	tri   int32
	level int8
}

// refine splits what is too coarse and rebuilds the lists of what is active.
func (s *sim) refine() {
	s.marks = sized(s.marks, len(s.active))
	s.crew.run((len(s.active)+markChunk-1)/markChunk, s.markOn)
	s.looks++
	s.split = s.split[:0]
	for k, m := range s.marks {
		if m&splitMark != 0 {
			s.split = append(s.split, mark{s.active[k], s.tris[s.active[k]].level})
		}
		s.tris[s.active[k]].sound |= m & soundMask
	}
	listed, known := len(s.active), int32(len(s.tris))
	for _, m := range s.split {
		// One that had to give way to a neighbour has been split already.
		if s.tris[m.tri].level == m.level {
			s.bisect(m.tri)
		}
	}
	s.order(listed, known)
	s.rebuild()
}

// order moves the triangles that a refinement added to the active ones next to those they came from,
// so that what lies side by side in the sheet does so in memory.
func (s *sim) order(listed int, known int32) {
	fresh := s.active[listed:]
	if len(fresh) == 0 {
		return
	}
	for len(s.place) < len(s.tris) {
		s.place = append(s.place, -1)
	}
	old := append(s.old[:0], s.active[:listed]...)
	s.old = old
	for k, t := range old {
		s.place[t] = int32(k)
	}
	// Key: where the origin stands, then the number.
	keys := make([]uint64, len(fresh))
	for k, t := range fresh {
		o := t
		for o >= known {
			o = s.tris[o].parent
		}
		at := s.place[o]
		if at < 0 {
			at = int32(listed)
		}
		keys[k] = uint64(at)<<32 | uint64(t)
	}
	slices.Sort(keys)
	for _, t := range old {
		s.place[t] = -1
	}
	merged := s.active[:0]
	next := 0
	for k, t := range old {
		merged = append(merged, t)
		for ; next < len(keys) && keys[next]>>32 == uint64(k); next++ {
			merged = append(merged, int32(keys[next]&math.MaxUint32))
		}
	}
	for ; next < len(keys); next++ {
		merged = append(merged, int32(keys[next]&math.MaxUint32))
	}
	s.active = merged
}

// What coarse says of a triangle: to be split, and which landed edges are sound.
const (
	soundMask = 1<<3 - 1
	splitMark = 1 << 3
	markChunk = 512
)

func (s *sim) markOn(chunk int) {
	for k := chunk * markChunk; k < min((chunk+1)*markChunk, len(s.active)); k++ {
		s.marks[k] = s.coarse(s.active[k])
	}
}

// coarse looks whether a triangle is too large for the bubble it is part of, whose radius is of the
// order of tension over pressure, or runs through the tool.
func (s *sim) coarse(k int32) (m uint8) {
	t := &s.tris[k]
	a, b, c := s.at[t.n[0]], s.at[t.n[1]], s.at[t.n[2]]
	u, v := b.Sub(a), c.Sub(a)
	w := c.Sub(b)
	edge2 := max(u.Dot(u), v.Dot(v), w.Dot(w))
	if least := s.opt.Least * shortest; edge2 <= least*least {
		return 0
	}
	edge := math.Sqrt(edge2)
	if s.squares > 0 && s.hasFree(t) && s.wide(k) {
		if far, beside := s.farther(t, edge, edge); !far && !beside {
			return splitMark
		}
	}
	if int(t.level) < s.opt.Levels && s.pressure > 0 && edge > s.opt.Least && s.hasFree(t) && !s.webs(t) {
		j := u.Cross(v).Norm() / (2 * s.flatArea(t))
		if edge > s.opt.Alpha*s.set.Law.reach(s.set.Gauge, j)/s.pressure {
			// Platen and walls have sharp corners that no sheet fills, and nobody asks for the wall there.
			if far, beside := s.farther(t, s.opt.Gap*edge, edge); far && !beside {
				return splitMark
			}
		}
	}
	if t.level >= mostLevels {
		return 0
	}
	for i, p := range [...]geom.Vec3{u, w, v} {
		pierced, sound := s.look(k, i, p.Dot(p))
		if pierced {
			return m | splitMark
		}
		if sound {
			m |= 1 << i
		}
	}
	return m
}

// webs reports whether a corner of the triangle is webbing: finer triangles would only fold finer.
func (s *sim) webs(t *triangle) bool {
	return s.nodes[t.n[0]].state == web || s.nodes[t.n[1]].state == web || s.nodes[t.n[2]].state == web
}

// lookEvery is how many refinements lie between looks at an edge that has not landed.
const lookEvery = 4

// look measures whether the middle of edge i of triangle k, of the squared length l2, lies too deep
// in the tool; sound edges need no further look. Of two triangles that share an edge one looks. An
// edge that the clear balls around its ends cover is not looked at.
func (s *sim) look(k int32, i int, l2 float64) (pierced, sound bool) {
	t := &s.tris[k]
	if o := t.next[i]; t.sound>>i&1 != 0 || o >= 0 && o < k && s.tris[o].listed {
		return false, false
	}
	a, b := t.n[i], t.n[(i+1)%3]
	if s.plugged && s.cutsPlug(a, b, l2) {
		return true, false
	}
	held := !s.nodes[a].state.loose() && !s.nodes[b].state.loose()
	if !held && s.looks%lookEvery != 0 {
		return false, false
	}
	if r := s.clearance(a) + s.clearance(b); r > 0 && r*r >= l2 {
		return false, false
	}
	d, _, _ := s.distance(s.at[a].Add(s.at[b]).Scale(0.5))
	return d < -depth, held
}

// clearance returns the radius of the ball around a node that is known to hold no tool.
func (s *sim) clearance(i int32) float64 {
	if n := &s.nodes[i]; n.state == free {
		return max(0, n.slack)
	}
	return 0
}

// rebuild lists the active triangles and moving nodes, refreshes the masses and tables the corners
// of every moving node. Who numbers the nodes goes through the triangles one by one; the others make the
// elements meanwhile.
func (s *sim) rebuild() {
	chunks := (len(s.active) + markChunk - 1) / markChunk
	s.kept = sized(s.kept, chunks+1)
	s.crew.run(chunks, s.listOn)
	n := int32(0)
	for k, c := range s.kept[:chunks] {
		s.kept[k], n = n, n+c
	}
	s.hot, s.push, s.old = sized(s.hot, int(n)), sized(s.push, 3*int(n)), sized(s.old, int(n))
	s.crew.run(chunks+1, func(chunk int) {
		if chunk == 0 {
			s.number()
			return
		}
		s.elementsOn(chunk - 1)
	})
	s.active, s.old = s.old, s.active
	s.crew.run((len(s.moving)+nodeChunk-1)/nodeChunk, s.weighOn)
	s.sums = sized(s.sums, (len(s.moving)+nodeChunk-1)/nodeChunk)
}

// listOn finds which of a chunk of the active triangles stay active, and counts them.
func (s *sim) listOn(chunk int) {
	n := int32(0)
	for _, k := range s.active[chunk*markChunk : min((chunk+1)*markChunk, len(s.active))] {
		t := &s.tris[k]
		if t.listed = s.hasFree(t); t.listed {
			n++
		}
	}
	s.kept[chunk] = n
}

// elementsOn makes the elements of a chunk of the active triangles, and leaves the masses of their corners where
// their forces will be.
func (s *sim) elementsOn(chunk int) {
	at := s.kept[chunk]
	for _, k := range s.active[chunk*markChunk : min((chunk+1)*markChunk, len(s.active))] {
		t := &s.tris[k]
		if !t.listed {
			continue
		}
		e := newElement(t.n, s.flat[t.n[0]], s.flat[t.n[1]], s.flat[t.n[2]], s.set.Gauge)
		s.old[at], s.hot[at] = k, e
		m := s.push[3*at : 3*at+3]
		m[0].X, m[1].X, m[2].X = e.masses(&s.set.Law, s.set.Gauge, s.at[e.n[0]], s.at[e.n[1]], s.at[e.n[2]])
		at++
	}
}

// number numbers the moving nodes as they come, and lists for each where the forces on it are found.
func (s *sim) number() {
	for len(s.slot) < len(s.nodes) {
		s.slot = append(s.slot, -1)
	}
	s.moving, s.first = s.moving[:0], append(s.first[:0], 0)
	for _, k := range s.active {
		t := &s.tris[k]
		if !t.listed {
			continue
		}
		for _, i := range t.n {
			if j := s.slot[i]; j >= 0 {
				s.first[j+1]++
			} else if s.nodes[i].state.loose() {
				s.slot[i] = int32(len(s.moving))
				s.moving, s.first = append(s.moving, i), append(s.first, 1)
			}
		}
	}
	for k := range s.moving {
		s.first[k+1] += s.first[k]
	}
	s.corner = sized(s.corner, int(s.first[len(s.moving)]))
	c := int32(0)
	for _, k := range s.active {
		t := &s.tris[k]
		if !t.listed {
			continue
		}
		for _, i := range t.n {
			if j := s.slot[i]; j >= 0 {
				s.corner[s.first[j]] = c
				s.first[j]++
			}
			c++
		}
	}
	copy(s.first[1:], s.first[:len(s.moving)])
	s.first[0] = 0
}

// weighOn sums the masses of a chunk of the moving nodes.
func (s *sim) weighOn(chunk int) {
	for k := chunk * nodeChunk; k < min((chunk+1)*nodeChunk, len(s.moving)); k++ {
		i, m := s.moving[k], 0.0
		for _, c := range s.corner[s.first[k]:s.first[k+1]] {
			m += s.push[c].X
		}
		s.nodes[i].m, s.slot[i] = m, -1
	}
}

// sized returns a slice of n elements that reuses the memory of a.
func sized[T any](a []T, n int) []T {
	if cap(a) < n {
		return make([]T, n, n+n/4)
	}
	return a[:n]
}

// area returns the area of a triangle in space, mm2.
func (s *sim) area(t *triangle) float64 {
	a := s.at[t.n[0]]
	return s.at[t.n[1]].Sub(a).Cross(s.at[t.n[2]].Sub(a)).Norm() / 2
}

// flatArea returns the area of a triangle on the flat sheet, mm2.
func (s *sim) flatArea(t *triangle) float64 {
	a := s.flat[t.n[0]]
	return s.flat[t.n[1]].Sub(a).Cross(s.flat[t.n[2]].Sub(a)) / 2
}

// volume returns what a triangle adds to the volume between the sheet and the plane z = 0, mm3.
func (s *sim) volume(t *triangle) float64 {
	a, b, c := s.at[t.n[0]], s.at[t.n[1]], s.at[t.n[2]]
	return b.Sub(a).Cross(c.Sub(a)).Z * (a.Z + b.Z + c.Z) / 6
}
