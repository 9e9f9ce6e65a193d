package drawing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/drawing"
	"platen/toolgen/geom"
)

// promised is how far, mm, the arcs of a curve may lie from it.
const promised = 0.002

// TestEllipse holds a turned ellipse, from both formats, against its own points.
func TestEllipse(t *testing.T) {
	for _, ratio := range []float64{0.999, 0.7, 0.3, 0.05} {
		a, turn := 60.0, 25*geom.Degree
		u := geom.Vec2{X: a}.Turn(turn)
		fromDXF, err := drawing.ReadDXF(dxf(4, []any{"ELLIPSE", 8, "0", 10, 5, 20, 7, 11, u.X, 21, u.Y, 40, ratio, 41, 0, 42, 2 * math.Pi}), drawing.Options{})
		require.NoError(t, err)
		body := fmt.Sprintf(`<ellipse transform="translate(5 -7) rotate(%v)" rx="%v" ry="%v"/>`, -turn.Degrees(), a, a*ratio)
		fromSVG, err := drawing.ReadSVG(svgFile("", body), mm)
		require.NoError(t, err)
		for _, d := range []*drawing.Drawing{fromDXF, fromSVG} {
			require.Len(t, d.Loops, 1)
			require.InDelta(t, math.Pi*a*a*ratio, d.Outline.Area(), promised*d.Outline.Length())
			for k := range 3000 {
				w := float64(k) / 3000 * 2 * math.Pi
				p := geom.Vec2{X: a * math.Cos(w), Y: a * ratio * math.Sin(w)}.Turn(turn).Add(geom.Vec2{X: 5, Y: 7})
				require.LessOrEqual(t, math.Abs(d.Outline.At(p).D), promised, "ratio %v at %v", ratio, p)
			}
		}
	}
}

// cubic returns the point of a Bezier by its definition.
func cubic(z [4]geom.Vec2, t float64) geom.Vec2 {
	for n := 3; n > 0; n-- {
		for i := range n {
			z[i] = z[i].Scale(1 - t).Add(z[i+1].Scale(t))
		}
	}
	return z[0]
}

// TestBezier: random arches of a cubic over a base line stay within the promise, and so does the same
// curve as a spline of DXF.
func TestBezier(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	read := 0
	for range 300 {
		z := [4]geom.Vec2{{}, {X: 100 * rng.Float64(), Y: 10 + 100*rng.Float64()}, {X: 100 * rng.Float64(), Y: 10 + 100*rng.Float64()}, {X: 100}}
		if rng.IntN(8) == 0 {
			z[1] = z[0] // starts without speed
		}
		body := fmt.Sprintf(`<path d="M0 0C%v %v %v %v %v %v L100 30 H0 z"/>`, z[1].X, -z[1].Y, z[2].X, -z[2].Y, z[3].X, z[3].Y)
		d, err := drawing.ReadSVG(svgFile("", body), mm)
		if err != nil {
			require.ErrorContains(t, err, "itself", "%s", body)
			continue
		}
		read++
		e := []any{"SPLINE", 8, "0", 71, 3, 72, 8, 73, 4}
		for _, k := range []int{0, 0, 0, 0, 1, 1, 1, 1} {
			e = append(e, 40, k)
		}
		for _, p := range z {
			e = append(e, 10, p.X, 20, p.Y, 30, 0.0)
		}
		s, err := drawing.ReadDXF(dxf(4, e, line(100, 0, 100, -30), line(100, -30, 0, -30), line(0, -30, 0, 0)), drawing.Options{})
		require.NoError(t, err)
		for k := range 500 {
			p := cubic(z, float64(k)/500)
			require.LessOrEqual(t, math.Abs(d.Outline.At(p).D), promised, "%s at %v", body, p)
			require.LessOrEqual(t, math.Abs(s.Outline.At(p).D), promised, "%s at %v", body, p)
		}
		sameField(t, d.Outline, s.Outline, 2*promised)
	}
	require.Greater(t, read, 250)
}

// TestSmooth: S and T go on as the mirrored curve; a full row of waves has the area of its base.
func TestSmooth(t *testing.T) {
	for _, d := range []string{
		"M0 0 C10 20 20 20 30 0 C40 -20 50 -20 60 0 V50 H0 Z",
		"M0 0 C10 20 20 20 30 0 S50 -20 60 0 V50 H0 Z",
		"m0 0 c10 20 20 20 30 0 s20 -20 30 0 v50 h-60 z",
		"M0 0 Q15 20 30 0 T60 0 V50 H0 Z",
		"m0 0 q15 20 30 0 t30 0 v50 h-60 z",
	} {
		got, err := drawing.ReadSVG(svgFile("", `<path d="`+d+`"/>`), mm)
		require.NoError(t, err, d)
		require.InDelta(t, 3000, got.Outline.Area(), 0.05, d)
	}
}

// TestArcFlags: an arc by its ends is one of four, chosen by its two flags.
func TestArcFlags(t *testing.T) {
	small := (2*math.Pi/3 - math.Sqrt(3)/2) / 2 * 100 // segment of 120 deg: r^2 (w - sin w) / 2
	large := math.Pi*100 - small
	chord := 10 * math.Sqrt(3)
	for flags, want := range map[string]float64{"0 0": small, "0 1": small, "1 0": large, "1 1": large} {
		d, err := drawing.ReadSVG(svgFile("", fmt.Sprintf(`<path d="M0 0 A10 10 0 %s %.15f 0 z"/>`, flags, chord)), mm)
		require.NoError(t, err)
		require.InDelta(t, want, d.Outline.Area(), 1e-9, flags)
		// Sweep 1 runs clockwise as the page is seen: from left to right over the top.
		over := d.Outline.Bounds().Max.Y > -d.Outline.Bounds().Min.Y
		require.Equal(t, flags[2] == '1', over, flags)
	}
	d, err := drawing.ReadSVG(svgFile("", `<path d="M0 0 A1 1 0 0 1 20 0 A1 1 0 0 1 0 0"/>`), mm)
	require.NoError(t, err)
	require.InDelta(t, math.Pi*100, d.Outline.Area(), 1e-9, "radii that do not reach grow")
}

// TestHeal: gaps at corners are closed where the lines meet, so directions and radii stay.
func TestHeal(t *testing.T) {
	const g = 0.006
	d, err := drawing.ReadDXF(dxf(4, line(g, 0, 100-g, 0), line(100, g/2, 100, 50-g), line(100-g, 50, g, 50), line(0, 50-g, 0, g)), drawing.Options{})
	require.NoError(t, err)
	sameField(t, moved(t, rect(t, 100, 50, 0), 50, 25), d.Outline, 1e-9)
	require.InDelta(t, math.Hypot(g, g), d.Loops[0].Gap, 1e-9)
	require.Len(t, d.Warnings, 1)
	require.Contains(t, d.Warnings[0], "gaps")

	// A D: the arc ends short of the line, whose ends stand over; its centre and radius stay.
	d, err = drawing.ReadDXF(dxf(4, arc(0, 0, 20, -89.99, 89.99), line(0, 20.005, 0, -20.005)), drawing.Options{})
	require.NoError(t, err)
	require.InDelta(t, math.Pi*200, d.Outline.Area(), 1e-9)

	_, err = drawing.ReadDXF(dxf(4, line(0.02, 0, 100, 0), line(100, 0, 100, 50), line(100, 50, 0, 0)), drawing.Options{})
	require.ErrorContains(t, err, "open")
	_, err = drawing.ReadDXF(dxf(4, line(0.02, 0, 100, 0), line(100, 0, 100, 50), line(100, 50, 0, 0)), drawing.Options{Join: 0.05})
	require.NoError(t, err)
	_, err = drawing.ReadDXF(dxf(4, square(0, 0, 10)...), drawing.Options{Join: 3})
	require.ErrorContains(t, err, "gaps up to 3 mm")
}

// TestSlight: a side that runs past its tangent by 0.3 deg is told, a smooth one is not.
func TestSlight(t *testing.T) {
	for bulge, want := range map[float64]int{1: 0, 0.9975: 1} {
		d, err := drawing.ReadDXF(dxf(4, []any{"LWPOLYLINE", 8, "0", 70, 1, 10, 0, 20, 0, 10, 50, 20, 0, 42, bulge, 10, 50, 20, 20, 10, 0, 20, 20}), drawing.Options{})
		require.NoError(t, err)
		require.Len(t, d.Warnings, want)
	}
}

// TestRepeated: points that lie on their predecessor are dropped and told.
func TestRepeated(t *testing.T) {
	d, err := drawing.ReadSVG(svgFile("", `<path d="M0 0H10 10V10L10 10H0V0z"/>`), mm)
	require.NoError(t, err)
	require.InDelta(t, 100, d.Outline.Area(), 1e-9)
	require.Len(t, d.Outline.Elems, 4)
	require.Len(t, d.Warnings, 1)
	require.Contains(t, d.Warnings[0], "2 repeated points")
}

// TestNesting: loops within loops turn, whatever their order and sense in the file.
func TestNesting(t *testing.T) {
	d, err := drawing.ReadSVG(svgFile("", `<circle r="5"/><path d="M-50-50V50H50V-50z"/><circle r="20"/><rect x="-40" y="-40" width="80" height="80"/>`), mm)
	require.NoError(t, err)
	var depths []int
	var names []string
	for _, l := range d.Loops {
		depths = append(depths, l.Depth)
		names = append(names, l.Place.Entity)
	}
	require.Equal(t, []int{3, 0, 2, 1}, depths)
	require.Equal(t, []string{"circle", "path", "circle", "rect"}, names)
	require.InDelta(t, 10000-6400+math.Pi*(400-25), d.Outline.Area(), 1e-9)
	require.InDelta(t, math.Pi*25, d.Loops[0].Area, 1e-9)
	require.NoError(t, d.Outline.Simple())
}
