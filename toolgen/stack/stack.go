// Package stack owns how formed parts sit in and on each other: the pitch at which one rests in the
// next, the same way or turned by half a turn, where it touches, how far it may shift, what room it
// leaves over the floors, and how a stack of loaded parts stands.
//
// Both sides of the sheet are taken from the exact face of the tool: the contact side is the face, taken
// back to the cold part, the free side stands off it by the local wall. A mesh would not do: on a wall of
// 5 degrees every hundredth of a millimetre across is a tenth in height. Places to look at are sampled all
// over the part; the highest are then climbed on the exact sides. Start at New and Rest.
//
// It takes the part to be rigid, and lowers it straight down: what it finds is where the parts first touch.
// Where features are undercut a vertical crosses a side more than once, and is followed from the top down.
package stack

import (
	"context"

	"platen/toolgen/body"
	"platen/toolgen/frame"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// Side is one side of the formed sheet.
type Side uint8

// The sides, as the part lies in use.
const (
	Upper Side = iota
	Under
)

// Walls tells the formed sheet over the tool's face.
type Walls interface {
	// Cover returns the wall of the sheet over the point of the face nearest to p, and how far the sheet
	// stands off the face there, mm; known is false where no wall is known, and what is returned is then
	// a guess.
	Cover(p geom.Vec3) (wall, off float64, known bool)
	// MostCover returns bounds: no wall and what it stands off come to more than cover, and none stands off
	// by more than off.
	MostCover() (cover, off float64)
}

// Even is a wall of so many mm that is the same everywhere and lands everywhere.
type Even float64

// Cover returns the wall.
func (e Even) Cover(geom.Vec3) (wall, off float64, known bool) { return float64(e), 0, true }

// MostCover returns the wall.
func (e Even) MostCover() (cover, off float64) { return float64(e), 0 }

// Part is a formed part whose sides can be asked.
type Part struct {
	Body   *body.Body
	walls  Walls
	cover  float64 // the most of wall and off
	off    float64 // the most that the sheet stands off
	low    float64 // lowest and highest place of both sides
	high   float64
	m      frame.Map
	trim   *outline.Outline
	field  *sdf.Body
	points [2][]Point
	hooks  []geom.Box2 // of undercut features with all they reach, part frame
}

// New returns the first part that a body forms, with the given wall, and looks for the places that
// stacking looks at.
//
// ERROR: the context's error.
func New(ctx context.Context, b *body.Body, w Walls) (*Part, error) {
	p := &Part{Body: b, walls: w, m: b.Map, trim: b.Part.Outline, field: b.Field.Quick()}
	p.cover, p.off = w.MostCover()
	for _, s := range b.Solids {
		if s.Impression != 0 || s.Wall.Undercut.Depth <= 0 {
			continue
		}
		box := b.Field.Patches[s.Patch].Box().Plan()
		u, v := p.m.Back(box.Min.At(0)).Plan(), p.m.Back(box.Max.At(0)).Plan()
		p.hooks = append(p.hooks, geom.EmptyBox2().Hold(u).Hold(v).Grow(p.cover))
	}
	p.sample(ctx)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	p.low, p.high = p.span()
	return p, nil
}

// Centre returns the centre of the trimmed outline's bounding box: parts turn about the vertical
// through it.
func (p *Part) Centre() geom.Vec2 { return p.trim.Bounds().Centre() }

// Height returns the height of the part over all, mm.
func (p *Part) Height() float64 { return p.high - p.low }

// span returns the lowest and the highest place looked at.
func (p *Part) span() (low, high float64) {
	low, high = p.points[Under][0].At.Z, p.points[Upper][0].At.Z
	for _, q := range p.points[Under] {
		low = min(low, q.At.Z)
	}
	for _, q := range p.points[Upper] {
		high = max(high, q.At.Z)
	}
	return low, high
}

// Point is a place on one side of the sheet.
type Point struct {
	At    geom.Vec3 // part frame
	Out   geom.Vec3 // unit, out of the sheet
	Piece piece.ID  // of the tool's face under it
	face  geom.Vec3 // its foot on the tool, tool datum
}

// free reports whether a side is the one that did not touch the tool.
func (p *Part) free(s Side) bool { return (s == Upper) != p.m.Over }

// onFace is how near a foot must come to the face, mm.
const onFace = 1e-9

// land takes a point of the tool along the gradient on to the face.
func (p *Part) land(q geom.Vec3) (geom.Vec3, sdf.Sample) {
	s := p.field.Face(q)
	for range 12 {
		if s.D < onFace && s.D > -onFace {
			break
		}
		q = q.Sub(s.G.Scale(s.D))
		s = p.field.Face(q)
	}
	return q, s
}

// buried is how far a place of a side may lie inside the sheet before it counts as none of it, mm: the
// free side of a hollow tighter than the wall has no such places.
const buried = 1e-3

// point returns the place of a side over the foot nearest to a point of the tool; ok is false where the
// part has been cut away or the side has no such place.
func (p *Part) point(s Side, q geom.Vec3) (pt Point, ok bool) {
	q, f := p.land(q)
	foot := p.m.Back(q)
	if f.D > 1e-6 || f.D < -1e-6 || p.trim.At(foot.Plan()).D > onTrim {
		return pt, false
	}
	out := p.normal(f.G)
	pt = Point{At: foot, Out: out.Scale(-1), Piece: f.Piece, face: q}
	if !p.free(s) && p.off == 0 {
		return pt, true
	}
	wall, off, _ := p.walls.Cover(q)
	if !p.free(s) {
		pt.At = foot.Add(out.Scale(off))
		return pt, true
	}
	pt.At, pt.Out = foot.Add(out.Scale(off+wall)), out
	g, _, in := p.gap(s, pt.At)
	return pt, in && g > -buried
}

// onTrim is how far outside the trim line a foot may lie for rounding, mm.
const onTrim = 1e-6

// normal returns the direction off the tool's face, in the part frame.
func (p *Part) normal(g geom.Vec3) geom.Vec3 {
	// The map is diagonal: a normal goes back by its transpose.
	n := geom.Vec3{X: g.X * p.m.Scale.X, Y: g.Y * p.m.Scale.Y, Z: g.Z * p.m.Scale.Z}
	if p.m.Over {
		n.Y, n.Z = -n.Y, -n.Z
	}
	return n.Unit()
}

// gap returns how far a point of the part frame lies outside a side of the sheet, and how fast that
// grows as the point rises; ok is false where there is no sheet.
//
// ERROR: exact where the gap is small. Far outside it is no more than the gap, and inside the sheet, beyond
// its other side, no less: walls are not looked up where they can not matter.
func (p *Part) gap(s Side, x geom.Vec3) (gap, slope float64, ok bool) {
	q := p.m.Point(x)
	f := p.field.Face(q)
	at := q.Sub(f.G.Scale(f.D))
	foot := p.m.Back(at)
	if p.trim.At(foot.Plan()).D > onTrim {
		return 0, 0, false
	}
	d := x.Sub(foot).Norm()
	if f.D < 0 {
		d = -d
	}
	n := p.normal(f.G)
	if !p.free(s) {
		if p.off > 0 && d > 0 && d < p.cover {
			_, off, _ := p.walls.Cover(at)
			return off - d, -n.Z, true
		}
		return -d, -n.Z, true
	}
	switch {
	case d <= 0:
		return d, n.Z, true
	case d >= p.cover:
		return d - p.cover, n.Z, true
	}
	wall, off, _ := p.walls.Cover(at)
	return d - off - wall, n.Z, true
}
