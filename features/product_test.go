package features_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/part/parttest"
	"platen/toolgen/wall"
)

// TestPocketOfAProduct: plan, clearance and depth follow from the product, and keys given by hand win.
func TestPocketOfAProduct(t *testing.T) {
	for _, tt := range []struct {
		keys  string
		size  geom.Vec2
		depth float64
		grips int
	}{
		{"product: {size: [60, 40], corner: 3, height: 15}", geom.Vec2{X: 61.5, Y: 41.5}, 15, 2}, // by hand, flush
		{"product: {size: [60, 40], corner: 3, height: 15}, fit: tight, fingers: none", geom.Vec2{X: 60.7, Y: 40.7}, 15, 0},
		{"product: {size: [60, 40], corner: 3, height: 15}, fit: glove, fingers: one", geom.Vec2{X: 63, Y: 43}, 15, 1},
		{"product: {size: [60, 40], corner: 3, height: 30}, clearance: 1, depth: 18", geom.Vec2{X: 62, Y: 42}, 18, 0},
		{"product: {size: [60, 40], corner: 3, height: 30}, clearance: 1, depth: 18.1", geom.Vec2{X: 62, Y: 42}, 18.1, 2},
		{"product: {cylinder: 50, height: 12}, clearance: 0.5", geom.Vec2{X: 51, Y: 51}, 12, 2},
		{"product: {outline: {slot: [90, 24]}, height: 12}, clearance: 0.5", geom.Vec2{X: 91, Y: 25}, 12, 1}, // one trough through
	} {
		p, _ := made(t, "{kind: pocket, "+tt.keys+"}")
		f := p.Features[0]
		size := f.Outline.Bounds().Size()
		require.InDelta(t, tt.size.X, size.X, 1e-9, tt.keys)
		require.InDelta(t, tt.size.Y, size.Y, 1e-9, tt.keys)
		require.InDelta(t, tt.depth, f.Height, 1e-9, tt.keys)
		require.NotNil(t, f.Held)
		require.Len(t, p.Features, 1+tt.grips, tt.keys)
		for i, g := range p.Features[1:] {
			require.Equal(t, part.Grip, g.Use)
			require.Equal(t, fmt.Sprintf("I1/pocket-1/fingers-%d", i+1), g.ID)
			require.InDelta(t, min(20, 0.75*tt.depth), g.Height, 1e-9)
			// It reaches 20 mm out of the pocket, across its shorter way.
			out := -math.Inf(1)
			for _, e := range g.Outline.Elems {
				out = max(out, f.Outline.At(e.Point(0.5)).D, f.Outline.At(e.A).D)
			}
			require.InDelta(t, 20, out, 0.01, tt.keys)
			require.InDelta(t, 0, g.Outline.Bounds().Centre().X, 1e-9)
		}
	}
	// A pocket that lies along Y is gripped along X, and turned with its feature.
	p, _ := made(t, "{kind: pocket, product: {size: [40, 60], corner: 3, height: 15}}")
	require.InDelta(t, 0, p.Features[1].Outline.Bounds().Centre().Y, 1e-9)
	p, _ = made(t, "{kind: pocket, turn: 90, product: {size: [40, 60], corner: 3, height: 15}}")
	require.InDelta(t, 0, p.Features[1].Outline.Bounds().Centre().X, 1e-9)
}

func TestProductRefused(t *testing.T) {
	for _, tt := range []struct{ keys, says string }{
		{"product: {height: 15}", "0 plans of the product; give 1 of size, cylinder, outline and mesh"},
		{"product: {size: [60, 40], cylinder: 30, height: 15}", "2 plans of the product"},
		{"product: {size: [60, 40]}", "the product has no height"},
		{"product: {size: [60, 40], height: 15}, size: [70, 50]", "size stands beside a product"},
		{"product: {size: [60, 40], height: 15}, corner: 5", "corner stands beside a product"},
		{"product: {cylinder: 40, corner: 3, height: 15}", "corner 3.000 mm of the product: it goes with size"},
		{"product: {size: [60, 40], height: 15}, holds: opening", "a product has its clearance at the floor"},
		{"product: {mesh: none.stl}", `no file "none.stl"`},
		{"size: [60, 40]", `missing key "depth"`},
		{"product: {size: [60, 40], height: 15}, fit: tight, floor: 2", "clearance 0.350 mm: the sharp corner of the product"},
	} {
		_, err := entry(t, "{kind: pocket, "+tt.keys+"}")
		var bad *part.BuildError
		require.ErrorAs(t, err, &bad, tt.keys)
		require.Contains(t, bad.Err.Error(), tt.says)
	}
}

// TestPocketOfAMesh: a cylinder's mesh gives a round pocket, an L's one with a bay.
func TestPocketOfAMesh(t *testing.T) {
	var b strings.Builder
	b.WriteString("solid drum\n")
	for i := range 90 {
		a, c := 2*math.Pi*float64(i)/90, 2*math.Pi*float64(i+1)/90
		fmt.Fprintf(&b, "facet\nvertex 0 0 0\nvertex %.6f %.6f 0\nvertex %.6f %.6f 35\nendfacet\n", 25*math.Cos(a), 25*math.Sin(a), 25*math.Cos(c), 25*math.Sin(c))
	}
	drum := b.String() + "endsolid\n"
	facet := "facet\nvertex %s\nvertex %s\nvertex %s\nendfacet\n"
	ell := "solid ell\n" + fmt.Sprintf(facet, "0 0 0", "60 0 0", "60 20 12") + fmt.Sprintf(facet, "0 0 0", "60 20 0", "0 20 0") +
		fmt.Sprintf(facet, "0 0 0", "20 0 0", "20 50 0") + fmt.Sprintf(facet, "0 0 0", "20 50 0", "0 50 0") + "endsolid\n"
	resolve := func(keys string) *part.Part {
		var kinds []job.Kind
		for _, k := range features.All() {
			kinds = append(kinds, k.Kind)
		}
		j, err := job.Read([]byte(parttest.Head(500)+"  - {kind: pocket, "+keys+"}\n"), "j.yaml", kinds, job.Names{})
		require.NoError(t, err)
		p, err := part.Resolve(j, features.All(), func(name string) ([]byte, error) {
			return []byte(map[string]string{"drum.stl": drum, "ell.stl": ell}[name]), nil
		})
		require.NoError(t, err, keys)
		require.Len(t, p.Files, 1)
		return p
	}
	p := resolve("product: {mesh: drum.stl}, clearance: 1")
	require.InDelta(t, 35, p.Features[0].Height, 1e-9)
	require.InDelta(t, 2*26*math.Pi, p.Features[0].Outline.Length(), 1e-3, "a circle, not its facets")
	p = resolve("product: {mesh: drum.stl, unit: inch, height: 30}, clearance: 1, fingers: none")
	require.InDelta(t, 2*(25*25.4+1)*math.Pi, p.Features[0].Outline.Length(), 1e-2)
	hull := resolve("product: {mesh: ell.stl}, clearance: 2, fingers: none").Features[0].Outline
	bays := resolve("product: {mesh: ell.stl, plan: bays}, clearance: 2, fingers: none").Features[0].Outline
	require.InDelta(t, (40*30)/2, hull.Area()-bays.Area(), 120, "the bay, less what its corner and the clearance take")
	for _, q := range []geom.Vec2{{X: -30, Y: -25}, {X: 30, Y: -25}, {X: 30, Y: -5}, {X: -10, Y: 25}, {X: -30, Y: 25}} {
		require.Less(t, hull.At(q).D, -0.4, "clear of the corner %v", q)
		require.Less(t, bays.At(q).D, -0.4, "clear of the corner %v", q)
	}
}

// TestFingersFit builds pockets of many products with every way of fingers: what is refused names a number, and
// nearly all can be made.
func TestFingersFit(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 8))
	made, all := 0, 0
	for range 60 {
		l, w, h := 12+rng.Float64()*90, 12+rng.Float64()*60, 5+rng.Float64()*30
		keys := fmt.Sprintf("product: {size: [%.1f, %.1f], corner: %.1f, height: %.1f}, depth: %.1f", l, w, 3+rng.Float64()*(min(l, w)/2-3), h, max(4, h*(0.5+rng.Float64()/2)))
		for _, way := range []string{"one", "pair", "hand"} {
			all++
			p, err := entry(t, "{kind: pocket, clearance: 1, floor: 2, fingers: "+way+", "+keys+"}")
			require.NoError(t, err, keys)
			_, err = body.Assemble(p, wall.Nominal{Gauge: p.Gauge})
			if err != nil {
				require.Regexp(t, "[0-9]", err.Error())
				continue
			}
			made++
		}
	}
	require.GreaterOrEqual(t, made, all*95/100, "of %d", all)
}
