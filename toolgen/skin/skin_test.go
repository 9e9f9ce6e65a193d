package skin_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
	"platen/toolgen/skin"
)

// Volume and area of the twelve-pocket tool: derived, by Gauss quadrature of the closed forms.
const (
	t12Volume = 10106231.991843 // mm3
	t12Area   = 744424.988220   // mm2
)

func TestTwelvePockets(t *testing.T) {
	b := t12(t)
	for _, test := range []struct {
		tol  float64
		most int // triangles
	}{{0.05, 12_000}, {0.02, 25_000}, {0.01, 46_500}} {
		m, rep := build(t, b, skin.Options{Tol: test.tol})
		requireSound(t, b, m)
		requireAudit(t, m)
		require.LessOrEqual(t, len(m.T), test.most)
		require.Equal(t, len(m.T), rep.Strips+rep.Planes)
		require.LessOrEqual(t, rep.Bound, test.tol)
		worst, at := dense(m, len(m.T)/1000|1, b.At)
		require.LessOrEqual(t, worst, rep.Bound, "at %v", at)
		// A surface that is off by no more than tol encloses no more than tol times the area beside.
		dv, da := volume(m)-t12Volume, area(m)-t12Area
		require.Less(t, math.Abs(dv), test.tol*t12Area)
		t.Logf("tol %.3f: %d triangles (%d strips, %d planes), dense %.5f, bound %.5f, volume %+.2f mm3, area %+.2f mm2",
			test.tol, len(m.T), rep.Strips, rep.Planes, worst, rep.Bound, dv, da)
	}
}

// TestSecondOrder checks that volume and area converge to the closed forms as the square of the
// step, which goes with the root of the tolerance.
func TestSecondOrder(t *testing.T) {
	b := t12(t)
	coarse, _ := build(t, b, skin.Options{Tol: 0.064})
	fine, _ := build(t, b, skin.Options{Tol: 0.002})
	finer, _ := build(t, b, skin.Options{Tol: 0.001})
	require.InDelta(t, t12Volume, volume(finer), 12)
	require.InDelta(t, t12Area, area(finer), 5)
	for _, f := range []struct {
		of   func(*mesh.Mesh) float64
		want float64
	}{{volume, t12Volume}, {area, t12Area}} {
		ratio := (f.of(coarse) - f.want) / (f.of(fine) - f.want)
		require.InDelta(t, 1, math.Log(ratio)/math.Log(32), 0.15, "ratio %g", ratio)
	}
}

func TestPlainBlockIsExact(t *testing.T) {
	b := block(t, at(t, 0, 0)(outline.Rect(200, 100, 0)), -30, 0, 0).body()
	m, rep := build(t, b, skin.Options{Tol: 0.02})
	requireSound(t, b, m)
	require.Equal(t, 200.*100*30, volume(m))
	require.Equal(t, 2*(200.*100+200*30+100*30), area(m))
	require.Equal(t, skin.Report{Strips: 8, Planes: 4, Bound: rep.Bound}, rep)
	require.Less(t, rep.Bound, 1e-4)
}

// TestBlockWithRoundedLand rounds the edge between sides and land, with sharp and round corners.
func TestBlockWithRoundedLand(t *testing.T) {
	const far, r = 1e5, 4
	for _, corner := range []float64{0, 10} {
		s := block(t, at(t, 0, 0)(outline.Rect(200, 100, corner)), -30, 0, 0)
		p := sdf.Profile{
			{A: geom.Vec2{X: -far, Y: -30}, B: geom.Vec2{Y: -30}},
			{A: geom.Vec2{Y: -30}, B: geom.Vec2{Y: -r}},
			{A: geom.Vec2{Y: -r}, B: geom.Vec2{X: -r}, C: geom.Vec2{X: -r, Y: -r}, R: r},
			{A: geom.Vec2{X: -r}, B: geom.Vec2{X: -far}},
		}
		s.block = sdf.NewSweep(s.table, "block", s.block.Outline, p, []piece.Role{piece.Base, piece.Side, piece.Edge, piece.Land})
		b := s.body()
		m, rep := build(t, b, skin.Options{Tol: 0.001})
		requireSound(t, b, m)
		requireAudit(t, m)
		worst, at := dense(m, len(m.T)/1000|1, b.Block.At)
		require.LessOrEqual(t, worst, rep.Bound, "at %v", at)
		// Plan moved in by d has the area A - L d + k d^2; over the rounding d = r - r sqrt(1 - u^2)
		// at the height u r, whose means are r (1 - pi/4) and r^2 (5/3 - pi/2).
		o := s.block.Outline
		k := 4.
		if corner > 0 {
			k = math.Pi
		}
		want := o.Area()*30 - o.Length()*r*r*(1-math.Pi/4) + k*r*r*r*(5./3-math.Pi/2)
		require.InDelta(t, want, volume(m), 1.5, "corner %g", corner)
	}
}

// frustum returns the volume of what a polygon with area a and outline length l sweeps when it is
// moved outward evenly from 0 to d over the height h with mitred corners: the area is
// a + l x + k x^2 with k = sum of tan(turn/2) over the corners, or pi where corners are round.
func frustum(a, l, k, d, h float64) float64 { return h * (a + l*d/2 + k*d*d/3) }

func TestSkirtOfSharpBlock(t *testing.T) {
	// The land is the outline; below it corners are round, as every distance field has them.
	b := block(t, at(t, 0, 0)(outline.Rect(200, 100, 0)), -30, 0, 8*geom.Degree).body()
	m, rep := build(t, b, skin.Options{Tol: 0.002})
	requireSound(t, b, m)
	worst, at := dense(m, 1, b.Block.At)
	require.LessOrEqual(t, worst, rep.Bound, "at %v", at)
	d := 30 * (8 * geom.Degree).Tan()
	require.InDelta(t, frustum(200*100, 600, math.Pi, d, 30), volume(m), 0.6)
}

func TestMitredSkirt(t *testing.T) {
	// The base is the outline and the sides lean in above it: sharp corners stay sharp.
	const far = 1e5
	s := block(t, at(t, 0, 0)(outline.Rect(200, 100, 0)), -30, 0, 0)
	in := -30 * (8 * geom.Degree).Tan()
	p := sdf.Profile{
		{A: geom.Vec2{X: -far, Y: -30}, B: geom.Vec2{X: 0, Y: -30}},
		{A: geom.Vec2{X: 0, Y: -30}, B: geom.Vec2{X: in, Y: 0}},
		{A: geom.Vec2{X: in, Y: 0}, B: geom.Vec2{X: -far, Y: 0}},
	}
	s.block = sdf.NewSweep(s.table, "block", s.block.Outline, p, []piece.Role{piece.Base, piece.Skirt, piece.Land})
	b := s.body()
	m, rep := build(t, b, skin.Options{Tol: 0.02})
	requireSound(t, b, m)
	require.Len(t, m.T, 12)
	require.InDelta(t, frustum(200*100, 600, 4, in, 30), volume(m), 2) // the grid of vertices: 6e-5 mm on 600 mm2
	worst, at := dense(m, 1, b.Block.At)
	require.LessOrEqual(t, worst, rep.Bound, "at %v", at)
}

func TestFeatures(t *testing.T) {
	plain := func() *scene { return block(t, at(t, 0, 0)(outline.Rect(200, 160, 8)), -40, 0, 0) }
	lug := sdf.Wall{Host: 0, End: 12, Datum: 12, Draft: 5 * geom.Degree, HostR: 2, EndR: 1}
	cut := sdf.Wall{Host: 0, End: -20, Datum: -20, Draft: 4 * geom.Degree, HostR: 2, EndR: 3}
	ring := ringed(t, at(t, 0, 0)(outline.Rect(80, 50, 10)), at(t, -18, 0)(outline.Circle(10)), at(t, 18, 0)(outline.Rect(20, 16, 2)))
	sharpRing := ringed(t, at(t, 0, 0)(outline.Rect(80, 50, 0)), at(t, 0, 0)(outline.Rect(40, 20, 0)))
	for _, test := range []struct {
		name  string
		scene *scene
	}{
		{"raised lug", plain().add(-1, at(t, 10, 5)(outline.Rect(40, 30, 5)), lug)},
		{"lug measured at its root", plain().add(-1, at(t, 10, 5)(outline.Rect(40, 30, 5)),
			sdf.Wall{Host: 0, End: 12, Datum: 0, Draft: 5 * geom.Degree, HostR: 2, EndR: 1})},
		{"sharp lug", plain().add(-1, at(t, 10, 5)(outline.Rect(40, 30, 0)), lug)},
		{"sharp lug measured at half height", plain().add(-1, at(t, 0, 0)(outline.Rect(40, 30, 0)),
			sdf.Wall{Host: 0, End: 12, Datum: 6, Draft: 15 * geom.Degree, HostR: 2, EndR: 3})},
		{"cone", plain().add(-1, at(t, -30, 5)(outline.Circle(9)),
			sdf.Wall{Host: 0, End: 20, Datum: 0, Draft: 15 * geom.Degree, HostR: 3, EndR: 1.5})},
		{"cone with a point", plain().add(-1, at(t, -30, 5)(outline.Circle(10)),
			sdf.Wall{Host: 0, End: 10, Datum: 0, Draft: 45 * geom.Degree, HostR: 2})},
		{"sharp pocket", plain().add(-1, at(t, 10, 5)(outline.Rect(60, 40, 0)), cut)},
		{"slot", plain().add(-1, at(t, 10, 5)(outline.Slot(60, 20)), cut)},
		{"pocket without roundings", plain().add(-1, at(t, 0, 0)(outline.Rect(60, 40, 6)),
			sdf.Wall{Host: 0, End: -20, Datum: 0, Draft: 3 * geom.Degree})},
		{"upright pocket", plain().add(-1, at(t, 0, 0)(outline.Rect(60, 40, 6)),
			sdf.Wall{Host: 0, End: -20, Datum: 0, HostR: 1, EndR: 2})},
		{"child on a floor", plain().add(-1, at(t, 0, 0)(outline.Rect(100, 80, 10)), cut).
			add(0, at(t, 10, 0)(outline.Rect(40, 30, 6)), sdf.Wall{Host: -20, End: -28, Datum: -28, Draft: 6 * geom.Degree, HostR: 1, EndR: 2}).
			add(1, at(t, 10, 0)(outline.Circle(5)), sdf.Wall{Host: -28, End: -25, Datum: -25, Draft: 6 * geom.Degree, HostR: 1, EndR: 0.5})},
		{"raised letter with holes", plain().add(-1, ring, sdf.Wall{Host: 0, End: 3, Datum: 3, Draft: 10 * geom.Degree, HostR: 0.5, EndR: 0.3})},
		{"sunk letter with holes", plain().add(-1, ring, sdf.Wall{Host: 0, End: -3, Datum: 0, Draft: 10 * geom.Degree, HostR: 0.3, EndR: 0.5})},
		{"raised sharp letter", plain().add(-1, sharpRing, sdf.Wall{Host: 0, End: 3, Datum: 1.5, Draft: 10 * geom.Degree, HostR: 0.5, EndR: 0.3})},
		{"sunk sharp letter", plain().add(-1, sharpRing, sdf.Wall{Host: 0, End: -3, Datum: -1, Draft: 10 * geom.Degree, HostR: 0.3, EndR: 0.5})},
		{"half disc, sunk", plain().add(-1, halfDisc(t), cut)},
		{"half disc, raised", plain().add(-1, halfDisc(t), lug)},
		{"half disc, raised from its root", plain().add(-1, halfDisc(t),
			sdf.Wall{Host: 0, End: 12, Datum: 0, Draft: 15 * geom.Degree, HostR: 1, EndR: 2})},
		{"lens, sunk", plain().add(-1, lens(t), sdf.Wall{Host: 0, End: -8, Datum: 0, Draft: 10 * geom.Degree, HostR: 1, EndR: 2})},
	} {
		t.Run(test.name, func(t *testing.T) {
			b := test.scene.body()
			for _, tol := range []float64{0.05, 0.01} {
				m, rep := build(t, b, skin.Options{Tol: tol})
				requireSound(t, b, m)
				worst, at := dense(m, len(m.T)/1000|1, b.At)
				require.LessOrEqual(t, worst, rep.Bound, "at %v", at)
				require.LessOrEqual(t, rep.Bound, tol)
				requirePieces(t, b, m)
				requireAudit(t, m)
				t.Logf("tol %g: %d triangles, dense %.5f, bound %.5f", tol, len(m.T), worst, rep.Bound)
			}
		})
	}
}

// TestSteppedSection has a level in the middle of its section, and a lug standing on that level.
func TestSteppedSection(t *testing.T) {
	const far = 1e5
	s := block(t, at(t, 0, 0)(outline.Rect(100, 80, 0)), -30, 0, 0)
	land := s.block.IDs[len(s.block.IDs)-1][0]
	p := sdf.Profile{
		{A: geom.Vec2{X: far}, B: geom.Vec2{}},
		{A: geom.Vec2{}, B: geom.Vec2{Y: -5}},
		{A: geom.Vec2{Y: -5}, B: geom.Vec2{X: -8, Y: -5}},
		{A: geom.Vec2{X: -8, Y: -5}, B: geom.Vec2{X: -8, Y: -12}},
		{A: geom.Vec2{X: -8, Y: -12}, B: geom.Vec2{X: -far, Y: -12}},
	}
	roles := []piece.Role{piece.Land, piece.Wall, piece.Floor, piece.Wall, piece.Floor}
	step := sdf.NewSweepOn(s.table, land, "step", at(t, 0, 0)(outline.Rect(60, 40, 0)), p, roles)
	s.patches = append(s.patches, &sdf.Patch{Name: "step", Host: land, Parent: -1, Sweep: step})
	w := sdf.Wall{Host: -5, End: -3}
	q, err := w.Profile()
	require.NoError(t, err)
	host := step.IDs[2][0]
	lug := sdf.NewSweepOn(s.table, host, "lug", at(t, 0, 16)(outline.Rect(10, 4, 0)), q, w.Roles(piece.Floor, q))
	s.patches = append(s.patches, &sdf.Patch{Name: "lug", Host: host, Parent: 0, Sweep: lug})
	b := s.body()
	m, _ := build(t, b, skin.Options{Tol: 0.02})
	requireSound(t, b, m)
	requireAudit(t, m)
	require.Equal(t, 100.*80*30-60*40*5-44*24*7+10*4*2, volume(m))
}

// halfDisc has two sharp corners between a line and an arc.
func halfDisc(t testing.TB) *outline.Outline {
	s := math.Sqrt(0.5) * 20
	o, err := outline.New([]outline.Elem{
		{A: geom.Vec2{X: 20}, B: geom.Vec2{X: s, Y: s}, R: 20},
		{A: geom.Vec2{X: s, Y: s}, B: geom.Vec2{X: -s, Y: s}, R: 20},
		{A: geom.Vec2{X: -s, Y: s}, B: geom.Vec2{X: -20}, R: 20},
		{A: geom.Vec2{X: -20}, B: geom.Vec2{X: 20}},
	})
	require.NoError(t, err)
	return o
}

// lens has two sharp corners between arcs, one of which bends inward.
func lens(t testing.TB) *outline.Outline {
	o, err := outline.New([]outline.Elem{
		{A: geom.Vec2{X: -20}, B: geom.Vec2{X: 20}, C: geom.Vec2{Y: 15}, R: 25},
		{A: geom.Vec2{X: 20}, B: geom.Vec2{X: 0, Y: 30}, C: geom.Vec2{X: -5, Y: 5}, R: math.Sqrt(650)},
		{A: geom.Vec2{X: 0, Y: 30}, B: geom.Vec2{X: -20}, C: geom.Vec2{X: -40, Y: 35}, R: -math.Sqrt(1625)},
	})
	require.NoError(t, err)
	return o
}

// requirePieces checks that the middle of each large triangle lies on the piece it names.
func requirePieces(t *testing.T, b *sdf.Body, m *mesh.Mesh) {
	t.Helper()
	for i, tr := range m.T {
		a, c, d := m.V[tr[0]], m.V[tr[1]], m.V[tr[2]]
		mid := a.Add(c).Add(d).Scale(1. / 3)
		got, want := b.Pieces.At(m.P[i]), b.Pieces.At(b.At(mid).Piece)
		if got != want {
			// Next to a joint the nearest piece may be the neighbour: then both are near.
			if n := c.Sub(a).Cross(d.Sub(a)).Unit(); n.Dot(b.At(mid).G) < 0.9 {
				require.Equal(t, want, got, "triangle %d at %v", i, mid)
			}
		}
	}
}

func TestMaxEdge(t *testing.T) {
	b := t12(t)
	free, _ := build(t, b, skin.Options{Tol: 0.05})
	m, rep := build(t, b, skin.Options{Tol: 0.05, MaxEdge: 15})
	requireSound(t, b, m)
	for _, tr := range m.T {
		for k := range 3 {
			require.LessOrEqual(t, m.V[tr[k]].Sub(m.V[tr[(k+1)%3]]).Norm(), 15.)
		}
	}
	requireAudit(t, m)
	require.Equal(t, len(m.T), rep.Strips+rep.Planes)
	require.InDelta(t, volume(free), volume(m), 5) // middles rounded to the grid
	worst, at := dense(m, len(m.T)/1000|1, b.At)
	require.LessOrEqual(t, worst, 0.05, "at %v", at)
}

func TestBuildIsRepeatable(t *testing.T) {
	a, ra := build(t, t12(t), skin.Options{Tol: 0.05})
	b, rb := build(t, t12(t), skin.Options{Tol: 0.05})
	require.Equal(t, a, b)
	require.Equal(t, ra, rb)
}

func TestBuildStopsWhenCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, _, err := skin.Build(ctx, t12(t), skin.Options{Tol: 0.05})
	require.ErrorIs(t, err, context.Canceled)
}

func TestBuildRefuses(t *testing.T) {
	rect := at(t, 0, 0)(outline.Rect(60, 40, 2))
	plain := func() *scene { return block(t, at(t, 0, 0)(outline.Rect(200, 160, 8)), -40, 0, 0) }
	cut := sdf.Wall{Host: 0, End: -20, Datum: 0, Draft: 10 * geom.Degree, HostR: 1, EndR: 2}
	for _, test := range []struct {
		name  string
		scene *scene
		o     skin.Options
		want  string
	}{
		{"tolerance", plain(), skin.Options{}, "a mesh tolerance of 0 mm is not at least"},
		{"longest edge", plain(), skin.Options{Tol: 0.02, MaxEdge: 0.1}, "a longest edge of 0.1 mm"},
		{"tight corner", plain().add(-1, rect, cut), skin.Options{Tol: 0.02}, "P1: the corner of radius 2.000 mm at (28.000, -20.000) is too small for a section"},
		{"crossing rims", plain().add(-1, at(t, 0, 0)(outline.Rect(60, 40, 9)), cut).add(-1, at(t, 40, 3)(outline.Rect(60, 40, 9)), cut),
			skin.Options{Tol: 0.02}, "block land plane at z = 0.0000 mm: edges cross at"},
		{"on the wrong height", plain().add(-1, at(t, 0, 0)(outline.Rect(60, 40, 9)), sdf.Wall{Host: -1, End: -20, Datum: -1}),
			skin.Options{Tol: 0.02}, "P1: it stands at z = -1.0000 mm on a level at 0.0000 mm"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, _, err := skin.Build(context.Background(), test.scene.body(), test.o)
			require.ErrorContains(t, err, test.want)
		})
	}
}
