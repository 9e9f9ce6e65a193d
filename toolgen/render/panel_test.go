package render_test

import (
	"bytes"
	"image/png"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/render"
)

func rectangle(x0, y0, x1, y1 float64) [][2]geom.Vec2 {
	p := []geom.Vec2{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
	return [][2]geom.Vec2{{p[0], p[1]}, {p[1], p[2]}, {p[2], p[3]}, {p[3], p[0]}}
}

// TestPanelsAreToScale counts the pixels of rectangles: their areas are as asked, in both directions, and a
// window cuts off what lies outside it.
func TestPanelsAreToScale(t *testing.T) {
	var b bytes.Buffer
	panel := func(parts ...[][2]geom.Vec2) render.Panel {
		return render.Panel{Title: "cut", Window: geom.Box2{Min: geom.Vec2{X: -20, Y: -20}, Max: geom.Vec2{X: 20, Y: 20}}, Parts: parts}
	}
	require.NoError(t, render.Panels(&b, "pack", "shut", []render.Panel{panel(rectangle(-8, -2, 8, 2), rectangle(-8, 4, 8, 5))}))
	img, err := png.Decode(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	count := map[uint32]int{}
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			r, g, b, _ := img.At(x, y).RGBA()
			count[r>>8<<16|g>>8<<8|b>>8]++
		}
	}
	first, second := count[0x2b7a86], count[0xcf8a34]
	require.Greater(t, second, 5000)
	require.InDelta(t, 4, float64(first)/float64(second), 0.05, "areas of 64 and 16 mm2")
	var again bytes.Buffer
	require.NoError(t, render.Panels(&again, "pack", "shut", []render.Panel{panel(rectangle(-8, -2, 8, 2), rectangle(-8, 4, 8, 5))}))
	require.Equal(t, b.Bytes(), again.Bytes())
}

func TestPanelsRefuse(t *testing.T) {
	for _, c := range []struct {
		panels []render.Panel
		want   string
	}{
		{nil, "no panel"},
		{[]render.Panel{{Title: "flat"}}, `"flat" has no size`},
		{[]render.Panel{{Title: "odd", Window: geom.Box2{Max: geom.Vec2{X: 1, Y: 1}}, Parts: [][][2]geom.Vec2{{{{X: math.NaN()}, {}}}}}}, `"odd" is not finite`},
	} {
		var b bytes.Buffer
		require.ErrorContains(t, render.Panels(&b, "", "", c.panels), c.want)
		require.Zero(t, b.Len())
	}
}
