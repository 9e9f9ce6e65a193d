package shell

import (
	"fmt"
	"math"

	"platen/toolgen/flat"
	"platen/toolgen/geom"
)

const (
	// snap is how far a vertex beside the trim line is moved on to it, mm: closer ones would leave
	// slivers.
	snap = 0.05
	// chordOff is how far the cut edge may run off a rounded trim line, mm.
	chordOff = 0.005
	// levelEnough is the least slope of the sheet at the trim line, as the cosine against the level:
	// a knife that goes straight down cuts no steeper wall.
	levelEnough = 0.1
)

// trimmer cuts the contact side along the trim line.
type trimmer struct {
	s    *maker
	d    []float64 // by vertex: distance to the trim line, 0 on it
	cuts map[[2]int32]int32
}

// trim cuts the contact side along the trim line. Triangles are cut exactly there; corners of the
// line become vertices.
func (s *maker) trim() error {
	c := &trimmer{s: s, d: make([]float64, len(s.v)), cuts: map[[2]int32]int32{}}
	for _, p := range corners(s.in.Trim) {
		c.pin(p)
	}
	for _, h := range s.in.Holes { // one may lie within a triangle
		c.pin(h.Disc().Centre)
	}
	each(len(s.v), func(i int) { c.d[i] = s.in.Trim.At(s.v[i].Plan()).D })
	c.snap()
	for range mostSplits {
		if !c.split() {
			break
		}
	}
	var tri [][3]int32
	var from []int32
	for k, t := range s.tri {
		kept, err := c.cut(t)
		if err != nil {
			return err
		}
		tri = append(tri, kept...)
		for range kept {
			from = append(from, s.from[k])
		}
	}
	s.tri, s.from = tri, from
	return s.compact(c.d)
}

// snap moves vertices beside the trim line on to it.
func (c *trimmer) snap() {
	s := c.s
	for i, d := range c.d {
		if math.Abs(d) > snap {
			continue
		}
		p := s.v[i].Plan()
		for range faceSteps {
			f := s.in.Trim.At(p)
			p = p.Sub(f.G.Scale(f.D))
		}
		s.v[i] = s.level(p.At(s.v[i].Z), s.fit[i])
		c.d[i] = 0
	}
}

// level moves a point of the sheet that belongs on the face straight up or down on to it.
func (s *maker) level(p geom.Vec3, fit bool) geom.Vec3 {
	if !fit {
		return p
	}
	q := s.in.Map.Point(p)
	for range faceSteps {
		d, g, _ := s.in.Face(q)
		if g.Z < levelEnough {
			return p
		}
		q.Z -= d / g.Z
	}
	p.Z = s.in.Map.Back(q).Z
	return p
}

// cut returns what is left of a triangle.
func (c *trimmer) cut(t [3]int32) ([][3]int32, error) {
	in, out := 0, 0
	for _, i := range t {
		switch d := c.d[i]; {
		case d < 0:
			in++
		case d > 0:
			out++
		}
	}
	switch {
	case out == 0 && in > 0:
		return [][3]int32{t}, nil
	case in == 0 && out > 0:
		return nil, nil
	case in == 0: // all three on the line
		mid := c.s.v[t[0]].Add(c.s.v[t[1]]).Add(c.s.v[t[2]]).Scale(1.0 / 3)
		if c.s.in.Trim.At(mid.Plan()).D < 0 {
			return [][3]int32{t}, nil
		}
		return nil, nil
	}
	var ring []int32
	for k, i := range t {
		j := t[(k+1)%3]
		if c.d[i] <= 0 {
			ring = append(ring, i)
		}
		if c.d[i]*c.d[j] < 0 {
			ring = append(ring, c.meet(i, j))
		}
	}
	return c.fill(t, ring)
}

// meet returns the vertex where the edge between i and j crosses the trim line.
func (c *trimmer) meet(i, j int32) int32 {
	key := [2]int32{min(i, j), max(i, j)}
	if v, ok := c.cuts[key]; ok {
		return v
	}
	s := c.s
	i, j = key[0], key[1]
	lo, hi := 0.0, 1.0
	at := func(u float64) geom.Vec3 { return s.v[i].Add(s.v[j].Sub(s.v[i]).Scale(u)) }
	for range 60 {
		mid := (lo + hi) / 2
		if (s.in.Trim.At(at(mid).Plan()).D < 0) == (c.d[i] < 0) {
			lo = mid
		} else {
			hi = mid
		}
	}
	v := c.add(at(lo), s.wall[i]+(s.wall[j]-s.wall[i])*lo, s.fit[i] && s.fit[j])
	c.cuts[key] = v
	return v
}

func (c *trimmer) add(p geom.Vec3, wall float64, fit bool) int32 {
	s := c.s
	s.v, s.wall, s.fit, c.d = append(s.v, p), append(s.wall, wall), append(s.fit, fit), append(c.d, 0)
	return int32(len(s.v) - 1)
}

// fill puts the trim line's own points between the two places where it leaves the ring, and cuts what
// is left of the triangle into triangles.
func (c *trimmer) fill(t [3]int32, ring []int32) ([][3]int32, error) {
	s := c.s
	n := s.v[t[1]].Sub(s.v[t[0]]).Cross(s.v[t[2]].Sub(s.v[t[0]]))
	if !(n.Dot(s.up()) > levelEnough*n.Norm()) {
		return nil, &ShapeError{s.v[t[0]], "the sheet stands too steep to be trimmed"}
	}
	var full []int32
	for k, i := range ring {
		full = append(full, i)
		if j := ring[(k+1)%len(ring)]; c.d[i] == 0 && c.d[j] == 0 {
			full = append(full, c.along(t, n, i, j)...)
		}
	}
	if len(full) == 3 {
		return [][3]int32{{full[0], full[1], full[2]}}, nil
	}
	if out, err := c.triangulate(full); err == nil {
		return out, nil
	}
	out, err := c.triangulate(ring) // a line point that lies on a side of the triangle
	if err != nil {
		return nil, &ShapeError{s.v[t[0]], fmt.Sprintf("the trim line can not be cut: %v", err)}
	}
	return out, nil
}

// triangulate cuts a polygon of vertices into triangles, in plan.
func (c *trimmer) triangulate(ring []int32) ([][3]int32, error) {
	pts := make([]geom.Vec2, len(ring))
	edges := make([][2]int32, len(ring))
	for k, i := range ring {
		pts[k] = c.s.v[i].Plan()
		if c.s.in.Map.Over { // seen from the free side
			pts[k].Y = -pts[k].Y
		}
		edges[k] = [2]int32{int32(k), int32((k + 1) % len(ring))}
	}
	tris, err := flat.Triangulate(pts, edges)
	for k, t := range tris {
		tris[k] = [3]int32{ring[t[0]], ring[t[1]], ring[t[2]]}
	}
	return tris, err
}

// along returns new vertices on the trim line between i and j, where a straight cut would leave it.
func (c *trimmer) along(t [3]int32, n geom.Vec3, i, j int32) []int32 {
	s := c.s
	a, b := s.v[i].Plan(), s.v[j].Plan()
	o := s.v[t[0]]
	wall := (s.wall[i] + s.wall[j]) / 2
	var out []int32
	for _, p := range c.bow(a, b) {
		d := p.Sub(o.Plan())
		q := p.At(o.Z - (n.X*d.X+n.Y*d.Y)/n.Z)
		fit := s.fit[i] && s.fit[j]
		out = append(out, c.add(s.level(q, fit), wall, fit))
	}
	return out
}

// bow returns points of the trim line between a and b, both on it, so that chords miss it by less
// than chordOff.
func (c *trimmer) bow(a, b geom.Vec2) []geom.Vec2 {
	if b.Sub(a).Norm() < 4*snap {
		return nil
	}
	p := a.Add(b).Scale(0.5)
	f := c.s.in.Trim.At(p)
	if math.Abs(f.D) <= chordOff {
		return nil
	}
	for range faceSteps {
		p = p.Sub(f.G.Scale(f.D))
		f = c.s.in.Trim.At(p)
	}
	return append(append(c.bow(a, p), p), c.bow(p, b)...)
}

// compact drops vertices no triangle uses and finds the cut edge, which must lie on the trim line.
func (s *maker) compact(d []float64) error {
	if len(s.tri) == 0 {
		return &ShapeError{s.in.Trim.Bounds().Centre().At(0), "no sheet lies within the trim line"}
	}
	to := make([]int32, len(s.v))
	for _, t := range s.tri {
		for _, i := range t {
			to[i] = 1
		}
	}
	n := int32(0)
	for i := range s.v {
		if to[i] == 0 {
			continue
		}
		s.v[n], s.wall[n], s.fit[n], d[n] = s.v[i], s.wall[i], s.fit[i], d[i]
		to[i] = n
		n++
	}
	s.v, s.wall, s.fit = s.v[:n], s.wall[:n], s.fit[:n]
	for k := range s.tri {
		for c := range 3 {
			s.tri[k][c] = to[s.tri[k][c]]
		}
	}
	s.table()
	s.rim = make([]bool, n)
	for k, t := range s.tri {
		for c, i := range t {
			j := t[(c+1)%3]
			if s.twin(int32(k), i, j) {
				continue
			}
			if d[i] != 0 || d[j] != 0 {
				return &ShapeError{s.v[i], "the sheet ends before the trim line"}
			}
			s.edge = append(s.edge, [2]int32{i, j})
			s.rim[i], s.rim[j] = true, true
		}
	}
	return nil
}

// table lists the triangles around every vertex.
func (s *maker) table() {
	s.first = make([]int32, len(s.v)+1)
	for _, t := range s.tri {
		for _, i := range t {
			s.first[i+1]++
		}
	}
	for i := range s.v {
		s.first[i+1] += s.first[i]
	}
	fill := append([]int32(nil), s.first[:len(s.v)]...)
	s.around = make([]int32, 3*len(s.tri))
	for k, t := range s.tri {
		for _, i := range t {
			s.around[fill[i]] = int32(k)
			fill[i]++
		}
	}
}

// twin reports whether another triangle has the edge from i to j.
func (s *maker) twin(k, i, j int32) bool {
	for _, o := range s.around[s.first[i]:s.first[i+1]] {
		if o == k {
			continue
		}
		for _, m := range s.tri[o] {
			if m == j {
				return true
			}
		}
	}
	return false
}
