package toolgen_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
)

// asked is a part whose draft and radii are measured on its tools: a recess and a block of the part,
// which are female and male, or male and female, by the side of the sheet that touches.
const asked = `
format: 1
name: true part
sheet: {material: HIPS, gauge: 1}
tool:
  material: aluminium 5083
  contact: %[1]s
  measured: %[2]s
part: {outline: {rect: [200, 140], corner: 8}}
shrink: {x: %[3]g, y: %[4]g, z: %[5]g, reason: trial}
features:
  - {kind: pocket, name: a, at: [-45, 10], size: [70, 50], depth: 20, corner: 12, draft: 5, edge: 3, floor: 4}
  - {kind: stacking_lug, name: c, at: [48, 10], size: [44, 34], height: 12, corner: 9, draft: 5, crown: 2, root: 2.5}
  - {kind: pocket, name: b, at: [40, -45], turn: 20, size: [40, 16], depth: 8, corner: 7, draft: 5, edge: 1, floor: 1.5}
`

// Tolerances of draft and radii.
const (
	draftBy  = 0.002 // deg
	radiusBy = 1e-6  // of the field, mm
	meshTol  = 0.01  // of the mesh, mm
)

// fittedBy is how far the radius of a circle fitted to points may be off that lie within meshTol of
// an arc: an error of e at its middle and none at its ends bends it by e / (1 - cos(half its sweep)).
// The arcs between a level and a wall of 5 deg draft sweep 85 deg.
var fittedBy = meshTol / (1 - math.Cos(42.5*math.Pi/180))

// tools are the tools of asked that are measured.
func tools(t *testing.T, run func(t *testing.T, r *toolgen.Result, alike bool)) {
	for _, contact := range []string{"underside", "upper"} {
		for _, alike := range []bool{true, false} {
			x, y, z := 1.2, 0.3, 0.7
			if alike {
				x, y, z = 0.6, 0.6, 0.6
			}
			t.Run(fmt.Sprintf("%s alike %v", contact, alike), func(t *testing.T) {
				run(t, build(t, fmt.Sprintf(asked, contact, contact, x, y, z), meshTol, "tool.stl"), alike)
			})
			t.Run(fmt.Sprintf("%s alike %v, free side", contact, alike), func(t *testing.T) {
				free := map[string]string{"underside": "upper", "upper": "underside"}[contact]
				run(t, build(t, fmt.Sprintf(asked, contact, free, x, y, z), meshTol, "tool.stl"), alike)
			})
		}
	}
}

// TestDraft measures 5 deg on the walls, on the field's normals and on those of the triangles.
func TestDraft(t *testing.T) {
	tools(t, func(t *testing.T, r *toolgen.Result, _ bool) {
		for _, s := range r.Body.Solids {
			n := 0
			for _, e := range s.Outline.Elems {
				for k := range 40 {
					at := (float64(k%8) + 0.5) / 8
					z := s.Wall.Host + (s.Wall.End-s.Wall.Host)*(0.3+0.4*float64(k/8)/4)
					q := e.Point(at).Add(e.Out(at).Scale(s.Wall.D(z))).At(z)
					f := r.Body.Field.Face(q)
					require.InDelta(t, 0, f.D, 1e-9)
					require.InDelta(t, 5, degrees(f.G.Z), draftBy, "%s at %v", s.ID, q)
					n++
				}
			}
			require.GreaterOrEqual(t, n, 8*40)
		}
		seen := map[string]int{}
		for i, tri := range r.Mesh.T {
			p := r.Body.Field.Pieces.At(r.Mesh.P[i])
			if p.Role != piece.Wall || p.Feature == "block" {
				continue
			}
			a, b, c := r.Mesh.V[tri[0]], r.Mesh.V[tri[1]], r.Mesh.V[tri[2]]
			n := b.Sub(a).Cross(c.Sub(a))
			// Vertices lie on the file's grid, so a triangle may be off by that over its least height.
			low := n.Norm() / max(b.Sub(a).Norm(), c.Sub(b).Norm(), a.Sub(c).Norm())
			grid := math.Sqrt(3) * mesh.Quantum / low * 180 / math.Pi
			require.InDelta(t, 5, degrees(n.Z/n.Norm()), draftBy+grid, "%v", p)
			if grid < draftBy {
				seen[p.Feature]++
			}
		}
		require.Len(t, seen, 3, "features with triangles large enough to tell: %v", seen)
	})
}

// degrees returns the slope from the vertical of a unit normal with the given height.
func degrees(z float64) float64 { return math.Asin(z) * 180 / math.Pi }

// TestRadii fits circles to sections of the tool, across straight walls and through corners: on the
// field, and through the vertices of the mesh.
func TestRadii(t *testing.T) {
	tools(t, func(t *testing.T, r *toolgen.Result, alike bool) {
		for _, name := range []string{"a", "c"} {
			s := solid(r, name)
			want := map[piece.Role]float64{piece.Edge: s.HostR, piece.Fillet: s.EndR}
			if !s.Female() {
				want = map[piece.Role]float64{piece.Fillet: s.HostR, piece.Edge: s.EndR}
			}
			sections := straights(r, s)
			if alike { // else a corner is an ellipse, and a section through it no circle
				sections = append(sections, corners(r, s)...)
			}
			for _, sec := range sections {
				field, vertices := sec.curve(r, s), sec.vertices(r, s)
				for role, radius := range want {
					require.Greater(t, len(field[role]), 20)
					got, rest := circle(field[role])
					require.InDelta(t, radius, got, radiusBy, "%s %v of the field, %s", s.ID, role, sec.name)
					require.Less(t, rest, radiusBy)
					require.Greater(t, len(vertices[role]), 3)
					got, rest = circle(vertices[role])
					require.InDelta(t, radius, got, fittedBy, "%s %v of the mesh, %s", s.ID, role, sec.name)
					require.Less(t, rest, meshTol)
				}
			}
		}
	})
}

// TestPlanCorners measures the plan radius of the corners on the walls of the tool against the asked
// one: where the size holds it is the asked one times the factor, elsewhere the draft adds to it.
func TestPlanCorners(t *testing.T) {
	tools(t, func(t *testing.T, r *toolgen.Result, alike bool) {
		if !alike || r.Job.Tool.Choice("contact") != r.Job.Tool.Choice("measured") {
			return // ellipses; walls in between
		}
		k := r.Body.Shrink.X.Factor
		for name, corner := range map[string]float64{"a": 12, "c": 9} {
			s := solid(r, name)
			n := 0
			for i, tri := range r.Mesh.T {
				p := r.Body.Field.Pieces.At(r.Mesh.P[i])
				if p.Feature != s.ID || p.Role != piece.Corner {
					continue
				}
				for _, v := range tri {
					q := r.Mesh.V[v]
					d := q.Plan().Sub(nearest(r, s, q.Plan()))
					grown := math.Abs(q.Z-s.Wall.End) * math.Tan(5*math.Pi/180)
					require.InDelta(t, corner*k+grown, d.Norm(), meshTol, "corner of %s at %v", s.ID, q)
					n++
				}
			}
			require.Greater(t, n, 40)
		}
	})
}

// solid returns the solid of a named feature.
func solid(r *toolgen.Result, name string) *body.Solid {
	for _, s := range r.Body.Solids {
		if strings.HasSuffix(s.ID, "/"+name) {
			return s
		}
	}
	panic("no feature " + name)
}

// plan returns centre and half sizes of the rectangle of the corners' centres on the tool, by the
// numbers of the job and the factors.
func plan(r *toolgen.Result, s *body.Solid) (centre, half geom.Vec2) {
	at, size, corner := geom.Vec2{X: -45, Y: 10}, geom.Vec2{X: 70, Y: 50}, 12.0
	if strings.HasSuffix(s.ID, "/c") {
		at, size, corner = geom.Vec2{X: 48, Y: 10}, geom.Vec2{X: 44, Y: 34}, 9
	}
	f := r.Body.Shrink.Scale()
	return r.Body.Map.Plan(at), geom.Vec2{X: f.X * (size.X/2 - corner), Y: f.Y * (size.Y/2 - corner)}
}

// nearest returns the centre of the corner that a point belongs to.
func nearest(r *toolgen.Result, s *body.Solid, q geom.Vec2) geom.Vec2 {
	c, h := plan(r, s)
	d := q.Sub(c)
	return c.Add(geom.Vec2{X: math.Copysign(h.X, d.X), Y: math.Copysign(h.Y, d.Y)})
}

// section is an upright plane through a wall: a plan point of it and its outward direction. A vertex
// belongs to it when holds says so, and lies at a distance along.
type section struct {
	name  string
	from  geom.Vec2
	dir   geom.Vec2
	holds func(q geom.Vec2) bool
	along func(q geom.Vec2) float64
}

// straights are sections across the middles of the four straight walls.
func straights(r *toolgen.Result, s *body.Solid) []section {
	c, h := plan(r, s)
	var out []section
	for _, u := range []geom.Vec2{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}} {
		v := geom.Vec2{X: -u.Y, Y: u.X}
		side := math.Abs(v.X*h.X) + math.Abs(v.Y*h.Y)
		front := math.Abs(u.X*h.X) + math.Abs(u.Y*h.Y)
		out = append(out, section{
			name: fmt.Sprintf("straight %v", u), from: c, dir: u,
			holds: func(q geom.Vec2) bool {
				d := q.Sub(c)
				return math.Abs(d.Dot(v)) < side+1e-3 && d.Dot(u) > front
			},
			along: func(q geom.Vec2) float64 { return q.Sub(c).Dot(u) },
		})
	}
	return out
}

// corners are sections through the middles of the four corners.
func corners(r *toolgen.Result, s *body.Solid) []section {
	c, h := plan(r, s)
	var out []section
	for _, u := range []geom.Vec2{{X: 1, Y: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}, {X: 1, Y: -1}} {
		o := c.Add(geom.Vec2{X: u.X * h.X, Y: u.Y * h.Y})
		out = append(out, section{
			name: fmt.Sprintf("corner %v", u), from: o, dir: u.Unit(),
			holds: func(q geom.Vec2) bool {
				d := q.Sub(o)
				return d.X*u.X > -1e-3 && d.Y*u.Y > -1e-3
			},
			along: func(q geom.Vec2) float64 { return q.Sub(o).Norm() },
		})
	}
	return out
}

// curve returns the points of the face in the section, (distance, height), by role. The face has no
// undercut, so it has one height over every point.
func (c section) curve(r *toolgen.Result, s *body.Solid) map[piece.Role][]geom.Vec2 {
	out := map[piece.Role][]geom.Vec2{}
	low, high := min(s.Wall.Host, s.Wall.End)-1, max(s.Wall.Host, s.Wall.End)+1
	for d := 0.5; d < 60; d += 0.05 {
		q := c.from.Add(c.dir.Scale(d))
		z := cross(func(z float64) float64 { return r.Body.Field.Face(q.At(z)).D }, low, high)
		p := r.Body.Field.Pieces.At(r.Body.Field.Face(q.At(z)).Piece)
		if p.Feature == s.ID {
			out[p.Role] = append(out[p.Role], geom.Vec2{X: d, Y: z})
		}
	}
	return out
}

// vertices returns the vertices of the mesh that belong to the section, by role.
func (c section) vertices(r *toolgen.Result, s *body.Solid) map[piece.Role][]geom.Vec2 {
	out := map[piece.Role][]geom.Vec2{}
	for i, tri := range r.Mesh.T {
		p := r.Body.Field.Pieces.At(r.Mesh.P[i])
		if p.Feature != s.ID {
			continue
		}
		for _, v := range tri {
			if q := r.Mesh.V[v]; c.holds(q.Plan()) {
				out[p.Role] = append(out[p.Role], geom.Vec2{X: c.along(q.Plan()), Y: q.Z})
			}
		}
	}
	return out
}

// circle fits a circle by least squares: x^2 + y^2 = 2 a x + 2 b y + e is linear in a, b and e. It
// returns the radius and the largest distance of a point from the circle.
func circle(ps []geom.Vec2) (radius, rest float64) {
	mean := geom.Vec2{}
	for _, p := range ps {
		mean = mean.Add(p.Scale(1 / float64(len(ps))))
	}
	var xx, xy, yy, xw, yw, w float64
	for _, p := range ps {
		d := p.Sub(mean)
		q := d.Dot(d)
		xx, xy, yy = xx+d.X*d.X, xy+d.X*d.Y, yy+d.Y*d.Y
		xw, yw, w = xw+d.X*q, yw+d.Y*q, w+q/float64(len(ps))
	}
	det := xx*yy - xy*xy
	c := geom.Vec2{X: (xw*yy - yw*xy) / (2 * det), Y: (yw*xx - xw*xy) / (2 * det)}
	radius = math.Sqrt(c.Dot(c) + w)
	for _, p := range ps {
		rest = max(rest, math.Abs(p.Sub(mean).Sub(c).Norm()-radius))
	}
	return radius, rest
}
