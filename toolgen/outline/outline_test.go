package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

func TestShapesHaveTheirClosedForms(t *testing.T) {
	circle, err := outline.Circle(7)
	require.NoError(t, err)
	slot, err := outline.Slot(30, 8)
	require.NoError(t, err)
	rect, err := outline.Rect(40, 25, 6)
	require.NoError(t, err)
	sharp, err := outline.Rect(40, 25, 0)
	require.NoError(t, err)
	hex := []geom.Vec2{}
	for k := range 6 {
		hex = append(hex, geom.Vec2{X: 10}.Turn(geom.Angle(k)*60*geom.Degree))
	}
	hexagon := block(t, 2, hex...)
	corner := 2 * (math.Tan(math.Pi/6) - math.Pi/6) // area lost a corner / r^2, x 2
	cases := map[string]struct {
		o                    *outline.Outline
		area, length, convex float64
		size                 geom.Vec2
		inside               float64
	}{
		"circle":    {circle, math.Pi * 49, 14 * math.Pi, 7, geom.Vec2{X: 14, Y: 14}, 7},
		"slot":      {slot, 22*8 + math.Pi*16, 44 + 8*math.Pi, 4, geom.Vec2{X: 30, Y: 8}, 4},
		"rectangle": {rect, 1000 - (4-math.Pi)*36, 130 - 48 + 12*math.Pi, 6, geom.Vec2{X: 40, Y: 25}, 12.5},
		"sharp":     {sharp, 1000, 130, 0, geom.Vec2{X: 40, Y: 25}, 12.5},
		"hexagon": {
			hexagon, 150*math.Sqrt(3) - 6*4*corner/2, 60 - 6*4*(math.Tan(math.Pi/6)-math.Pi/6), 2,
			geom.Vec2{X: 20 - 4*(1/math.Cos(math.Pi/6)-1), Y: 10 * math.Sqrt(3)}, 5 * math.Sqrt(3),
		},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			require.NoError(t, c.o.Simple())
			require.InDelta(t, c.area, c.o.Area(), 1e-11)
			require.InDelta(t, c.length, c.o.Length(), 1e-11)
			require.InDelta(t, c.convex, c.o.Convex(), 1e-12)
			require.Equal(t, math.Inf(1), c.o.Concave())
			require.InDelta(t, c.size.X, c.o.Bounds().Size().X, 1e-12)
			require.InDelta(t, c.size.Y, c.o.Bounds().Size().Y, 1e-12)
			require.InDelta(t, c.inside, c.o.Inside(), 1e-6)
			require.LessOrEqual(t, c.o.Inside(), c.inside+1e-12)
		})
	}
}

func TestNewRefuses(t *testing.T) {
	p := func(x, y float64) geom.Vec2 { return geom.Vec2{X: x, Y: y} }
	line := func(a, b geom.Vec2) outline.Elem { return outline.Elem{A: a, B: b} }
	tri := func() []outline.Elem {
		return []outline.Elem{line(p(0, 0), p(4, 0)), line(p(4, 0), p(0, 3)), line(p(0, 3), p(0, 0))}
	}
	_, err := outline.New(tri())
	require.NoError(t, err)
	cases := map[string]struct {
		l    []outline.Elem
		want string
	}{
		"open":       {tri()[:2], "does not close"},
		"empty":      {nil, "has 0 elements"},
		"nan":        {[]outline.Elem{line(p(0, 0), p(math.NaN(), 0)), line(p(math.NaN(), 0), p(0, 0))}, "not a number"},
		"no length":  {[]outline.Elem{line(p(0, 0), p(0, 0)), line(p(0, 0), p(0, 0))}, "no length"},
		"half turn":  {[]outline.Elem{{A: p(1, 0), B: p(-1, 0), R: 1}, {A: p(-1, 0), B: p(1, 0), R: 1}}, "180 degrees"},
		"off circle": {[]outline.Elem{{A: p(1, 0), B: p(0, 1.1), R: 1}, line(p(0, 1.1), p(1, 0))}, "off its circle"},
		"wrong sign": {[]outline.Elem{{A: p(1, 0), B: p(0, 1), R: -1}, line(p(0, 1), p(1, 0))}, "against the sign"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := outline.New(c.l)
			require.ErrorContains(t, err, c.want)
		})
	}
	_, err = outline.New()
	require.ErrorContains(t, err, "no loop")
}

func TestPolygonRefuses(t *testing.T) {
	p := func(x, y float64) geom.Vec2 { return geom.Vec2{X: x, Y: y} }
	cases := map[string]struct {
		pts  []geom.Vec2
		r    float64
		want string
	}{
		"two points": {[]geom.Vec2{p(0, 0), p(1, 0)}, 0, "at least 3"},
		"bow tie":    {[]geom.Vec2{p(0, 0), p(4, 4), p(4, 0), p(0, 3)}, 0, "crosses"},
		"flat":       {[]geom.Vec2{p(0, 0), p(4, 0), p(8, 0)}, 0, "back on itself"},
		"speck":      {[]geom.Vec2{p(0, 0), p(1e-5, 0), p(0, 1e-5)}, 0, "no area"},
		"repeated":   {[]geom.Vec2{p(0, 0), p(4, 0), p(4, 0), p(0, 4)}, 0, "same place"},
		"spike":      {[]geom.Vec2{p(0, 0), p(9, 0), p(4, 0), p(0, 4)}, 1, "back on itself"},
		"touch":      {[]geom.Vec2{p(0, 0), p(8, 0), p(8, 4), p(4, 0), p(0, 4)}, 0, "touches"},
		"too round":  {[]geom.Vec2{p(0, 0), p(8, 0), p(8, 4), p(0, 4)}, 2.5, "at most 2.000 mm"},
		"negative":   {[]geom.Vec2{p(0, 0), p(8, 0), p(8, 4), p(0, 4)}, -1, "below 0"},
		"nan":        {[]geom.Vec2{p(0, 0), p(8, math.NaN()), p(8, 4), p(0, 4)}, 0, "not a number"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := outline.Polygon(c.pts, c.r)
			require.ErrorContains(t, err, c.want)
		})
	}
}

// TestInset moves a rectangle inward by less than its corner radius, to within it, and by more: the corner
// is what is left of it, the least one, and the least one again.
func TestInset(t *testing.T) {
	o, err := outline.Rect(100, 60, 10)
	require.NoError(t, err)
	for _, tt := range []struct{ m, corner, want float64 }{{4, 3, 6}, {8, 3, 3}, {12, 3, 3}, {12, 0, 0}, {20, 5, 5}} {
		in, err := o.Inset(tt.m, tt.corner)
		require.NoError(t, err)
		want, err := outline.Rect(100-2*tt.m, 60-2*tt.m, tt.want)
		require.NoError(t, err)
		require.InDelta(t, want.Area(), in.Area(), 1e-7)
		require.InDelta(t, tt.want, in.Convex(), 1e-9)
		require.Equal(t, len(want.Elems), len(in.Elems))
	}
	_, err = o.Inset(31, 3)
	require.Error(t, err)
	c, err := outline.Circle(10)
	require.NoError(t, err)
	_, err = c.Inset(11, 3)
	require.ErrorAs(t, err, new(*outline.TooLarge))
}
