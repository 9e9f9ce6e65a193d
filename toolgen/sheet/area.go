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

// Trimmed returns the volume of sheet in the part: within the trim line, without the holes, mm3.
func (f *Formed) Trimmed() float64 { return f.Volumes(0, nil)[0] }

// Volumes returns the volume of sheet in the part, mm3, before the first of some rising places along an axis of the
// part (0 X, 1 Y), between each two of them, and beyond the last.
func (f *Formed) Volumes(axis int, at []float64) []float64 {
	out := make([]float64, len(at)+1)
	for k, t := range f.Sheet.Triangles {
		var corner [3]geom.Vec2
		for i, n := range t.N {
			corner[i] = f.Body.Map.Back(f.Sheet.Nodes[n].At).Plan()
		}
		f.share(corner, f.Sheet.FlatArea(k)*f.Sheet.Gauge, axis, at, mostQuarters, out)
	}
	return out
}

// mostQuarters is how often a triangle is quartered that the trim line or a hole may cut.
const mostQuarters = 3

// share adds the volume of a triangle, by its plan, to where it lies.
func (f *Formed) share(c [3]geom.Vec2, volume float64, axis int, at []float64, quarters int, out []float64) {
	m := c[0].Add(c[1]).Add(c[2]).Scale(1.0 / 3)
	r := max(c[0].Sub(m).Norm(), c[1].Sub(m).Norm(), c[2].Sub(m).Norm())
	d := f.outside(m, r)
	if d >= r {
		return
	}
	if d > -r {
		if quarters > 0 {
			a, b, e := c[0].Add(c[1]).Scale(0.5), c[1].Add(c[2]).Scale(0.5), c[2].Add(c[0]).Scale(0.5)
			for _, q := range [...][3]geom.Vec2{{c[0], a, e}, {a, c[1], b}, {e, b, c[2]}, {a, b, e}} {
				f.share(q, volume/4, axis, at, quarters-1, out)
			}
			return
		}
		volume *= below(f.outside(c[0], r), f.outside(c[1], r), f.outside(c[2], r))
	}
	x := [3]float64{c[0].X, c[1].X, c[2].X}
	if axis == 1 {
		x = [3]float64{c[0].Y, c[1].Y, c[2].Y}
	}
	before := 0.0
	for i, p := range at {
		if p <= min(x[0], x[1], x[2]) {
			continue
		}
		part := below(x[0]-p, x[1]-p, x[2]-p)
		out[i] += volume * (part - before)
		if before = part; part == 1 {
			return
		}
	}
	out[len(at)] += volume * (1 - before)
}

// outside returns how far a plan point lies outside the part, negative inside: beyond the trim line or in a hole, of
// which only those within r count.
func (f *Formed) outside(q geom.Vec2, r float64) float64 {
	d := f.Body.Part.Outline.At(q).D
	for _, h := range f.Body.Part.Holes {
		if h.Impression == 0 && h.Outline.Bounds().Dist(q) <= r {
			d = max(d, -h.Outline.At(q).D)
		}
	}
	return d
}

// below returns the share of a triangle where a linear function of these values at its corners is below 0.
func below(a, b, c float64) float64 {
	v := []float64{a, b, c}
	slices.Sort(v)
	switch {
	case v[0] >= 0:
		return 0
	case v[2] <= 0:
		return 1
	case v[1] >= 0:
		return v[0] / (v[0] - v[1]) * v[0] / (v[0] - v[2])
	}
	return 1 - v[2]/(v[2]-v[0])*v[2]/(v[2]-v[1])
}
