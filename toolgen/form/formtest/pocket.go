// Package formtest holds forming problems with known answers, each with its source, and the tools
// they are formed on.
package formtest

import (
	"fmt"
	"math"

	"platen/toolgen/form"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// Field is a tool of the project's own distance field.
type Field struct{ At func(geom.Vec3) sdf.Sample }

// Distance returns the field's distance and direction.
func (f Field) Distance(p geom.Vec3) (float64, geom.Vec3) {
	s := f.At(p)
	return s.D, s.G
}

// size is that of a pocket with all its roundings, draft 6 degrees.
type size struct{ x, y, corner, depth, edge, floor float64 }

// reference is the reference pocket: opening 110 x 90 at the land, plan corners 15, 40 deep, edge 3,
// floor fillet 4.
var reference = size{110, 90, 15, 40, 3, 4}

func (s size) at(t *piece.Table, host piece.ID, name string, at geom.Vec2) *sdf.Sweep {
	o := must(must(outline.Rect(s.x, s.y, s.corner)).Map(geom.Moved(at)))
	w := sdf.Wall{Host: 0, End: -s.depth, Draft: 6 * geom.Degree, HostR: s.edge, EndR: s.floor, Inside: o.Inside()}
	p := must(w.Profile())
	return sdf.NewSweepOn(t, host, name, o, p, w.Roles(piece.Land, p))
}

// Pocket returns the reference pocket in an endless land at z = 0.
func Pocket() Field {
	var t piece.Table
	return Field{reference.at(&t, t.Add(piece.Piece{Feature: "land"}), "pocket", geom.Vec2{}).At}
}

// Tray returns the 12-pocket tray: reference pockets in a block 600 x 400 x 60 with its land at z = 0.
func Tray() (Field, geom.Box3) { return tray(4, 3, 140, 122, reference) }

// SmallTray returns the same block with 12 x 8 small pockets: openings 39 x 39 at a pitch of 50, plan
// corners 4.68, 15.6 deep, edge 1.248, floor fillet 1.56.
func SmallTray() (Field, geom.Box3) {
	return tray(12, 8, 50, 50, size{39, 39, 4.68, 15.6, 1.248, 1.56})
}

func tray(nx, ny int, px, py float64, of size) (Field, geom.Box3) {
	var t piece.Table
	o := must(outline.Rect(600, 400, 12))
	w := sdf.Wall{Host: -60, End: 0, Datum: -60, Inside: o.Inside()}
	p := must(w.Profile())
	p[0].A.X = -p[0].A.X // the base lies inside the outline
	block := sdf.NewSweep(&t, "block", o, p, []piece.Role{piece.Base, piece.Side, piece.Land})
	var patches []*sdf.Patch
	for j := range ny {
		for i := range nx {
			at := geom.Vec2{X: px * (float64(i) - float64(nx-1)/2), Y: py * (float64(j) - float64(ny-1)/2)}
			name := fmt.Sprintf("p%d", nx*j+i)
			patches = append(patches, &sdf.Patch{Name: name, Host: block.IDs[2][0], Parent: -1, Sweep: of.at(&t, block.IDs[2][0], name, at)})
		}
	}
	return Field{sdf.NewBody(&t, block, patches).At}, Box2(600, 400).Up(-60, 0)
}

func must[T any](v T, err error) T {
	if err != nil {
		panic("formtest: " + err.Error())
	}
	return v
}

// Box2 returns a rectangle of the given sides about the origin.
func Box2(x, y float64) geom.Box2 {
	return geom.Box2{Min: geom.Vec2{X: -x / 2, Y: -y / 2}, Max: geom.Vec2{X: x / 2, Y: y / 2}}
}

// Measured are the walls of a reference pocket, mm: means over points spread evenly over a face of the
// tool, so that they do not depend on which triangles fall where.
type Measured struct {
	Floor  float64 // 12 x 12 in the middle of the floor
	Wall   float64 // middle of a long wall: 20 wide, 15 to 25 deep
	Fillet float64 // middle of a long floor fillet: 20 wide, all of its arc
	Corner float64 // a bottom plan corner: the whole torus and nothing else
	Low    float64 // first percentile over that corner
	Around float64 // the torus and 2 mm of the straight fillets on either side of it
}

// MeasurePocket measures the reference pocket that stands at c.
func MeasurePocket(f *form.Finder, c geom.Vec2) Measured {
	over := func(nu, nv int, at func(u, v float64) geom.Vec3) form.Range {
		var ps []geom.Vec3
		for i := range nu {
			for j := range nv {
				ps = append(ps, at((float64(i)+0.5)/float64(nu), (float64(j)+0.5)/float64(nv)).Add(c.At(0)))
			}
		}
		return f.Over(ps)
	}
	// Section of wall and fillet, in the distance outside the floor's flat part and the height.
	tan := math.Tan(6 * math.Pi / 180)
	k := math.Tan(42 * math.Pi / 180)  // a rounding between floor and wall takes k r of each
	flat := 45 - 40*tan - 4*k          // half width of the floor's flat part
	arc := func(v float64) geom.Vec2 { // of the fillet, from floor to wall: 84 degrees
		a := v * 84 * math.Pi / 180
		return geom.Vec2{X: 4 * math.Sin(a), Y: -40 + 4*(1-math.Cos(a))}
	}
	turn := func(u, v float64) geom.Vec3 {
		a, q := u*math.Pi/2, arc(v)
		r := flat - 30 + q.X
		return geom.Vec3{X: 40 + r*math.Cos(a), Y: 30 + r*math.Sin(a), Z: q.Y}
	}
	corner := over(60, 30, turn)
	// Torus and strips have areas as 1800 to 240.
	strip := func(v, x, y float64) geom.Vec3 { q := arc(v); return geom.Vec3{X: x, Y: y, Z: q.Y} }
	along := over(8, 30, func(u, v float64) geom.Vec3 { return strip(v, 40-2*u, flat+arc(v).X) })
	across := over(8, 30, func(u, v float64) geom.Vec3 { return strip(v, 10+flat+arc(v).X, 30-2*u) })
	return Measured{
		Floor: over(40, 40, func(u, v float64) geom.Vec3 { return geom.Vec3{X: 12*u - 6, Y: 12*v - 6, Z: -40} }).Mean,
		Wall: over(60, 40, func(u, v float64) geom.Vec3 {
			z := -15 - 10*v
			return geom.Vec3{X: 20*u - 10, Y: 45 + z*tan, Z: z}
		}).Mean,
		Fillet: over(60, 30, func(u, v float64) geom.Vec3 {
			q := arc(v)
			return geom.Vec3{X: 20*u - 10, Y: flat + q.X, Z: q.Y}
		}).Mean,
		Corner: corner.Mean,
		Low:    corner.Low,
		Around: (1800*corner.Mean + 240*along.Mean + 240*across.Mean) / 2280,
	}
}

// Bosses returns four square blocks, 70 x 70 at the foot and height tall, gap apart, on an endless
// land at z = 0: draft 5 degrees, plan corners 8, top edges 3, roots 4.
func Bosses(height, gap float64) Field {
	var t piece.Table
	land := t.Add(piece.Piece{Feature: "land"})
	var fields []*sdf.Sweep
	for _, c := range [...]geom.Vec2{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: -1, Y: 1}, {X: 1, Y: 1}} {
		o := must(must(outline.Rect(70, 70, 8)).Map(geom.Moved(c.Scale((70 + gap) / 2))))
		w := sdf.Wall{Host: 0, End: height, Draft: 5 * geom.Degree, HostR: 4, EndR: 3, Inside: o.Inside()}
		p := must(w.Profile())
		fields = append(fields, sdf.NewSweepOn(&t, land, "boss", o, p, w.Roles(piece.Land, p)))
	}
	return Field{func(p geom.Vec3) sdf.Sample {
		best := fields[0].At(p)
		for _, f := range fields[1:] {
			if s := f.At(p); s.D < best.D {
				best = s
			}
		}
		return best
	}}
}
