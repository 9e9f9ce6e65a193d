package formtest

import (
	"fmt"
	"math/rand/v2"

	"platen/toolgen/form"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// Random returns a tool with up to six features in a grid, pockets and blocks, deep and shallow,
// crowded and wide apart, and a setup to form it: on the platen or in a level frame.
func Random(rng *rand.Rand) (form.Tool, form.Setup) {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	var t piece.Table
	nx, ny := 1+rng.IntN(3), 1+rng.IntN(2)
	px, py := between(30, 90), between(30, 90)
	plan := Box2(float64(nx)*px+20, float64(ny)*py+20)
	base := between(20, 60)
	o := must(outline.Rect(plan.Size().X, plan.Size().Y, between(0, 10)))
	w := sdf.Wall{Host: -base, End: 0, Datum: -base, Draft: 0, Inside: o.Inside()}
	p := must(w.Profile())
	p[0].A.X = -p[0].A.X // the base lies inside the outline
	block := sdf.NewSweep(&t, "block", o, p, []piece.Role{piece.Base, piece.Side, piece.Land})
	land := block.IDs[2][0]
	top := 0.0
	var patches []*sdf.Patch
	for i := range nx * ny {
		at := geom.Vec2{X: px * (float64(i%nx) - float64(nx-1)/2), Y: py * (float64(i/nx) - float64(ny-1)/2)}
		wall := sdf.Wall{Draft: geom.Angle(between(0, 12)) * geom.Degree}
		x, y := px*between(0.4, 0.85), py*between(0.4, 0.85)
		small := min(x, y)
		height := small * between(0.05, 0.9)
		wall.HostR, wall.EndR = height*between(0, 0.2), height*between(0, 0.2)
		wall.End = -min(height, base-8)
		if rng.IntN(3) == 0 {
			wall.End = height
		}
		run := height*wall.Draft.Tan() + wall.EndR
		corner := min(0.45*small, run+between(0.5, 8))
		f := must(must(outline.Rect(x, y, corner)).Map(geom.Moved(at)))
		wall.Inside = f.Inside()
		section, err := wall.Profile()
		if err != nil || f.Convex() < -section.Inner() {
			continue // its walls would meet: the plain land will do
		}
		top = max(top, wall.End)
		name := fmt.Sprintf("f%d", i)
		patches = append(patches, &sdf.Patch{Name: name, Host: land, Parent: -1, Sweep: sdf.NewSweepOn(&t, land, name, f, section, wall.Roles(piece.Land, section))})
	}
	body := sdf.NewBody(&t, block, patches)
	var s form.Setup
	tool := Field{body.Face}
	if rng.IntN(2) == 0 {
		tool = Field{body.At}
		box := body.Box()
		s = form.OnPlaten(box, between(0.5, 1.2)*(box.Max.Z-box.Min.Z))
	} else {
		s = form.LevelFrame(plan.Grow(-3), 0, top)
	}
	s.Gauge, s.Law, s.Pressure = between(0.3, 4), form.Rubber(between(0.03, 0.5), between(0, 0.4)), between(0.05, 0.095)
	return tool, s
}
