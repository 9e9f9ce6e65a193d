package drawing_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/drawing"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// mm is the options of a file in mm that does not say so.
var mm = drawing.Options{Unit: drawing.Millimetre}

// dxf returns the text of a DXF file: unit 0 writes no header; the entities as "KIND code value code value".
func dxf(unit int, entities ...[]any) []byte {
	var b bytes.Buffer
	if unit != 0 {
		fmt.Fprintf(&b, "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n%d\n0\nENDSEC\n", unit)
	}
	b.WriteString("0\nSECTION\n2\nENTITIES\n")
	for _, e := range entities {
		fmt.Fprintf(&b, "0\n%v\n", e[0])
		for i := 1; i < len(e); i += 2 {
			fmt.Fprintf(&b, "%v\n%v\n", e[i], e[i+1])
		}
	}
	b.WriteString("0\nENDSEC\n0\nEOF\n")
	return b.Bytes()
}

func line(x0, y0, x1, y1 float64) []any {
	return []any{"LINE", 8, "0", 10, x0, 20, y0, 11, x1, 21, y1}
}

func arc(x, y, r, from, to float64) []any {
	return []any{"ARC", 8, "0", 10, x, 20, y, 40, r, 50, from, 51, to}
}

func svgFile(size, body string) []byte {
	return []byte(`<svg xmlns="http://www.w3.org/2000/svg" ` + size + `>` + body + `</svg>`)
}

// sameField holds the distance fields of two outlines against each other all over their boxes.
func sameField(t *testing.T, want, got *outline.Outline, tol float64) {
	t.Helper()
	rng := rand.New(rand.NewPCG(5, 6))
	b := want.Bounds().Join(got.Bounds()).Grow(10)
	worst, at := 0.0, geom.Vec2{}
	for range 4000 {
		p := geom.Vec2{X: b.Min.X + rng.Float64()*b.Size().X, Y: b.Min.Y + rng.Float64()*b.Size().Y}
		if d := math.Abs(want.At(p).D - got.At(p).D); d > worst {
			worst, at = d, p
		}
	}
	require.LessOrEqual(t, worst, tol, "at %v", at)
}

func rect(t *testing.T, l, w, r float64) *outline.Outline {
	t.Helper()
	o, err := outline.Rect(l, w, r)
	require.NoError(t, err)
	return o
}

func moved(t *testing.T, o *outline.Outline, x, y float64) *outline.Outline {
	t.Helper()
	o, err := o.Map(geom.Moved(geom.Vec2{X: x, Y: y}))
	require.NoError(t, err)
	return o
}

// roundedRect is 110 x 90 with corners of 15 mm about the origin, as entities of every kind.
func roundedRect() map[string][]byte {
	b := math.Tan(math.Pi / 8)
	light := []any{"LWPOLYLINE", 8, "0", 90, 8, 70, 1}
	heavy := [][]any{{"POLYLINE", 8, "0", 66, 1, 70, 1}}
	for _, v := range [][3]float64{{-40, -45, 0}, {40, -45, b}, {55, -30, 0}, {55, 30, b}, {40, 45, 0}, {-40, 45, b}, {-55, 30, 0}, {-55, -30, b}} {
		light = append(light, 10, v[0], 20, v[1], 42, v[2])
		heavy = append(heavy, []any{"VERTEX", 8, "0", 10, v[0], 20, v[1], 42, v[2]})
	}
	heavy = append(heavy, []any{"SEQEND", 8, "0"})
	inches := make([][]any, 0, 8)
	loose := [][]any{
		line(-40, -45, 40, -45), line(-40, 45, 40, 45), arc(40, 30, 15, 0, 90), line(55, 30, 55, -30), arc(-40, -30, 15, 180, 270),
		arc(40, -30, 15, 270, 360), arc(-40, 30, 15, 90, 180), line(-55, -30, -55, 30),
	}
	for _, e := range loose {
		in := append([]any(nil), e...)
		for i := 1; i < len(in); i += 2 {
			if c := in[i].(int); c < 50 && c != 8 {
				in[i+1] = in[i+1].(float64) / 25.4
			}
		}
		inches = append(inches, in)
	}
	return map[string][]byte{
		"lines and arcs": dxf(4, loose...), "inches": dxf(1, inches...), "light polyline": dxf(4, light), "polyline": dxf(4, heavy...),
	}
}

// TestDXFFields: the same outline, drawn in every way, gives the same distances as the one of the job file.
func TestDXFFields(t *testing.T) {
	want := rect(t, 110, 90, 15)
	for name, data := range roundedRect() {
		t.Run(name, func(t *testing.T) {
			d, err := drawing.ReadDXF(data, drawing.Options{})
			require.NoError(t, err)
			require.Empty(t, d.Warnings)
			require.NoError(t, d.Outline.Simple())
			sameField(t, want, d.Outline, 1e-9)
		})
	}
}

// TestSVGFields does so for SVG. The page is 200 mm high, so its middle is at (100, 100) both ways up.
func TestSVGFields(t *testing.T) {
	want := moved(t, rect(t, 110, 90, 15), 100, 100)
	page := `width="200mm" height="200mm" viewBox="0 0 200 200"`
	arcs := `M60 55 h80 a15 15 0 0 1 15 15 v60 a15,15,0,0,1-15,15 H60 A15 15 0 0145 130 V70A15 15 0 0 1 60 55z`
	for name, c := range map[string]struct{ size, body string }{
		"rect":      {page, `<rect x="45" y="55" width="110" height="90" rx="15"/>`},
		"path":      {page, `<path d="` + arcs + `"/>`},
		"turned":    {page, `<g transform="rotate(90 100 100)"><rect x="55" y="45" width="90" height="110" ry="15"/></g>`},
		"mirrored":  {page, `<g transform="translate(200) scale(-1,1)"><path d="` + arcs + `"/></g>`},
		"matrix":    {page, `<path transform="matrix(0 1 -1 0 200 0)" d="M70 45 H130 A15 15 0 0 1 145 60 V140 A15 15 0 0 1 130 155 H70 A15 15 0 0 1 55 140 V60 A15 15 0 0 1 70 45Z"/>`},
		"pixels":    {fmt.Sprintf(`width="%.12f" height="%.12f"`, 200/25.4*96, 200/25.4*96), `<g transform="scale(3.77952755905511811)"><path d="` + arcs + `"/></g>`},
		"scaled":    {`width="200mm" height="200mm" viewBox="0 0 100 100"`, `<path transform="scale(.5)" d="` + arcs + `"/>`},
		"squeezed":  {`width="200mm" height="200mm" viewBox="0 0 200 100" preserveAspectRatio="none"`, `<path transform="scale(1 .5)" d="` + arcs + `"/>`},
		"letterbox": {`width="300mm" height="200mm" viewBox="0 0 200 200" preserveAspectRatio="xMinYMid"`, `<path d="` + arcs + `"/>`},
		"in pieces": {page, `<path d="M60 55H140A15 15 0 0 1 155 70V130"/><path d="M60 55A15 15 0 0 0 45 70"/><path d="M155 130A15 15 0 0 1 140 145H60A15 15 0 0 1 45 130V70"/>`},
	} {
		t.Run(name, func(t *testing.T) {
			d, err := drawing.ReadSVG(svgFile(c.size, c.body), drawing.Options{})
			require.NoError(t, err)
			sameField(t, want, d.Outline, 1e-8)
		})
	}
}

// TestRoundTrip: what is written is read back, through random outlines with holes.
func TestRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		l, w := 20+rng.Float64()*200, 20+rng.Float64()*200
		outer := rect(t, l, w, rng.Float64()*9)
		hole, err := outline.Circle(1 + rng.Float64()*8)
		require.NoError(t, err)
		o, err := outline.New(outer.Elems, reversed(hole.Elems))
		require.NoError(t, err)
		o, err = o.Map(geom.Turned(geom.Angle(rng.Float64() * 6)).Then(geom.Moved(geom.Vec2{X: 300 * rng.Float64(), Y: -300 * rng.Float64()})))
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, drawing.WriteDXF(&b, drawing.Sheet{
			Notes: []string{"trim line, part size"}, CheckBar: true,
			Layers: []drawing.Layer{{Name: "TRIM", Colour: 1, Outlines: []*outline.Outline{o}}},
		}))
		d, err := drawing.ReadDXF(b.Bytes(), drawing.Options{Layers: []string{"trim"}})
		require.NoError(t, err)
		require.Equal(t, drawing.Millimetre, d.Unit)
		require.Len(t, d.Loops, 2)
		sameField(t, o, d.Outline, 1e-8)
	}
}

func reversed(es []outline.Elem) []outline.Elem {
	var out []outline.Elem
	for i := range es {
		out = append(out, es[len(es)-1-i].Reversed())
	}
	return out
}
