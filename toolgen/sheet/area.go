package sheet

import (
	"cmp"
	"slices"

	"platen/toolgen/form"
	"platen/toolgen/geom"
	"platen/toolgen/piece"
)

// Area is what the formed sheet is on one role of one feature.
type Area struct {
	Feature string
	Role    piece.Role
	Low     float64   // wall that 99 % of the area exceeds, mm: the very least is one triangle's noise
	Mean    float64   // by area, mm
	At      geom.Vec3 // where the low wall is
	Size    float64   // mm2
	Bridged float64   // largest gap to the tool that is left, mm; 0: it landed
	GapAt   geom.Vec3 // where that is, on the sheet
	Webbing float64   // area that folds, mm2: no wall is given for it
	Wrinkle float64   // area pressed together that may fold, mm2
}

// lowShare is the share of an area that may be thinner than Low.
const lowShare = 0.01

// shred is one triangle of the formed sheet.
type shred struct {
	wall, area float64
	even       float64 // wall from the means round its corners: less noise
	at         geom.Vec3
}

type key struct {
	feature string
	role    piece.Role
}

// collection is the sheet's triangles by the piece of the tool they lie on.
type collection struct {
	shreds map[key][]shred
	areas  map[key]*Area
}

// collect sorts the sheet's triangles by the piece of the tool they lie on.
func (f *Formed) collect() collection {
	shreds := map[key][]shred{}
	areas := map[key]*Area{}
	folding := f.Sheet.Folding()
	for k := range f.Sheet.Triangles {
		t := &f.Sheet.Triangles[k]
		mid := f.Sheet.Middle(k)
		what, ok := f.under(t, mid)
		if !ok {
			continue
		}
		id := key{what.Feature, what.Role}
		a := areas[id]
		if a == nil {
			a = &Area{Feature: id.feature, Role: id.role}
			areas[id] = a
		}
		size := f.Sheet.Area(k)
		web := false
		for _, n := range t.N {
			switch node := &f.Sheet.Nodes[n]; node.Status {
			case form.Webbing:
				web = true
			case form.Bridged:
				if node.Gap > a.Bridged {
					a.Bridged, a.GapAt = node.Gap, node.At
				}
			}
		}
		if folding[k] {
			a.Wrinkle += size
		}
		if web {
			a.Webbing += size
			continue
		}
		shreds[id] = append(shreds[id], shred{t.Thickness, size, (f.Nodes[t.N[0]] + f.Nodes[t.N[1]] + f.Nodes[t.N[2]]) / 3, mid})
	}
	return collection{shreds, areas}
}

// sum fills the figures of the areas.
func (c collection) sum() {
	for id, list := range c.shreds {
		c.areas[id].sum(list)
	}
}

// under returns the piece of the tool's face under a triangle; ok is false for sheet on the platen,
// in the frame, or outside the trimmed part's block.
func (f *Formed) under(t *form.Triangle, mid geom.Vec3) (piece.Piece, bool) {
	for _, n := range t.N {
		if f.Sheet.Nodes[n].Off {
			return piece.Piece{}, false
		}
	}
	s := f.Body.Field.Face(mid)
	what := f.Body.Field.Pieces.At(s.Piece)
	if what.Role == piece.Land && f.Body.Part.Outline.At(f.Body.Back(mid).Plan()).D > 0 {
		return what, false // beyond the trim line
	}
	return what, true
}

// sum fills the figures of an area from its triangles.
func (a *Area) sum(list []shred) {
	slices.SortFunc(list, func(x, y shred) int {
		return cmp.Or(cmp.Compare(x.wall, y.wall), cmp.Compare(x.at.X, y.at.X), cmp.Compare(x.at.Y, y.at.Y), cmp.Compare(x.at.Z, y.at.Z))
	})
	volume := 0.0
	for _, s := range list {
		a.Size += s.area
		volume += s.area * s.wall
	}
	a.Mean = volume / a.Size
	part := 0.0
	for _, s := range list {
		if part += s.area; part >= lowShare*a.Size {
			a.Low, a.At = s.wall, s.at
			return
		}
	}
}

// order lists the areas: the land first, then feature by feature as in the job.
func (f *Formed) order(areas map[key]*Area) {
	rank := map[string]int{"block": -1}
	for i, s := range f.Body.Solids {
		rank[s.ID] = i
	}
	for _, a := range areas {
		if a.Size > 0 || a.Webbing > 0 {
			f.Areas = append(f.Areas, *a)
		}
	}
	slices.SortFunc(f.Areas, func(a, b Area) int {
		return cmp.Or(cmp.Compare(rank[a.Feature], rank[b.Feature]), cmp.Compare(a.Role, b.Role))
	})
}

// Least returns the area of a feature with the lowest wall; ok is false when the sheet has none there.
func (f *Formed) Least(feature string) (least Area, ok bool) {
	for _, a := range f.Areas {
		if a.Feature == feature && a.Size > 0 && (!ok || a.Low < least.Low) {
			least, ok = a, true
		}
	}
	return least, ok
}

// Wall returns the wall of the formed sheet nearest to a point of the tool, mm, linear between the
// nodes; ok is false in webbing.
func (f *Formed) Wall(p geom.Vec3) (mm float64, ok bool) {
	h := f.finder.Nearest(p)
	if h.Webbing {
		return 0, false
	}
	n := f.Sheet.Triangles[h.Triangle].N
	a, b, c := f.Sheet.Nodes[n[0]].At, f.Sheet.Nodes[n[1]].At, f.Sheet.Nodes[n[2]].At
	whole := b.Sub(a).Cross(c.Sub(a))
	size := whole.Dot(whole)
	if size == 0 {
		return h.Thickness, true
	}
	u := b.Sub(h.At).Cross(c.Sub(h.At)).Dot(whole) / size
	v := c.Sub(h.At).Cross(a.Sub(h.At)).Dot(whole) / size
	return u*f.Nodes[n[0]] + v*f.Nodes[n[1]] + (1-u-v)*f.Nodes[n[2]], true
}

// Gap returns how far a point is from the formed sheet's side on the tool, mm.
func (f *Formed) Gap(p geom.Vec3) float64 { return f.finder.Nearest(p).Distance }
