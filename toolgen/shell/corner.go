package shell

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// corners returns where the trim line turns.
func corners(o *outline.Outline) []geom.Vec2 {
	var out []geom.Vec2
	for _, l := range o.Loops {
		for i := l[0]; i < l[1]; i++ {
			j := i + 1
			if j == l[1] {
				j = l[0]
			}
			// The directions outward just before and after the joint tell a corner.
			if o.Elems[i].Out(1).Cross(o.Elems[j].Out(0)) != 0 {
				out = append(out, o.Elems[i].B)
			}
		}
	}
	return out
}

// pin makes a point of the plan a vertex: it moves one that is close, or splits the edge or the
// triangle it lies on.
func (c *trimmer) pin(p geom.Vec2) {
	s := c.s
	for k := range s.tri {
		t := s.tri[k]
		var far [3]float64 // from the sides, inward positive
		least, side := math.Inf(1), 0
		turn := 0.0
		for e := range 3 {
			a, b := s.v[t[e]].Plan(), s.v[t[(e+1)%3]].Plan()
			far[e] = b.Sub(a).Unit().Cross(p.Sub(a))
			turn += a.Cross(b)
		}
		for e := range 3 {
			if turn < 0 {
				far[e] = -far[e]
			}
			if far[e] < least {
				least, side = far[e], e
			}
		}
		if least < -1e-9 {
			continue
		}
		for _, i := range t {
			if s.v[i].Plan().Sub(p).Norm() < snap {
				s.v[i] = s.level(p.At(s.v[i].Z), s.fit[i])
				return
			}
		}
		if least < snap {
			c.pinEdge(t[side], t[(side+1)%3], p)
			return
		}
		n := s.spin(t)
		if n.Z == 0 {
			continue
		}
		d := p.Sub(s.v[t[0]].Plan())
		fit := s.fit[t[0]] && s.fit[t[1]] && s.fit[t[2]]
		wall := (s.wall[t[0]] + s.wall[t[1]] + s.wall[t[2]]) / 3
		v := c.add(s.level(p.At(s.v[t[0]].Z-(n.X*d.X+n.Y*d.Y)/n.Z), fit), wall, fit)
		s.tri[k] = [3]int32{t[0], t[1], v}
		s.tri = append(s.tri, [3]int32{t[1], t[2], v}, [3]int32{t[2], t[0], v})
		s.from = append(s.from, s.from[k], s.from[k])
		return
	}
}

// pinEdge splits the edge between i and j at its point nearest to p, and moves that on to p.
func (c *trimmer) pinEdge(i, j int32, p geom.Vec2) {
	s := c.s
	a, d := s.v[i].Plan(), s.v[j].Plan().Sub(s.v[i].Plan())
	u := p.Sub(a).Dot(d) / d.Dot(d)
	fit := s.fit[i] && s.fit[j]
	z := s.v[i].Z + u*(s.v[j].Z-s.v[i].Z)
	s.divide(map[[2]int32]int32{edgeOf(i, j): c.add(s.level(p.At(z), fit), s.wall[i]+u*(s.wall[j]-s.wall[i]), fit)})
}

func edgeOf(i, j int32) [2]int32 { return [2]int32{min(i, j), max(i, j)} }

// mostSplits bounds the rounds in which edges are divided that the trim line crosses twice.
const mostSplits = 8

// split divides edges whose ends lie on one side of the trim line and that reach over it in between,
// as at a sharp corner; false when there is none.
func (c *trimmer) split() bool {
	s := c.s
	halves := map[[2]int32]int32{}
	for _, t := range s.tri {
		for e, i := range t {
			j := t[(e+1)%3]
			if c.d[i]*c.d[j] <= 0 {
				continue
			}
			long := s.v[j].Sub(s.v[i]).Norm()
			if math.Abs(c.d[i])+math.Abs(c.d[j]) > long || long < 4*snap {
				continue
			}
			if _, ok := halves[edgeOf(i, j)]; ok {
				continue
			}
			u, ok := c.crossed(i, j)
			if !ok {
				continue
			}
			fit := s.fit[i] && s.fit[j]
			p := s.v[i].Add(s.v[j].Sub(s.v[i]).Scale(u))
			v := c.add(s.level(p, fit), s.wall[i]+u*(s.wall[j]-s.wall[i]), fit)
			c.d[v] = s.in.Trim.At(p.Plan()).D
			halves[edgeOf(i, j)] = v
		}
	}
	if len(halves) == 0 {
		return false
	}
	s.divide(halves)
	return true
}

// crossed returns where between two points on one side of the trim line lies one on the other: by
// halves, since the distance to the line changes by no more than one goes along.
func (c *trimmer) crossed(i, j int32) (u float64, ok bool) {
	a, d := c.s.v[i].Plan(), c.s.v[j].Plan().Sub(c.s.v[i].Plan())
	long := d.Norm()
	var look func(u0, u1 float64) bool
	look = func(u0, u1 float64) bool {
		u = (u0 + u1) / 2
		half := long * (u1 - u0) / 2
		f := c.s.in.Trim.At(a.Add(d.Scale(u))).D
		switch {
		case f*c.d[i] < 0:
			return true
		case math.Abs(f) > half || half < snap/4:
			return false
		}
		mid := u
		return look(u0, mid) || look(mid, u1)
	}
	ok = look(0, 1)
	return u, ok
}

// divide puts vertices into the middle of edges: a triangle with one falls in two, with two in
// three, with three in four.
func (s *maker) divide(mid map[[2]int32]int32) {
	for k, n := 0, len(s.tri); k < n; k++ {
		t := s.tri[k]
		var m [3]int32
		count := 0
		for e := range 3 {
			m[e] = -1
			if v, ok := mid[edgeOf(t[e], t[(e+1)%3])]; ok {
				m[e] = v
				count++
			}
		}
		if count == 0 {
			continue
		}
		// Turn it so that edge 0 has a vertex and, of two, edge 2 has none.
		for m[0] < 0 || count == 2 && m[2] >= 0 {
			t, m = [3]int32{t[1], t[2], t[0]}, [3]int32{m[1], m[2], m[0]}
		}
		var out [][3]int32
		switch count {
		case 1:
			out = [][3]int32{{t[0], m[0], t[2]}, {m[0], t[1], t[2]}}
		case 2:
			out = [][3]int32{{m[0], t[1], m[1]}, {t[0], m[0], m[1]}, {t[0], m[1], t[2]}}
		default:
			out = [][3]int32{{t[0], m[0], m[2]}, {m[0], t[1], m[1]}, {m[2], m[1], t[2]}, {m[0], m[1], m[2]}}
		}
		s.tri[k] = out[0]
		for _, o := range out[1:] {
			s.tri, s.from = append(s.tri, o), append(s.from, s.from[k])
		}
	}
}
