package render_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
	"platen/toolgen/render"
)

// block returns a cuboid about the Z axis, standing on z = 0.
func block(x, y, z float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		m.V = append(m.V, geom.Vec3{
			X: sign(i&1 != 0) * x / 2, Y: sign(i&2 != 0) * y / 2, Z: float64(i>>2) * z,
		})
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.T = append(m.T, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

func picture(t *testing.T, m *mesh.Mesh, v render.View, marks []render.Mark, o render.Options) *image.RGBA {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, render.PNG(&b, m, v, marks, o))
	img, err := png.Decode(&b)
	require.NoError(t, err)
	require.IsType(t, &image.RGBA{}, img)
	return img.(*image.RGBA)
}

func at(img *image.RGBA, x, y int) color.RGBA { return img.RGBAAt(x, y) }

// small is a picture of half the default size.
var small = render.Options{Width: 800, Height: 550}

// dark reports whether a pixel is drawn in ink.
func dark(c color.RGBA) bool { return int(c.R)+int(c.G)+int(c.B) < 3*0x60 }

// run returns the first and last dark pixel of a row between two columns, -1 for none.
func run(img *image.RGBA, y, x0, x1 int) (lo, hi int) {
	lo, hi = -1, -1
	for x := x0; x < x1; x++ {
		if dark(at(img, x, y)) {
			if lo < 0 {
				lo = x
			}
			hi = x
		}
	}
	return lo, hi
}

func TestPictureSize(t *testing.T) {
	for _, c := range []struct{ w, h, wantW, wantH int }{{0, 0, 1600, 1100}, {64, 64, 64, 64}, {401, 277, 401, 277}, {300, 900, 300, 900}} {
		img := picture(t, block(100, 60, 20), render.ThreeQuarter, nil, render.Options{Width: c.w, Height: c.h, Title: strings.Repeat("long title ", 30)})
		require.Equal(t, image.Rect(0, 0, c.wantW, c.wantH), img.Bounds())
	}
}

// The scale bar and the body are drawn to one scale, and the body is where its coordinates say.
func TestTopViewIsToScale(t *testing.T) {
	const wide, deep = 160.0, 90.0
	img := picture(t, block(wide, deep, 30), render.Top, nil, render.Options{})
	left, right := run(img, 550, 0, 1600)
	px := float64(right - left)
	scale := px / wide // outline to outline, each about its edge
	require.InDelta(t, 800, float64(left+right)/2, 1, "the body stands in the middle")

	barLeft, barRight := run(img, 1060, 800, 1600)
	require.Equal(t, 20.0, render.BarLength(0.2*1600/scale))
	require.InDelta(t, 20, float64(barRight-barLeft)/scale, 1.5/scale)

	top, bottom := -1, -1
	for y := range 1100 {
		if dark(at(img, 800, y)) {
			if top < 0 {
				top = y
			}
			bottom = y
		}
	}
	require.InDelta(t, deep, float64(bottom-top)/scale, 1.5/scale)
}

func TestMarksAreWhereTheyBelong(t *testing.T) {
	m := block(160, 90, 30)
	plain := picture(t, m, render.Top, nil, render.Options{})
	left, right := run(plain, 550, 0, 1600)
	scale := float64(right-left) / 160
	up := geom.Vec3{Z: 1}
	petrol := color.RGBA{0x0f, 0x6b, 0x78, 0xff}
	places := []geom.Vec3{{X: 40, Y: 20, Z: 30}, {X: -61.5, Y: 33, Z: 30}, {X: 70, Y: -40, Z: 30}}
	var ms []render.Mark
	for _, p := range places {
		ms = append(ms, render.Mark{At: p, Normal: up, Kind: render.Vent})
	}
	img := picture(t, m, render.Top, ms, render.Options{})
	middle := 1100 * (0.125 + 1 - 0.115) / 2 // between the margins
	for _, p := range places {
		wantX, wantY := 800+scale*p.X, middle-scale*p.Y
		sx, sy, n := 0.0, 0.0, 0.0
		for y := int(wantY) - 20; y < int(wantY)+20; y++ {
			for x := int(wantX) - 20; x < int(wantX)+20; x++ {
				if at(img, x, y) == petrol {
					sx, sy, n = sx+float64(x), sy+float64(y), n+1
				}
			}
		}
		require.InDelta(t, math.Pi*5.2*5.2, n, 20, "area of the disc")
		require.InDelta(t, wantX, sx/n+0.5, 1)
		require.InDelta(t, wantY, sy/n+0.5, 1)
	}
}

func TestHiddenMarksAreFaint(t *testing.T) {
	m := block(160, 90, 30)
	plain := picture(t, m, render.Top, nil, small)
	change := func(z float64, k render.Kind) int {
		img := picture(t, m, render.Top, []render.Mark{{At: geom.Vec3{X: 10, Y: 10, Z: z}, Normal: geom.Vec3{Z: 1}, Kind: k}}, small)
		most := 0
		for y := range 550 {
			for x := range 800 {
				p, q := at(plain, x, y), at(img, x, y)
				for _, d := range []int{int(p.R) - int(q.R), int(p.G) - int(q.G), int(p.B) - int(q.B)} {
					most = max(most, d, -d)
				}
			}
		}
		return most
	}
	for _, k := range []render.Kind{render.Vent, render.Note, render.Warning, render.Error} {
		seen, hidden := change(30, k), change(5, k)
		require.Greater(t, seen, 60, "kind %d", k)
		require.Greater(t, hidden, 3, "kind %d", k)
		require.Less(t, hidden, seen/2, "kind %d", k)
	}
}

// Cutting triangles in their own plane changes nothing one can see: no cracks, no stray lines.
func TestTessellationDoesNotShow(t *testing.T) {
	coarse, fine := sample(), fine()
	for _, v := range []render.View{render.ThreeQuarter, render.Top} {
		a := picture(t, coarse.m, v, nil, render.Options{Width: 800, Height: 550, Pieces: coarse.pieces})
		b := picture(t, fine.m, v, nil, render.Options{Width: 800, Height: 550, Pieces: fine.pieces})
		differ := 0
		for y := range 550 {
			for x := range 800 {
				p, q := at(a, x, y), at(b, x, y)
				if abs(int(p.R)-int(q.R)) > 12 || abs(int(p.G)-int(q.G)) > 12 {
					differ++
				}
			}
		}
		require.Less(t, differ, 800*550/200, "%v: %d pixels differ", v, differ)
	}
}

func abs(x int) int { return max(x, -x) }

func TestEdgesAreDrawn(t *testing.T) {
	img := picture(t, block(160, 90, 30), render.Top, nil, render.Options{})
	left, right := run(img, 550, 0, 1600)
	require.False(t, dark(at(img, left+4, 550)), "the outline is a line, not an area")
	require.False(t, dark(at(img, left-4, 550)))
	for x := left + 4; x < right-4; x++ {
		require.False(t, dark(at(img, x, 550)), "the diagonal of a plane face is no edge: column %d", x)
	}
	wire := picture(t, block(160, 90, 30), render.Top, nil, render.Options{Wire: true})
	differ := 0
	for x := left + 4; x < right-4; x++ {
		if at(wire, x, 550) != at(img, x, 550) {
			differ++
		}
	}
	require.Positive(t, differ, "the wire shows it")
}

// spot returns the colour of the sample's top view, of half the default size, at a plan point.
func spot(img *image.RGBA, x, y float64) color.RGBA {
	scale := 550 * (1 - 0.125 - 0.115) / 156 // the depth fills the height between the margins
	middle := 550 * (0.125 + 1 - 0.115) / 2
	return at(img, int(400+x*scale), int(middle-y*scale))
}

func TestRolesAreTinted(t *testing.T) {
	s := sample()
	with := small
	with.Pieces = s.pieces
	// The middle of a shallow pocket, well clear of edges.
	floor := spot(picture(t, s.m, render.Top, nil, with), -78, 52)
	plain := spot(picture(t, s.m, render.Top, nil, small), -78, 52)
	require.Greater(t, int(floor.G)-int(floor.R), int(plain.G)-int(plain.R)+8, "a floor is tinted green")
}

func TestPocketsAreDarkerThanTheLand(t *testing.T) {
	s := sample()
	img := picture(t, s.m, render.Top, nil, small)
	grey := func(x, y float64) int {
		c := spot(img, x, y)
		return int(c.R) + int(c.G) + int(c.B)
	}
	land, shallow, deep := grey(-50, 24), grey(-78, 52), grey(-78, 0)
	require.Greater(t, land, shallow)
	require.Greater(t, shallow, deep)
}

func TestSameBytesOnAnyNumberOfCores(t *testing.T) {
	s := sample()
	o := render.Options{Width: 500, Height: 333, Title: "tray", Pieces: s.pieces}
	draw := func() []byte {
		var b bytes.Buffer
		require.NoError(t, render.PNG(&b, s.m, render.ThreeQuarter, marks(), o))
		return b.Bytes()
	}
	want := draw()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, n := range []int{1, 2, 7} {
		runtime.GOMAXPROCS(n)
		require.Equal(t, want, draw(), "%d cores", n)
	}
}

// inked returns the box of the dark pixels of a part of the picture.
func inked(img *image.RGBA, part image.Rectangle) image.Rectangle {
	out := image.Rectangle{}
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			if dark(at(img, x, y)) {
				out = out.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return out
}

func TestTitle(t *testing.T) {
	m := block(160, 90, 30)
	head := image.Rect(0, 0, 1600, 66) // above the second line
	require.Equal(t, image.Rectangle{}, inked(picture(t, m, render.Top, nil, render.Options{Note: "PETG"}), image.Rect(0, 0, 1600, 30)))

	f, err := sfnt.Parse(gobold.TTF)
	require.NoError(t, err)
	var buf sfnt.Buffer
	index, err := f.GlyphIndex(&buf, 'H')
	require.NoError(t, err)
	bounds, _, err := f.GlyphBounds(&buf, index, fixed.I(27), font.HintingNone)
	require.NoError(t, err)
	h := inked(picture(t, m, render.Top, nil, render.Options{Title: "H"}), head)
	// The first and the last row and column are partly covered and may not count as dark.
	require.InDelta(t, float64(bounds.Max.Y-bounds.Min.Y)/64-1, h.Dy(), 1)
	require.InDelta(t, float64(bounds.Max.X-bounds.Min.X)/64-1, h.Dx(), 1)
	require.InDelta(t, 40, h.Min.X, 4)

	long := inked(picture(t, m, render.Top, nil, render.Options{Title: strings.Repeat("many words ", 40)}), head)
	require.LessOrEqual(t, long.Max.X, 1560, "a long title ends inside the border")
	require.Greater(t, long.Max.X, 1500)
}

func TestBarLength(t *testing.T) {
	for _, c := range []struct{ most, want float64 }{
		{99.9, 50}, {100, 100}, {49.9, 20}, {19.9, 10}, {9.9, 5}, {1, 1}, {0.3, 0.2}, {2500, 2000}, {0, 0}, {math.NaN(), 0},
	} {
		require.Equal(t, c.want, render.BarLength(c.most), "%v", c.most)
	}
}

// Bodies without extent and marks anywhere must not break the picture.
func TestOddBodies(t *testing.T) {
	flat := &mesh.Mesh{V: []geom.Vec3{{}, {X: 10}, {X: 10, Y: 10}}, T: [][3]int32{{0, 1, 2}}}
	spot := &mesh.Mesh{V: []geom.Vec3{{X: 5, Y: 5, Z: 5}}, T: [][3]int32{{0, 0, 0}}}
	far := block(1, 1, 1)
	for i := range far.V {
		far.V[i].X += 1e6
	}
	wall := &mesh.Mesh{V: []geom.Vec3{{}, {X: 10}, {X: 10, Z: 10}}, T: [][3]int32{{0, 1, 2}}}
	for name, m := range map[string]*mesh.Mesh{"flat": flat, "spot": spot, "far": far, "wall": wall, "needle": block(1000, 0.01, 0.01), "mast": block(0.1, 0.1, 500)} {
		for _, v := range []render.View{render.ThreeQuarter, render.Top} {
			t.Run(name+" "+v.String(), func(t *testing.T) {
				img := picture(t, m, v, []render.Mark{{}, {At: geom.Vec3{X: 1e9}}, {At: m.V[0], Kind: render.Error}}, render.Options{Width: 200, Height: 150})
				require.Equal(t, 200, img.Bounds().Dx())
			})
		}
	}
}

func TestPNGRefuses(t *testing.T) {
	bad := func(change func(m *mesh.Mesh)) *mesh.Mesh {
		m := block(1, 1, 1)
		change(m)
		return m
	}
	table := &piece.Table{}
	for _, c := range []struct {
		name  string
		m     *mesh.Mesh
		v     render.View
		marks []render.Mark
		o     render.Options
		want  string
	}{
		{name: "empty", m: &mesh.Mesh{}, want: "without triangles"},
		{name: "NaN", m: bad(func(m *mesh.Mesh) { m.V[3].X = math.NaN() }), want: "vertex 3 is not finite"},
		{name: "index", m: bad(func(m *mesh.Mesh) { m.T[3][0] = 8 }), want: "triangle 3 names vertex 8 of 8"},
		{name: "negative index", m: bad(func(m *mesh.Mesh) { m.T[3][0] = -1 }), want: "triangle 3 names vertex -1"},
		{name: "mark", m: block(1, 1, 1), marks: []render.Mark{{}, {At: geom.Vec3{Z: math.Inf(1)}}}, want: "mark 1 is not finite"},
		{name: "narrow", m: block(1, 1, 1), o: render.Options{Width: 63, Height: 100}, want: "63 by 100 pixels, each side must be 64 to 8192"},
		{name: "half a size", m: block(1, 1, 1), o: render.Options{Width: 800}, want: "800 by 0"},
		{name: "huge", m: block(1, 1, 1), o: render.Options{Width: 800, Height: 8193}, want: "800 by 8193"},
		{name: "view", m: block(1, 1, 1), v: 2, want: "no view 2"},
		{name: "pieces short", m: bad(func(m *mesh.Mesh) { m.P = make([]piece.ID, 3) }), want: "3 pieces for 12 triangles"},
		{name: "piece unknown", m: bad(func(m *mesh.Mesh) { m.P = make([]piece.ID, 12) }), o: render.Options{Pieces: table}, want: "triangle 0 is of piece 0 of 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			require.ErrorContains(t, render.PNG(&b, c.m, c.v, c.marks, c.o), "picture: ")
			require.ErrorContains(t, render.PNG(io.Discard, c.m, c.v, c.marks, c.o), c.want)
			require.Zero(t, b.Len())
		})
	}
}

// A window fills the picture with its part of the space, at the scale that its bar says.
func TestWindow(t *testing.T) {
	window := &geom.Box3{Min: geom.Vec3{X: 40, Y: 20, Z: 30}, Max: geom.Vec3{X: 80, Y: 45, Z: 30}}
	img := picture(t, block(160, 90, 30), render.Top, nil, render.Options{Window: window})
	lo, hi := run(img, 550, 900, 1600)
	require.GreaterOrEqual(t, lo, 0, "the block's right side, x = 80, is at the right edge of the window")
	scale := 1100 * (1 - 0.125 - 0.115) / 25 // the window's depth fills the height between the margins
	middle := 800 + (80-60)*scale            // its middle is that of the picture
	require.InDelta(t, middle, float64(lo+hi)/2, 1.5)

	for _, bad := range []geom.Box3{{}, {Min: geom.Vec3{X: 1}, Max: geom.Vec3{Y: 1}}, {Max: geom.Vec3{X: math.Inf(1), Y: 1}}} {
		err := render.PNG(io.Discard, block(1, 1, 1), render.Top, nil, render.Options{Window: &bad})
		require.ErrorContains(t, err, "is not a box")
	}
}
