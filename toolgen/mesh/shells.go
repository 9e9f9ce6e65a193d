package mesh

// survey gathers fans and shells while the edges of a mesh are run through.
type survey struct {
	m      *Mesh
	fans   sets    // over halves: corners of triangles joined across edges with two triangles
	shells sets    // over triangles
	edges  []int32 // by triangle: edges counted for its shell
	torn   []bool  // by triangle: has an edge that is open, crowded or flipped
	third  []int32 // scratch of edge
}

func newSurvey(m *Mesh) *survey {
	n := len(m.T)
	return &survey{m: m, fans: newSets(3 * n), shells: newSets(n), edges: make([]int32, n), torn: make([]bool, n)}
}

// edge judges one edge and joins its triangles.
func (s *survey) edge(a *Audit, near int32, uses []use) {
	m, first := s.m, uses[0]
	at := m.V[near].Add(m.V[first.far]).Scale(0.5)
	s.edges[first.triangle()]++
	for _, u := range uses[1:] {
		s.shells.join(int32(first.triangle()), int32(u.triangle()))
	}
	sane := false
	switch {
	case len(uses) == 1:
		a.Open.add(at)
	case len(uses) > 2:
		a.Crowded.add(at)
	default:
		n0, f0 := m.halves(first)
		n1, f1 := m.halves(uses[1])
		s.fans.join(n0, n1)
		s.fans.join(f0, f1)
		if sane = m.forward(first) != m.forward(uses[1]); !sane {
			a.Flipped.add(at)
		}
	}
	if !sane {
		for _, u := range uses {
			s.torn[u.triangle()] = true
		}
	}
	if len(uses) > 1 {
		s.doubles(a, uses)
	}
}

// doubles counts triangles that share all corners with an earlier one; each is met once, at the
// edge between its two smallest numbers.
func (s *survey) doubles(a *Audit, uses []use) {
	s.third = s.third[:0]
	for _, u := range uses {
		third := s.m.T[u.triangle()][(u.corner()+2)%3]
		if third < u.far {
			continue
		}
		for _, o := range s.third {
			if o == third {
				a.Duplicate.add(s.m.middle(u.triangle()))
				break
			}
		}
		s.third = append(s.third, third)
	}
}

// vertices judges the vertices: each should have one fan.
func (s *survey) vertices(a *Audit) {
	m := s.m
	fans := make([]int32, len(m.V))
	for t, c := range m.T {
		if !m.whole(t) {
			continue
		}
		for k, v := range c {
			if h := int32(3*t + k); s.fans.find(h) == h {
				fans[v]++
			}
		}
	}
	for v, n := range fans {
		switch {
		case n == 0:
			a.Unused.add(m.V[v])
		case n > 1:
			a.Pinched.add(m.V[v])
		}
	}
}

// measure lists the shells. The genus is from Euler's formula, V - E + F = 2 - 2 genus, with fans
// for vertices, so that shells that touch at a vertex each keep theirs.
func (s *survey) measure(a *Audit) {
	m := s.m
	index := make([]int32, len(m.T))
	var volumes, areas []total
	var euler []int
	var torn []bool
	o := a.Box.Centre()
	for t := range m.T {
		if !m.whole(t) {
			continue
		}
		root := s.shells.find(int32(t))
		if root == int32(t) {
			index[t] = int32(len(a.Shells))
			a.Shells = append(a.Shells, Shell{First: t})
			volumes, areas = append(volumes, total{}), append(areas, total{})
			euler, torn = append(euler, 0), append(torn, false)
		}
		i := index[root]
		a.Shells[i].Triangles++
		volumes[i].add(m.cone(t, o))
		areas[i].add(m.spin(t).Norm())
		euler[i] += 1 - int(s.edges[t])
		torn[i] = torn[i] || s.torn[t]
		for k := range 3 {
			if h := int32(3*t + k); s.fans.find(h) == h {
				euler[i]++
			}
		}
	}
	for i := range a.Shells {
		sh := &a.Shells[i]
		sh.Volume, sh.Area, sh.Genus = volumes[i].value()/6, areas[i].value()/2, 1-euler[i]/2
		if torn[i] {
			sh.Genus = -1 // nor is there an inside to hold a volume
		} else if !(sh.Volume > 0) {
			a.Inward.add(m.middle(sh.First))
		}
	}
}
