package render_test

import (
	"bytes"
	"image/png"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/render"
)

// slab is a plate whose value rises along X.
func slab() (*mesh.Mesh, []float64) {
	m := &mesh.Mesh{}
	var values []float64
	for _, z := range []float64{0, 4} {
		for _, p := range []geom.Vec2{{}, {X: 200}, {X: 200, Y: 100}, {Y: 100}} {
			m.V = append(m.V, p.At(z))
			values = append(values, 0.5+p.X/200)
		}
	}
	m.T = [][3]int32{{0, 2, 1}, {0, 3, 2}, {4, 5, 6}, {4, 6, 7}, {0, 1, 5}, {0, 5, 4}, {1, 2, 6}, {1, 6, 5}, {2, 3, 7}, {2, 7, 6}, {3, 0, 4}, {3, 4, 7}}
	return m, values
}

// lightness returns CIE L* of a screen colour. SOURCE: IEC 61966-2-1 (sRGB), ISO/CIE 11664-4.
func lightness(r, g, b uint32) float64 {
	lin := func(c uint32) float64 {
		s := float64(c) / 65535
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	y := 0.2126*lin(r) + 0.7152*lin(g) + 0.0722*lin(b)
	return 116*math.Cbrt(y) - 16
}

// TestScale draws a plate by value: its lightness rises evenly along it, and the scale beside it runs
// from dark to pale by even steps.
func TestScale(t *testing.T) {
	m, values := slab()
	var b bytes.Buffer
	require.NoError(t, render.PNG(&b, m, render.Top, nil, render.Options{Scale: &render.Scale{Values: values, Label: "wall, mm", Step: 0.1}}))
	img, err := png.Decode(&b)
	require.NoError(t, err)
	var on []float64
	for _, x := range []int{260, 530, 800, 1070, 1340} {
		r, g, bl, _ := img.At(x, 560).RGBA()
		on = append(on, lightness(r, g, bl))
	}
	for i := 1; i < len(on); i++ {
		require.InDelta(t, 11.5, on[i]-on[i-1], 5, "%v", on)
	}
	var bar []float64
	for y := 120; y <= 360; y += 40 {
		r, g, bl, _ := img.At(1600-40-12, y).RGBA()
		bar = append(bar, lightness(r, g, bl))
	}
	for i := 1; i < len(bar); i++ {
		require.InDelta(t, 60.0*40/260, bar[i-1]-bar[i], 1.5, "%v", bar)
	}
	require.ErrorContains(t, render.PNG(&b, m, render.Top, nil, render.Options{Scale: &render.Scale{Values: values[1:]}}), "7 values for 8 vertices")
}
