package contour

import (
	"math"

	"platen/toolgen/geom"
)

// ref names a leaf: root cell and node.
type ref struct{ root, node int32 }

// found is a leaf met by locate.
type found struct {
	ref
	cell
}

// locate returns the leaf that holds the unit cell at (x, y, z).
func (r *run) locate(x, y, z int32) (found, bool) {
	l := &r.l
	if x < 0 || y < 0 || z < 0 {
		return found{}, false
	}
	rx, ry, rz := x>>l.shift, y>>l.shift, z>>l.shift
	if rx >= l.n[0] || ry >= l.n[1] || rz >= l.n[2] {
		return found{}, false
	}
	root := (rx*l.n[1]+ry)*l.n[2] + rz
	c := cell{rx << l.shift, ry << l.shift, rz << l.shift, 1 << l.shift}
	nodes, n := r.trees[root].nodes, int32(0)
	for nodes[n].kid != 0 {
		h := c.s / 2
		i := int32(0)
		if x >= c.x+h {
			i, c.x = 1, c.x+h
		}
		if y >= c.y+h {
			i, c.y = i+2, c.y+h
		}
		if z >= c.z+h {
			i, c.z = i+4, c.z+h
		}
		c.s, n = h, nodes[n].kid+i
	}
	return found{ref{root, n}, c}, true
}

// polygon is the dual face of a lattice edge: three or four leaves.
type polygon struct {
	n int8
	f [4]found
}

// dual builds the triangles of the contour and the vertices of the surface; bad lists the cells that
// were asked for a vertex though they saw no surface, as long as they may be built again.
func (r *run) dual() (tris [][3]int32, bad []*Unresolved, err error) {
	polys := make([][]polygon, len(r.trees))
	err = r.each(len(r.trees), 1, func(_ *probe, lo, hi int) {
		for i := lo; i < hi; i++ {
			for _, c := range r.trees[i].cells {
				polys[i] = r.faces(polys[i], ref{int32(i), c.node}, c)
			}
		}
	})
	if err != nil {
		return nil, nil, err
	}
	all, asked, err := r.number(polys)
	if err != nil {
		return nil, nil, err
	}
	if len(asked) > 0 && r.rep.Rounds < maxRounds {
		return nil, asked, nil
	}
	parts := make([][][3]int32, (len(all)+dualChunk-1)/dualChunk)
	err = r.each(len(all), dualChunk, func(p *probe, lo, hi int) {
		var ts [][3]int32
		for _, f := range all[lo:hi] {
			ts = r.cut(p, ts, f)
		}
		parts[lo/dualChunk] = ts
	})
	if err != nil {
		return nil, nil, err
	}
	for _, ts := range parts {
		tris = append(tris, ts...)
	}
	r.rep.Raw = len(tris)
	return tris, nil, nil
}

const dualChunk = 1024

// faces appends the polygons of those edges of a leaf that change sign and that no smaller leaf
// shares; of leaves equal in size the first of the four owns the edge.
func (r *run) faces(ps []polygon, me ref, c placed) []polygon {
	for e, ends := range cubeEdges {
		in := c.mask>>ends[0]&1 == 1
		if in == (c.mask>>ends[1]&1 == 1) {
			continue
		}
		axis := e / 4
		o := [3]int32{c.x, c.y, c.z}
		for k := range 3 {
			if ends[0]>>k&1 == 1 {
				o[k] += c.s
			}
		}
		o[axis] += c.s / 2
		u, w := (axis+1)%3, (axis+2)%3
		var f polygon
		owner, ok := false, true
		for k := range 4 {
			q := o
			if k == 0 || k == 3 {
				q[u]--
			}
			if k < 2 {
				q[w]--
			}
			at, in := r.locate(q[0], q[1], q[2])
			if !in || at.s < c.s {
				ok = false
				break
			}
			if at.s == c.s && !owner {
				if at.ref != me {
					ok = false
					break
				}
				owner = true
			}
			if f.n == 0 || (f.f[f.n-1].ref != at.ref && f.f[0].ref != at.ref) {
				f.f[f.n] = at
				f.n++
			}
		}
		if !ok || f.n < 3 {
			continue
		}
		if !in { // material lies at the far end: turn the polygon to face the air
			f.f[0], f.f[f.n-1] = f.f[f.n-1], f.f[0]
			if f.n == 4 {
				f.f[1], f.f[2] = f.f[2], f.f[1]
			}
		}
		ps = append(ps, f)
	}
	return ps
}

// indexed is a polygon by vertices.
type indexed struct {
	n int8
	v [4]int32
}

// number collects the vertices of all leaves in order, giving one on demand to a leaf that saw no
// sign change itself, and returns the polygons by vertex and the leaves that were asked.
func (r *run) number(polys [][]polygon) (all []indexed, blind []*Unresolved, err error) {
	r.s = &surf{}
	p := newProbe(r.f)
	base := make([]int32, len(r.trees))
	for i, t := range r.trees {
		base[i] = int32(len(r.s.p))
		for _, c := range t.cells {
			r.s.lock[r.addVertex(c.v)] = r.l.edge(c.cell)
		}
	}
	r.rep.OnDemand = 0
	asked := map[ref]int32{}
	for _, ps := range polys {
		if err := r.ctx.Err(); err != nil {
			return nil, nil, err
		}
		for _, f := range ps {
			q := indexed{n: f.n}
			for k := range f.n {
				at := f.f[k]
				if i := r.trees[at.root].nodes[at.node].vert; i >= 0 {
					q.v[k] = base[at.root] + i
					continue
				}
				i, ok := asked[at.ref]
				if !ok {
					box := r.l.box(at.cell)
					x, _ := p.project(box.Centre())
					x = clamp(x, box)
					s := p.at(x)
					i = r.addVertex(vertex{x, s.G, s.Piece})
					r.s.lock[i] = r.l.edge(at.cell)
					asked[at.ref] = i
					r.rep.OnDemand++
					blind = append(blind, &Unresolved{What: "the surface runs through a cell that sees none", At: box.Centre()})
				}
				q.v[k] = i
			}
			all = append(all, q)
		}
	}
	r.evals.Add(p.n)
	return all, blind, nil
}

// levelSlack is how far off its level a vertex may lie to be set on it, mm: rounding only.
const levelSlack = 1e-6

// addVertex appends a vertex, bitwise on its level plane if it lies on one.
func (r *run) addVertex(v vertex) int32 {
	k := r.f.levelOf(v.id)
	if k != off && math.Abs(v.p.Z-r.f.z[k]) <= levelSlack {
		v.p.Z = r.f.z[k]
	} else {
		k = off
	}
	return r.s.add(v.p, v.g, k)
}

// cut appends the triangles of a polygon. Of a quad's diagonals the one that gives two triangles
// facing the air wins, then the one whose middle lies nearer to the surface.
func (r *run) cut(p *probe, ts [][3]int32, f indexed) [][3]int32 {
	v := f.v
	if f.n == 3 {
		return append(ts, [3]int32{v[0], v[1], v[2]})
	}
	a := [2][3]int32{{v[0], v[1], v[2]}, {v[0], v[2], v[3]}}
	b := [2][3]int32{{v[1], v[2], v[3]}, {v[1], v[3], v[0]}}
	fa, fb := r.s.facing(a[0])+r.s.facing(a[1]), r.s.facing(b[0])+r.s.facing(b[1])
	if fa == fb {
		l := r.s.lev[v[0]]
		if l != off && l == r.s.lev[v[1]] && l == r.s.lev[v[2]] && l == r.s.lev[v[3]] {
			return append(ts, a[0], a[1])
		}
		mid := func(i, j int32) float64 { return math.Abs(p.at(r.s.p[i].Add(r.s.p[j]).Scale(0.5)).D) }
		if mid(v[1], v[3]) < mid(v[0], v[2]) {
			fb++
		}
	}
	if fb > fa {
		return append(ts, b[0], b[1])
	}
	return append(ts, a[0], a[1])
}

// facing returns 1 for a triangle whose normal agrees with the mean gradient of its corners.
func (s *surf) facing(t [3]int32) int {
	if s.cross(t).Dot(s.mean(t)) > 0 {
		return 1
	}
	return 0
}

// stands reports whether a triangle stands up from the surface, by the mean gradient of its corners.
func (s *surf) stands(t [3]int32) bool {
	n := s.cross(t)
	return !(n.Dot(s.mean(t)) >= facingLeast*n.Norm())
}

// mean returns the mean gradient of the corners, a unit vector.
func (s *surf) mean(t [3]int32) geom.Vec3 {
	return s.g[t[0]].Add(s.g[t[1]]).Add(s.g[t[2]]).Unit()
}

// cross returns the normal of a triangle, twice its area long.
func (s *surf) cross(t [3]int32) geom.Vec3 {
	return s.p[t[1]].Sub(s.p[t[0]]).Cross(s.p[t[2]].Sub(s.p[t[0]]))
}
