package closing

import (
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// Section returns what the plane across the fold line at a, mm along it from Line.At, cuts of the closed
// shell, as edges with the sheet on the same side of all: x away from the line, y up from its height, base
// and lid apart. The beads, which bend, are left out.
func (c *Closed) Section(m *mesh.Mesh, a float64) (base, lid [][2]geom.Vec2) {
	f := frameOf(c.Line, c.AxisZ)
	for i, out := range []*[][2]geom.Vec2{&base, &lid} {
		h := newHalf(f, i == 1)
		h.take(m)
		for _, t := range h.tri {
			p, q, ok := section(t, a)
			if !ok {
				continue
			}
			n := t[1].Sub(t[0]).Cross(t[2].Sub(t[0]))
			if q.Sub(p).Left().Dot(geom.Vec2{X: n.Y, Y: n.Z}) > 0 {
				p, q = q, p
			}
			*out = append(*out, [2]geom.Vec2{p, q})
		}
		*out = beyond(*out, f.halfway)
	}
	return c.upright(base, false), c.upright(lid, true)
}

// upright turns edges of a half as it lies closed: the lid upside down, and up as in the part.
func (c *Closed) upright(es [][2]geom.Vec2, lid bool) [][2]geom.Vec2 {
	sign := frameOf(c.Line, c.AxisZ).rise
	if lid {
		sign = -sign
	}
	for i := range es {
		es[i][0].Y *= sign
		es[i][1].Y *= sign
	}
	return es
}

// beyond keeps what of closed curves lies beyond x and closes them there.
func beyond(es [][2]geom.Vec2, x float64) [][2]geom.Vec2 {
	var out [][2]geom.Vec2
	type end struct {
		y      float64
		leaves bool // the curve leaves what is kept
	}
	var ends []end
	for _, e := range es {
		in := [2]bool{e[0].X >= x, e[1].X >= x}
		if in[0] != in[1] {
			s := (x - e[0].X) / (e[1].X - e[0].X)
			p := geom.Vec2{X: x, Y: e[0].Y + s*(e[1].Y-e[0].Y)}
			ends = append(ends, end{p.Y, in[0]})
			if in[0] {
				e[1] = p
			} else {
				e[0] = p
			}
		}
		if in[0] || in[1] {
			out = append(out, e)
		}
	}
	slices.SortFunc(ends, func(a, b end) int {
		if a.y < b.y {
			return -1
		}
		return 1
	})
	for i := 0; i+1 < len(ends); i += 2 {
		a, b := geom.Vec2{X: x, Y: ends[i].y}, geom.Vec2{X: x, Y: ends[i+1].y}
		if !ends[i].leaves {
			a, b = b, a
		}
		out = append(out, [2]geom.Vec2{a, b})
	}
	return out
}

// SnapSection returns what a plane through the axis of a snap cuts of its button and of its socket as the
// pack closes: x across from the button's axis, y out of its flange; flange is shown so far round both.
func (s *Snap) SnapSection(gap, flange float64) (button, socket [][2]geom.Vec2) {
	if s.Faces[1].solid == nil {
		return nil, nil
	}
	miss := s.Miss.Norm()
	return s.Faces[0].outline(flange, func(p geom.Vec2) geom.Vec2 { return p }),
		s.Faces[1].outline(flange, func(p geom.Vec2) geom.Vec2 { return geom.Vec2{X: p.X + miss, Y: p.Y + gap} })
}

// outline returns the closed curve of a face and of the other side of its sheet, moved by to. Both halves
// of a snap have it the same way up: what is depth into a socket is height over the button's flange.
func (m meridian) outline(flange float64, to func(geom.Vec2) geom.Vec2) [][2]geom.Vec2 {
	if len(m.Rings) == 0 {
		return nil
	}
	r := m.Rings[0].Mean + flange
	side := 1.0 // of the other side of the sheet: below a button's face, above a socket's
	if m.End > 0 && m.Rings[0].Back.Y < m.Rings[0].H {
		side = -1
	}
	face := []geom.Vec2{{X: r}}
	back := []geom.Vec2{{X: r, Y: side * m.Land}}
	for _, g := range m.Rings {
		face = append(face, geom.Vec2{X: g.Mean, Y: g.H})
		back = append(back, g.Back)
	}
	face, back = append(face, geom.Vec2{Y: m.End}), append(back, geom.Vec2{Y: m.BackEnd})
	half := slices.Clone(face)
	slices.Reverse(back)
	half = append(half, back...)
	var out [][2]geom.Vec2
	for _, flip := range [...]float64{1, -1} {
		for i, p := range half {
			q := half[(i+1)%len(half)]
			a, b := to(geom.Vec2{X: flip * p.X, Y: p.Y}), to(geom.Vec2{X: flip * q.X, Y: q.Y})
			if flip < 0 {
				a, b = b, a
			}
			out = append(out, [2]geom.Vec2{a, b})
		}
	}
	return out
}
