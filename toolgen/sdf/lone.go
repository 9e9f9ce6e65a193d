package sdf

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
)

// lone is the stretch of a cluster where one wall at most carries the balls, with the planes above
// and below it: a closed profile swept along the wall's outline, the same surface to rounding.
type lone struct {
	core    *core // as it was before: for points off the profile and for levels with several owners
	outline *outline.Outline
	loop    *outline.Chain // the outline's elements in reach; nil: all, and it has corners
	section *outline.Chain // the profile's elements in reach
	parts   []strip3
}

// strip3 is an element of the profile.
type strip3 struct {
	elem outline.Elem
	ids  [2]piece.ID // along straights, round corners
	ask  bool        // the piece is a level's of several owners
}

// sides finds what a lone stretch is made of: a plateau with a wall, its plane if it has one, and a
// plane of another plateau.
type sides struct {
	wall   *surface
	upper  int32 // plateau of the wall
	above  bool  // its plane counts
	lower  int32 // plateau of the plane below; -1: none
	fillet float64
}

func (c *core) sides() (sides, bool) {
	s := sides{upper: -1, lower: -1, fillet: c.groups[len(c.groups)-1].r}
	if len(c.plateaus) > 2 {
		return s, false
	}
	for i := range c.plateaus {
		switch pl := &c.plateaus[i]; {
		case len(pl.walls) > 1 || (len(pl.walls) == 1 && (s.wall != nil || pl.walls[0].clip)):
			return s, false
		case len(pl.walls) == 1:
			s.wall, s.upper, s.above = &pl.walls[0], int32(i), !math.IsInf(pl.z, 1)
		case s.lower >= 0:
			return s, false
		default:
			s.lower = int32(i)
		}
	}
	if s.wall != nil && s.lower >= 0 && s.above && c.plateaus[s.lower].z > c.plateaus[s.upper].z {
		return s, false
	}
	return s, true
}

// lone returns the core as a closed profile for the ball of radius rho about p, where the field is
// d; nil if it is none.
func (c *core) lone(p geom.Vec3, rho, d float64) *lone {
	s, ok := c.sides()
	if !ok {
		return nil
	}
	l := &lone{core: c}
	if s.wall == nil {
		l.outline = c.outlines[0]
		l.add(outline.Elem{A: geom.Vec2{X: 1, Y: c.plateaus[s.lower].z}, B: geom.Vec2{Y: c.plateaus[s.lower].z}}, c, s.lower, tag{tagLevel, s.lower}, tag{tagLevel, s.lower})
		l.section = outline.NewChain([]outline.Elem{l.parts[0].elem}, false)
		l.loop = outline.NewChain([]outline.Elem{{A: geom.Vec2{}, B: geom.Vec2{X: 1}}}, false)
		return l
	}
	l.outline, l.loop = c.outlines[s.wall.member], c.chains[s.wall.member]
	if !l.profile(c, s, p) {
		return nil
	}
	es := make([]outline.Elem, len(l.parts))
	for i := range es {
		es[i] = l.parts[i].elem
	}
	if l.section = outline.NewChain(es, false); l.section == nil {
		return nil
	}
	return l.reduced(p, rho, d)
}

func (l *lone) add(e outline.Elem, c *core, level int32, straight, corner tag) {
	q := geom.Vec3{}
	s := strip3{elem: e}
	if level >= 0 && len(c.plateaus[level].owners) > 1 {
		s.ask = true
	} else {
		s.ids = [2]piece.ID{c.piece(straight, q), c.piece(corner, q)}
	}
	l.parts = append(l.parts, s)
}

// profile fills in the elements, from outside inwards with the material on their left.
func (l *lone) profile(c *core, s sides, p geom.Vec3) bool {
	w := s.wall
	n := geom.Vec2{X: w.sd, Y: w.sz}
	along, level := n.Left(), geom.Vec2{X: -1}
	at := func(z float64) geom.Vec2 { return geom.Vec2{X: (w.off - w.sz*z) / w.sd, Y: z} }
	k := math.Abs(w.sd) / (1 + w.sz) // tangent length of a rounding of radius 1
	const none = -1
	// Along the way: a plane and its rounding, the wall, a rounding and its plane. From outside a sunk
	// wall is entered from its upper plane, a raised one from its lower.
	type end struct {
		level int32
		r     float64
		edge  bool
	}
	first, last := end{none, 0, true}, end{none, 0, false}
	if s.above {
		first = end{s.upper, c.plateaus[s.upper].r, true}
	}
	if s.lower >= 0 {
		last = end{s.lower, s.fillet, false}
	}
	if w.sd > 0 {
		first, last = last, first
	}
	a, b := at(p.Z).Sub(along), at(p.Z).Add(along)
	arc := func(e end, from, to, out geom.Vec2) outline.Elem {
		if e.edge {
			return outline.Elem{A: from, B: to, C: from.Sub(out.Scale(e.r)), R: e.r}
		}
		return outline.Elem{A: from, B: to, C: from.Add(out.Scale(e.r)), R: -e.r}
	}
	up := geom.Vec2{Y: 1}
	if first.level != none {
		v := at(c.plateaus[first.level].z)
		from, to := v.Sub(level.Scale(k*first.r)), v.Add(along.Scale(k*first.r))
		l.add(outline.Elem{A: from.Sub(level), B: from}, c, first.level, tag{tagLevel, first.level}, tag{tagLevel, first.level})
		l.round(c, w, first.level, first.edge, arc(first, from, to, up))
		a = to
	}
	wall := len(l.parts)
	if last.level != none {
		v := at(c.plateaus[last.level].z)
		b = v.Sub(along.Scale(k * last.r))
	}
	if last.level == none {
		b = a.Add(along)
	} else if first.level == none {
		a = b.Sub(along)
	}
	if b.Sub(a).Dot(along) < 1e-6 {
		return false // no wall left between the roundings
	}
	l.add(outline.Elem{A: a, B: b}, c, none, tag{tagWall, w.member}, tag{tagCorner, w.member})
	if last.level != none {
		v := at(c.plateaus[last.level].z)
		to := v.Add(level.Scale(k * last.r))
		l.round(c, w, last.level, last.edge, arc(last, b, to, n))
		l.add(outline.Elem{A: to, B: to.Add(level)}, c, last.level, tag{tagLevel, last.level}, tag{tagLevel, last.level})
	}
	return wall >= 0
}

// round adds a rounding between the wall and a level.
func (l *lone) round(c *core, w *surface, level int32, edge bool, e outline.Elem) {
	plane := tag{tagLevel, level}
	name := c.closeName
	if edge {
		name = func(ts ...tag) tag { return c.openName(level, ts...) }
	}
	l.add(e, c, -1, name(plane, tag{tagWall, w.member}), name(plane, tag{tagCorner, w.member}))
}

// reduced leaves out the elements that no point within rho of p can be nearest to.
func (l *lone) reduced(p geom.Vec3, rho, d float64) *lone {
	out := *l
	if l.loop != nil {
		f := l.foot(p.Plan())
		out.loop = l.loop.Near(p.Plan(), math.Abs(f.D)+2*rho)
		out.section = l.section.Near(geom.Vec2{X: f.D, Y: p.Z}, math.Abs(d)+2*rho)
	}
	return &out
}

func (l *lone) foot(q geom.Vec2) outline.Foot {
	if l.loop != nil {
		if d, g, i, ok := l.loop.At(q); ok {
			return outline.Foot{D: d, G: g, Elem: int32(i)}
		}
	}
	return l.outline.At(q)
}

// At returns the sample at p.
func (l *lone) At(p geom.Vec3) Sample {
	f := l.foot(p.Plan())
	v, g, i, ok := l.section.At(geom.Vec2{X: f.D, Y: p.Z})
	if !ok {
		h := l.core.close(len(l.core.groups)-1, p)
		return Sample{h.d, h.g, l.core.piece(h.tag, p)}
	}
	s := Sample{D: v, G: geom.Vec3{X: g.X * f.G.X, Y: g.X * f.G.Y, Z: g.Y}}
	switch part := &l.parts[i]; {
	case part.ask:
		s.Piece = l.core.piece(l.core.levelAt(part.elem.A.Y), p)
	case len(l.outline.Elems) > int(f.Elem) && l.outline.Elems[f.Elem].R != 0:
		s.Piece = part.ids[1]
	default:
		s.Piece = part.ids[0]
	}
	return s
}

// levelAt returns the tag of the level at height z.
func (c *core) levelAt(z float64) tag {
	for i := range c.plateaus {
		if c.plateaus[i].z == z {
			return tag{tagLevel, int32(i)}
		}
	}
	panic("sdf: no such level")
}

// Prune leaves out more elements.
func (l *lone) Prune(c geom.Vec3, rho float64) Pruner {
	if l.Weight() == 0 {
		return l
	}
	d := l.At(c).D
	if math.Abs(d) > rho {
		return &near{l.core, weightFar}
	}
	return l.reduced(c, rho, d)
}

// Weight counts the elements beyond one of the profile and one of the outline.
func (l *lone) Weight() int {
	if l.loop == nil {
		return 0
	}
	return l.section.Len() + l.loop.Len() - 2
}

// Survey lists the elements that may have surface within rho of c.
func (l *lone) Survey(c geom.Vec3, rho float64) Survey {
	s := Survey{Radius: math.Inf(1)}
	f := l.foot(c.Plan())
	lines, bends := 0, false
	outward, inward := math.Inf(1), math.Inf(1) // least radius of corners that bulge and that are hollow
	see := func(i int, dist float64) {
		if dist > math.Abs(f.D)+2*rho {
			return
		}
		switch r := l.outline.Elems[i].R; {
		case r > 0:
			bends, outward = true, min(outward, r)
		case r < 0:
			bends, inward = true, min(inward, -r)
		default:
			lines++
		}
	}
	sharp := l.loop == nil
	if sharp {
		lines = 2
	} else if len(l.parts) > 1 || !Level(l.parts[0].elem) {
		l.loop.Each(c.Plan(), see)
	}
	l.section.Each(geom.Vec2{X: f.D, Y: c.Z}, func(i int, dist float64) {
		if dist > rho {
			return
		}
		e := l.parts[i].elem
		if Level(e) {
			s.Planes++
			return
		}
		if e.R != 0 {
			s.Curved, s.Radius = true, min(s.Radius, math.Abs(e.R))
		} else {
			s.Planes += lines
		}
		if bends || sharp {
			s.Curved = s.Curved || bends
			lo, hi := f.D-rho, f.D+rho
			if e.R != 0 {
				lo, hi = max(lo, min(e.A.X, e.B.X)), min(hi, max(e.A.X, e.B.X))
			}
			s.Radius = min(s.Radius, max(1e-3, min(outward+lo, inward-hi)))
		}
	})
	return s
}
