package sdf

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
)

// tagKind is what a stretch of a cluster's surface is.
type tagKind uint8

const (
	tagLevel tagKind = iota // of: plateau
	tagWall                 // of: member, here and below
	tagCorner
	tagEdge
	tagEdgeCorner
	tagFillet
	tagFilletCorner
	tagOut // convex blend
	tagIn  // concave blend
)

// tag names a stretch of surface.
type tag struct {
	kind tagKind
	of   int32
}

func (t tag) wall() bool { return t.kind == tagWall || t.kind == tagCorner }

// pieces holds the piece IDs of a cluster.
type pieces struct {
	host  piece.ID
	first []piece.ID // by member: level, then tagWall to tagIn in order
}

// enter enters the pieces in the table and returns those of the levels, host plane first.
func (c *core) enter(t *piece.Table, host piece.ID, members []Member) []piece.ID {
	c.pieces.host = host
	levels := []piece.ID{host}
	for _, m := range members {
		w := m.Wall
		edge, fillet, level := w.HostR, w.EndR, piece.Floor
		if w.Raised() {
			edge, fillet, level = fillet, edge, piece.Crown
		}
		k := tangent(w.Draft)
		tight := min(m.Outline.Convex(), m.Outline.Concave())
		run := tight + min(w.D(w.Host), w.D(w.End), 0)     // corner radius where the wall is tightest
		end := tight + min(w.D(w.End)-k*w.EndR, run-tight) // and where the rounding at its end runs out
		he, fe := run, end
		if w.Raised() {
			he, fe = end, run
		}
		straight, corner := piece.Plane, piece.Cone
		if w.Draft == 0 {
			corner = piece.Cylinder
		}
		f := m.Feature
		id := t.Add(
			piece.Piece{Feature: f, Role: level, Shape: piece.Plane},
			piece.Piece{Feature: f, Role: piece.Wall, Shape: straight},
			piece.Piece{Feature: f, Role: piece.Corner, Shape: corner, Radius: run},
			piece.Piece{Feature: f, Role: piece.Edge, Shape: piece.Cylinder, Radius: edge},
			piece.Piece{Feature: f, Role: piece.Edge, Shape: piece.Torus, Radius: min(edge, he)},
			piece.Piece{Feature: f, Role: piece.Fillet, Shape: piece.Cylinder, Radius: fillet},
			piece.Piece{Feature: f, Role: piece.Fillet, Shape: piece.Torus, Radius: min(fillet, fe)},
			piece.Piece{Feature: f, Role: piece.Blend, Shape: piece.Free, Radius: edge},
			piece.Piece{Feature: f, Role: piece.Blend, Shape: piece.Free, Radius: fillet},
		)
		c.pieces.first = append(c.pieces.first, id)
		levels = append(levels, id)
	}
	return levels
}

// piece returns the piece of a tag over p.
func (c *core) piece(t tag, p geom.Vec3) piece.ID {
	if t.kind != tagLevel {
		return c.pieces.first[t.of] + piece.ID(t.kind)
	}
	pl := &c.plateaus[t.of]
	if len(pl.owners) == 0 {
		return c.pieces.host
	}
	own, in := pl.owners[0], math.Inf(1)
	if len(pl.owners) > 1 { // floors of one height: that of the member p lies deepest inside
		for _, m := range pl.owners {
			d := c.outlines[m].At(p.Plan()).D
			if d < in || (d == in && c.rank[m] < c.rank[own]) {
				own, in = m, d
			}
		}
	}
	return c.pieces.first[own]
}

// standsOn reports whether member m stands on, or sinks from, the level of a plateau.
func (c *core) standsOn(m int32, pl *plateau) bool {
	if c.hosts[m] < 0 {
		return pl.host
	}
	return pl.owned(c.hosts[m])
}

// openTag names the rounding where the conditions of a search in plateau k bind.
func (c *core) openTag(k int32, b *search) tag {
	var ts [3]tag
	return c.openName(k, b.tags(&ts)...)
}

// closeTag names the rounding where the parts of a search bind.
func (c *core) closeTag(b *search) tag {
	var ts [3]tag
	return c.closeName(b.tags(&ts)...)
}

// tags returns what the binding conditions of a search are.
func (b *search) tags(ts *[3]tag) []tag {
	for i := range b.rest.n {
		ts[i] = b.here.list[b.rest.set[i]].of
	}
	return ts[:b.rest.n]
}

// openName names the rounding between surfaces of plateau k.
func (c *core) openName(k int32, ts ...tag) tag {
	pl := &c.plateaus[k]
	if len(ts) == 2 {
		s, w := ts[0], ts[1]
		if s.wall() && w.wall() && s.of == w.of {
			return s // a wall and its clip
		}
		if s.wall() {
			s, w = w, s
		}
		if s.kind == tagLevel && w.wall() && (pl.owned(w.of) || (!c.raised[w.of] && c.standsOn(w.of, pl))) {
			return tag{tagEdge + w.kind - tagWall, w.of}
		}
	}
	return tag{tagOut, c.first(ts)}
}

// closeName names the rounding between parts.
func (c *core) closeName(ts ...tag) tag {
	if len(ts) == 2 {
		s, w := ts[0], ts[1]
		if s.wall() && w.wall() && s.of == w.of {
			return s
		}
		if s.wall() {
			s, w = w, s
		}
		if s.kind == tagLevel && w.wall() {
			pl := &c.plateaus[s.of]
			if c.raised[w.of] && c.standsOn(w.of, pl) || !c.raised[w.of] && pl.owned(w.of) {
				return tag{tagFillet + w.kind - tagWall, w.of}
			}
		}
	}
	return tag{tagIn, c.first(ts)}
}

// first returns the member of the first feature id among surfaces that meet.
func (c *core) first(ts []tag) int32 {
	at := int32(-1)
	see := func(m int32) {
		if at < 0 || c.rank[m] < c.rank[at] {
			at = m
		}
	}
	for _, t := range ts {
		if t.kind != tagLevel {
			see(t.of)
			continue
		}
		for _, m := range c.plateaus[t.of].owners {
			see(m)
		}
	}
	if at < 0 {
		return 0
	}
	return at
}
