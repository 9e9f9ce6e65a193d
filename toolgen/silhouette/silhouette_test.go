package silhouette_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/silhouette"
)

// binaryOf and textOf write triangles as the two forms of STL.
func binaryOf(mesh []silhouette.Triangle) []byte {
	b := make([]byte, 84, 84+50*len(mesh))
	copy(b, "made by hand")
	binary.LittleEndian.PutUint32(b[80:], uint32(len(mesh)))
	for _, t := range mesh {
		b = append(b, make([]byte, 12)...)
		for _, v := range t {
			for _, c := range []float64{v.X, v.Y, v.Z} {
				b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(c)))
			}
		}
		b = append(b, 0, 0)
	}
	return b
}

func textOf(mesh []silhouette.Triangle) []byte {
	var b bytes.Buffer
	b.WriteString("solid made by hand\n")
	for _, t := range mesh {
		b.WriteString("  facet normal 0 0 0\n    outer loop\n")
		for _, v := range t {
			fmt.Fprintf(&b, "      vertex %g %g %g\n", v.X, v.Y, v.Z)
		}
		b.WriteString("    endloop\n  endfacet\n")
	}
	b.WriteString("endsolid\n")
	return b.Bytes()
}

// prism returns the mesh of a prism over a plan that is a fan from its first corner.
func prism(plan []geom.Vec2, z0, z1 float64) []silhouette.Triangle {
	var out []silhouette.Triangle
	for i := 1; i+1 < len(plan); i++ {
		out = append(out, silhouette.Triangle{plan[0].At(z0), plan[i+1].At(z0), plan[i].At(z0)},
			silhouette.Triangle{plan[0].At(z1), plan[i].At(z1), plan[i+1].At(z1)})
	}
	for i, a := range plan {
		b := plan[(i+1)%len(plan)]
		out = append(out, silhouette.Triangle{a.At(z0), b.At(z0), b.At(z1)}, silhouette.Triangle{a.At(z0), b.At(z1), a.At(z1)})
	}
	return out
}

func box(x0, y0, x1, y1, z0, z1 float64) []silhouette.Triangle {
	return prism([]geom.Vec2{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}, z0, z1)
}

func product(t *testing.T, mesh []silhouette.Triangle, up string, unit float64) *silhouette.Product {
	t.Helper()
	u, ok := silhouette.UpNamed(up)
	require.True(t, ok)
	p, err := silhouette.New(mesh, u, unit)
	require.NoError(t, err)
	return p
}

func TestBothFormsReadBack(t *testing.T) {
	mesh := box(1, 2, 31.5, 22, -3, 9)
	for _, data := range [][]byte{binaryOf(mesh), textOf(mesh), bytes.ReplaceAll(textOf(mesh), []byte("\n"), []byte("\r\n"))} {
		got, err := silhouette.ReadSTL(data)
		require.NoError(t, err)
		require.Equal(t, mesh, got)
	}
	// A binary file may begin with solid.
	odd := binaryOf(mesh)
	copy(odd, "solid")
	got, err := silhouette.ReadSTL(odd)
	require.NoError(t, err)
	require.Len(t, got, 12)
}

func TestDirectionsUp(t *testing.T) {
	mesh := box(0, 0, 50, 30, 0, 10)
	for up, want := range map[string]geom.Vec3{
		"z": {X: 50, Y: 30, Z: 10}, "-z": {X: 50, Y: 30, Z: 10}, "x": {X: 30, Y: 10, Z: 50}, "-x": {X: 30, Y: 10, Z: 50},
		"y": {X: 10, Y: 50, Z: 30}, "-y": {X: 10, Y: 50, Z: 30},
	} {
		require.Equal(t, want, product(t, mesh, up, 1).Size, up)
	}
	require.InDelta(t, 1270, product(t, mesh, "z", 25.4).Size.X, 1e-9)
	// A plan that is no mirror image of itself keeps its hand: three corners, counter-clockwise, from above.
	l := []geom.Vec2{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 0, Y: 20}}
	for _, up := range silhouette.Ups {
		u, _ := silhouette.UpNamed(up)
		// The same prism stood up along the axis that is to point up.
		var stood []silhouette.Triangle
		for _, tri := range prism(l, 0, 5) {
			for k, v := range tri {
				if u.Down {
					v = geom.Vec3{X: v.X, Y: -v.Y, Z: -v.Z}
				}
				switch u.Axis {
				case 0:
					v = geom.Vec3{X: v.Z, Y: v.X, Z: v.Y}
				case 1:
					v = geom.Vec3{X: v.Y, Y: v.Z, Z: v.X}
				}
				tri[k] = v
			}
			stood = append(stood, tri)
		}
		h := product(t, stood, up, 1).Hull()
		require.Len(t, h, 3, up)
		require.InDelta(t, 400, area(h), 1e-9)
		require.Contains(t, h, geom.Vec2{X: 20, Y: -10}, up)
	}
}

func area(p []geom.Vec2) float64 {
	a := 0.0
	for i, v := range p {
		a += v.Cross(p[(i+1)%len(p)]) / 2
	}
	return a
}

func TestHullAndRound(t *testing.T) {
	// An L: its hull is the box less the cut corner.
	mesh := append(box(0, 0, 60, 20, 0, 5), box(0, 0, 20, 50, 0, 12)...)
	p := product(t, mesh, "z", 1)
	require.InDelta(t, 60*50-40*30/2.0, area(p.Hull()), 1e-9)
	require.Equal(t, geom.Vec3{X: 60, Y: 50, Z: 12}, p.Size)
	_, ok := p.Round(0.2)
	require.False(t, ok)
	var ring []geom.Vec2
	for i := range 64 {
		ring = append(ring, geom.Vec2{X: 30}.Turn(geom.Angle(2*math.Pi*float64(i)/64)))
	}
	r, ok := product(t, prism(ring, 0, 40), "z", 1).Round(0.05)
	require.True(t, ok, "facets lie 30 (1 - cos(pi / 64)) = 0.036 mm inside")
	require.InDelta(t, 30, r, 1e-9)
	_, ok = product(t, prism(ring, 0, 40), "z", 1).Round(0.03)
	require.False(t, ok)
}

// room returns the outline of a mesh's plan.
func room(t *testing.T, p *silhouette.Product, grow, closeR, openR float64) (*outline.Outline, float64) {
	t.Helper()
	o, slack, err := p.Room(grow, closeR, openR)
	require.NoError(t, err)
	require.Zero(t, o.Corners(), "arcs and lines are tangent to each other")
	return o, slack
}

// ell is the mesh of an L of 60 x 50 mm, 20 mm wide, as two boxes.
func ell() []silhouette.Triangle { return append(box(0, 0, 60, 20, 0, 5), box(0, 0, 20, 50, 0, 12)...) }

// TestBays: an L keeps its inner corner, a slit is closed, a hole is filled.
func TestBays(t *testing.T) {
	p := product(t, ell(), "z", 1)
	o, slack := room(t, p, 0, 5, 0)
	require.Less(t, slack, 0.25)
	// Of the inner corner a disc of 5 mm leaves (1 - pi / 4) 25 mm2.
	require.InDelta(t, 60*20+20*30+(1-math.Pi/4)*25, o.Area(), 220*slack)
	require.InDelta(t, 0, o.At(geom.Vec2{X: 0, Y: -25}).D, slack, "the straight below")
	require.InDelta(t, 5*(math.Sqrt2-1), -o.At(geom.Vec2{X: -10, Y: -5}).D, slack, "the inner corner, rounded by 5 mm")
	require.Greater(t, o.At(geom.Vec2{X: 10, Y: 10}).D, 10.0, "the bay stays open")
	// A comb with slits of 4 mm is closed by a disc of 3 mm, not by one of 1.5.
	comb := append(box(0, 0, 44, 10, 0, 5), append(box(0, 0, 20, 40, 0, 5), box(24, 0, 44, 40, 0, 5)...)...)
	for r, closed := range map[float64]bool{3: true, 1.5: false} {
		o, _ := room(t, product(t, comb, "z", 1), 0, r, 0)
		require.Equal(t, closed, o.At(geom.Vec2{X: 0, Y: 10}).D < 0, "disc of %g", r)
	}
	// Two bricks apart are no product.
	_, _, err := product(t, append(box(0, 0, 10, 10, 0, 5), box(20, 0, 30, 10, 0, 5)...), "z", 1).Room(0, 1, 0)
	require.ErrorContains(t, err, "2 pieces")
	_, _, err = product(t, box(0, 0, 40, 3, 0, 5), "z", 1).Room(0, 1, 2)
	require.ErrorContains(t, err, "narrower than its corners of 2.00 mm")
}

// TestRoom: grown by a distance its straights move out by it, its outward corners take their radius, and a hexagon
// grown is the hexagon offset, rounded at its corners, within the slack.
func TestRoom(t *testing.T) {
	o, slack := room(t, product(t, ell(), "z", 1), 2, 6, 3)
	require.InDelta(t, 2, -o.At(geom.Vec2{X: 0, Y: -25}).D, slack)
	require.InDelta(t, 2, -o.At(geom.Vec2{X: -30, Y: 0}).D, slack)
	// A corner of 3 mm where the straights lie 2 mm out: the product's corner keeps 3 - sqrt 2.
	require.InDelta(t, 3-math.Sqrt2, -o.At(geom.Vec2{X: -30, Y: -25}).D, 1.5*slack)
	for _, e := range o.Elems {
		if e.R != 0 && e.Length() > 1.5 {
			require.True(t, e.R > 2 || e.R < -4, "an arc of %.2f mm", e.R)
		}
	}
	var hex []geom.Vec2
	for i := range 6 {
		hex = append(hex, geom.Vec2{X: 25}.Turn(geom.Angle(i)*60*geom.Degree))
	}
	o, slack = room(t, product(t, prism(hex, 0, 9), "z", 1), 4, 5, 0)
	plain, err := outline.Polygon(hex, 0)
	require.NoError(t, err)
	for _, e := range o.Elems {
		for _, u := range []float64{0, 0.3, 0.7} {
			require.InDelta(t, 4, plain.At(e.Point(u)).D, slack)
		}
	}
}

// TestRoomHoldsRandomMeshes: every corner of every triangle keeps the distance, but for the slack.
func TestRoomHoldsRandomMeshes(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	for range 2 {
		var mesh []silhouette.Triangle
		for range 40 {
			x, y := 40*rng.Float64()-20, 40*rng.Float64()-20
			mesh = append(mesh, box(min(0, x), min(0, y), max(1, x), max(1, y), 0, rng.Float64()*9)...)
		}
		p := product(t, mesh, "z", 1)
		o, slack := room(t, p, 1.5, 4, 0)
		n := 0
		p.Corners(func(q geom.Vec2) {
			n++
			require.LessOrEqual(t, o.At(q).D, -1.5+slack)
		})
		require.Equal(t, 3*len(mesh), n)
	}
}

// TestRoomIsBounded: however large clearance and corner are beside the product, the grid is not.
func TestRoomIsBounded(t *testing.T) {
	p := product(t, box(0, 0, 1, 0.5, 0, 1), "z", 1)
	o, slack := room(t, p, 20, 500, 0)
	require.Less(t, slack, 5.0)
	require.InDelta(t, 20.25, -o.At(geom.Vec2{}).D, slack)
	// A plan all of thin slivers, each the whole height of the grid.
	var mesh []silhouette.Triangle
	for i := range 60_000 {
		x := 100 * float64(i) / 60_000
		mesh = append(mesh, silhouette.Triangle{{X: x}, {X: x + 1}, {X: x, Y: 100, Z: 5}})
	}
	o, slack = room(t, product(t, mesh, "z", 1), 1, 5, 2)
	require.Less(t, slack, 1.0)
	require.InDelta(t, 1, o.Bounds().Size().Y/2-50, slack)
}

func TestRefusedFiles(t *testing.T) {
	mesh := box(0, 0, 1, 1, 0, 1)
	nan := binaryOf(mesh)
	binary.LittleEndian.PutUint32(nan[84+12:], math.Float32bits(float32(math.NaN())))
	huge := make([]byte, 84)
	binary.LittleEndian.PutUint32(huge[80:], 1<<31)
	for _, tt := range []struct {
		data []byte
		says string
	}{
		{nil, "0 bytes"},
		{[]byte("solid"), ""},
		{huge, "2147483648 triangles, which are 107374182484 bytes, and it has 84"},
		{binaryOf(mesh)[:300], "12 triangles, which are 684 bytes, and it has 300"},
		{nan, "triangle 1 has a corner at (NaN, 0, 0)"},
		{bytes.Replace(textOf(mesh), []byte("vertex 1 "), []byte("vertex 1e9 "), 1), "corner at (1e+09,"},
		{bytes.Replace(textOf(mesh), []byte("vertex 1 "), []byte("vertex one "), 1), `line 5 of the STL text: "one" is no number`},
		{bytes.Replace(textOf(mesh), []byte("    endloop\n  endfacet\n"), nil, 1), "a fourth corner of a facet; 3"},
		{[]byte("solid\n" + strings.Repeat("x", 2000)), "line 2 has 2000 characters"},
		{[]byte("solid\nvertex 1 2 3\nendfacet\n"), "a facet of 1 corners; 3"},
		{[]byte("solid\nvertex 1 2 3\n"), "it ends within a facet"},
	} {
		m, err := silhouette.ReadSTL(tt.data)
		if tt.says == "" {
			require.NoError(t, err)
			_, err = silhouette.New(m, silhouette.Up{Axis: 2}, 1)
			require.ErrorContains(t, err, "no triangle")
			continue
		}
		require.ErrorContains(t, err, tt.says)
	}
	_, err := silhouette.New(box(0, 0, 1e-4, 1e-4, 0, 1), silhouette.Up{Axis: 2}, 1)
	require.ErrorContains(t, err, "at least 0.01 mm across")
}

// FuzzSTL: any bytes are refused, or make a product whose hull encloses it.
func FuzzSTL(f *testing.F) {
	mesh := box(0, 0, 5, 3, 0, 2)
	f.Add(binaryOf(mesh))
	f.Add(textOf(mesh))
	f.Add([]byte("solid\nfacet\nvertex 1 2 3\nvertex 4 5 6\nvertex 7 8 9\nendfacet"))
	f.Add(binaryOf(mesh)[:120])
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := silhouette.ReadSTL(data)
		if err != nil {
			return
		}
		p, err := silhouette.New(m, silhouette.Up{Axis: 2}, 1)
		if err != nil {
			return
		}
		for _, v := range p.Hull() {
			require.LessOrEqual(t, math.Abs(v.X), p.Size.X/2*(1+1e-9)+1e-9)
			require.LessOrEqual(t, math.Abs(v.Y), p.Size.Y/2*(1+1e-9)+1e-9)
		}
	})
}
