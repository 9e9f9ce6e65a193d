package render

import (
	"cmp"
	"math"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
)

// line is an edge of the mesh to be drawn.
type line struct {
	a, b  int32   // vertices
	width float64 // pixels
	ink   float64 // 0 to 1
	slope float64 // of the surfaces beside it against the picture, to keep the line above them
}

// Widths in pixels of a picture of the default height, and strengths.
const (
	outlineWidth, outlineInk = 1.9, 0.95
	creaseWidth, creaseInk   = 1.3, 0.80
	borderWidth, borderInk   = 0.9, 0.30
	wireWidth, wireInk       = 0.6, 0.22
	closeInk                 = 0.50 // of the wire in a window, where lines stand apart
)

// creaseCos is the cosine of the least angle that is drawn as an edge, 30 degrees.
const creaseCos = 0.8660

// sharpCos is that angle where the surface is coloured by a value, 60 degrees: a formed sheet has
// small facets that are no edges.
const sharpCos = 0.5

func crease(o Options) float64 {
	if o.Scale != nil {
		return sharpCos
	}
	return creaseCos
}

// side is one edge of one triangle.
type side struct{ a, b, tri int32 }

// lines returns the edges to draw: outlines, creases, borders of pieces and, for wire, all.
func lines(m *mesh.Mesh, unit []geom.Vec3, c *camera, o Options) []line {
	sides := sortedSides(m)
	var out []line
	for i := 0; i < len(sides); {
		j := i + 1
		for j < len(sides) && sides[j].a == sides[i].a && sides[j].b == sides[i].b {
			j++
		}
		if l, ok := classify(m, unit, c, o, sides[i:j]); ok {
			out = append(out, l)
		}
		i = j
	}
	return out
}

// sortedSides returns the edges of all triangles, those between the same vertices side by side. They
// fall into a bucket for the lower vertex, and the few in it are put in order.
func sortedSides(m *mesh.Mesh) []side {
	start := make([]int32, len(m.V)+1)
	for _, t := range m.T {
		for k := range 3 {
			start[min(t[k], t[(k+1)%3])+1]++
		}
	}
	for i := range m.V {
		start[i+1] += start[i]
	}
	fill := slices.Clone(start)
	out := make([]side, 3*len(m.T))
	for i, t := range m.T {
		for k := range 3 {
			a, b := min(t[k], t[(k+1)%3]), max(t[k], t[(k+1)%3])
			out[fill[a]] = side{a, b, int32(i)}
			fill[a]++
		}
	}
	for v := range m.V {
		slices.SortFunc(out[start[v]:start[v+1]], func(p, q side) int {
			return cmp.Or(cmp.Compare(p.b, q.b), cmp.Compare(p.tri, q.tri))
		})
	}
	return out
}

// classify decides how the edge that the sides share is drawn.
func classify(m *mesh.Mesh, unit []geom.Vec3, c *camera, o Options, ss []side) (line, bool) {
	l := line{a: ss[0].a, b: ss[0].b}
	front, back := 0, 0
	for _, s := range ss {
		if cos := unit[s.tri].Dot(c.back); cos > grazing {
			front++
			l.slope = max(l.slope, math.Sqrt(max(1-float64(cos*cos), 0))/cos)
		} else {
			back++
		}
	}
	if front == 0 {
		return l, false
	}
	if back > 0 || len(ss) != 2 {
		l.width, l.ink = outlineWidth, outlineInk
		return l, true
	}
	p, q := ss[0].tri, ss[1].tri
	switch {
	case unit[p].Dot(unit[q]) < crease(o):
		l.width, l.ink = creaseWidth, creaseInk
	case isBorder(m, o.Pieces, p, q):
		l.width, l.ink = borderWidth, borderInk
	case o.Wire:
		l.width, l.ink = wireWidth, wireInk
		if o.Window != nil {
			l.ink = closeInk
		}
	default:
		return l, false
	}
	return l, true
}

// grazing is the cosine against the line of sight below which a triangle counts as seen from behind.
const grazing = 1e-6

// isBorder reports whether the edge between two triangles parts what a toolmaker would call two
// faces: another feature, or another role. Stretches of one rounding or wall are one face.
func isBorder(m *mesh.Mesh, pieces *piece.Table, p, q int32) bool {
	if len(m.P) == 0 || m.P[p] == m.P[q] {
		return false
	}
	if pieces == nil || m.P[p] == piece.None || m.P[q] == piece.None {
		return true
	}
	a, b := pieces.At(m.P[p]), pieces.At(m.P[q])
	return a.Feature != b.Feature || face(a.Role) != face(b.Role)
}

// face takes a wall round a corner for the wall it goes on from.
func face(r piece.Role) piece.Role {
	if r == piece.Corner {
		return piece.Wall
	}
	return r
}

// steepest bounds how far a line is lifted on a surface seen at a grazing angle.
const steepest = 6

// drawLines inks the samples the lines cover, where no surface hides them.
func (b *buffer) drawLines(ls []line, at []geom.Vec3, zoom float64) {
	bands(b.h, bandRows, func(lo, hi int) {
		for _, l := range ls {
			b.drawLine(l, at[l.a], at[l.b], zoom, lo, hi)
		}
	})
}

func (b *buffer) drawLine(l line, p, q geom.Vec3, zoom float64, lo, hi int) {
	half := float64(l.width*zoom) * (supersample / 2.0)
	reach := half + 0.5
	y0 := max(lo, int(math.Floor(min(p.Y, q.Y)-reach)))
	y1 := min(hi-1, int(math.Ceil(max(p.Y, q.Y)+reach)))
	if y0 > y1 {
		return
	}
	d := q.Plan().Sub(p.Plan())
	long := d.Dot(d)
	lift := 0.75 + float64((half+1)*min(l.slope, steepest))
	for y := y0; y <= y1; y++ {
		fy := float64(y) + 0.5
		x0, x1 := span(p.Plan(), q.Plan(), fy, reach)
		for x := max(0, int(math.Floor(x0))); x <= min(b.w-1, int(math.Ceil(x1))); x++ {
			s := geom.Vec2{X: float64(x) + 0.5, Y: fy}.Sub(p.Plan())
			u := 0.0
			if long > 0 {
				u = min(max(s.Dot(d)/long, 0), 1)
			}
			cover := min(1, reach-s.Sub(d.Scale(u)).Norm())
			i := y*b.w + x
			if cover <= 0 || p.Z+float64(u*(q.Z-p.Z))+lift < float64(b.depth[i]) {
				continue
			}
			b.ink[i] = max(b.ink[i], uint8(float64(cover*l.ink*255)+0.5))
		}
	}
}

// span returns the stretch of a row that a line of the given half width may cover.
func span(p, q geom.Vec2, y, reach float64) (lo, hi float64) {
	if p.Y > q.Y {
		p, q = q, p
	}
	lo, hi = min(p.X, q.X), max(p.X, q.X)
	if q.Y-p.Y > 2*reach {
		// Where the line crosses the rows it can cover from, clipped to its ends.
		at := func(y float64) float64 {
			u := min(max((y-p.Y)/(q.Y-p.Y), 0), 1)
			return p.X + float64(u*(q.X-p.X))
		}
		a, b := at(y-reach), at(y+reach)
		lo, hi = min(a, b), max(a, b)
	}
	return lo - reach - 1, hi + reach + 1
}
