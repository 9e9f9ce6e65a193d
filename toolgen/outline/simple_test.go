package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// at returns loop 0 of a circle moved to (x, y), run clockwise when hole.
func at(t *testing.T, r, x, y float64, hole bool) []outline.Elem {
	t.Helper()
	c, err := outline.Circle(r)
	require.NoError(t, err)
	c, err = c.Map(geom.Moved(geom.Vec2{X: x, Y: y}))
	require.NoError(t, err)
	if hole {
		return c.Hole(0).Loop(0)
	}
	return c.Loop(0)
}

func TestSimpleNamesThePlace(t *testing.T) {
	cases := map[string]struct {
		loops [][]outline.Elem
		at    geom.Vec2
		slack float64
	}{
		"circles cross":    {[][]outline.Elem{at(t, 5, 0, 0, false), at(t, 5, 6, 0, false)}, geom.Vec2{X: 3, Y: -4}, 1e-9},
		"circles touch":    {[][]outline.Elem{at(t, 5, 0, 0, false), at(t, 2, 7, 0, false)}, geom.Vec2{X: 5}, 1e-6},
		"hole touches":     {[][]outline.Elem{at(t, 5, 0, 0, false), at(t, 2, 0, 3, true)}, geom.Vec2{Y: 5}, 1e-6},
		"loop given twice": {[][]outline.Elem{at(t, 5, 0, 0, false), at(t, 5, 0, 0, false)}, geom.Vec2{}, 5.1},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			o, err := outline.New(c.loops...)
			require.NoError(t, err)
			var x *outline.Crossing
			require.ErrorAs(t, o.Simple(), &x)
			d := x.At.Sub(c.at).Norm()
			if name == "circles cross" { // either of the two places
				d = min(d, x.At.Sub(geom.Vec2{X: 3, Y: 4}).Norm())
			}
			require.LessOrEqual(t, d, c.slack)
			require.Equal(t, [2]int{0, 1}, x.Loops)
		})
	}
}

func TestSimpleAllowsWhatIsClose(t *testing.T) {
	o, err := outline.New(at(t, 5, 0, 0, false), at(t, 2, 7+1e-6, 0, false), at(t, 2, 0, 3-1e-6, true), at(t, 1, 0, 2.5, false))
	require.NoError(t, err)
	require.NoError(t, o.Simple())
	require.Equal(t, []int{0, 0, 1, 2}, o.Depths())
	require.InDelta(t, math.Pi*(25+4-4+1), o.Area(), 1e-10)
	require.Len(t, o.Parts(), 3)
	require.InDelta(t, 1e-6, o.Gap().Width, 1e-12)
}

func TestSimpleFindsCrossingNeighbours(t *testing.T) {
	// A line leaves an arc at an angle and meets it again.
	r := 5.0
	a, b := geom.Vec2{X: 5}, geom.Vec2{X: 5}.Turn(2.9)
	end := geom.Vec2{X: 5}.Turn(1.2)
	over := end.Sub(b).Scale(1.2).Add(b)
	o, err := outline.New([]outline.Elem{
		{A: a, B: b, R: r}, {A: b, B: over}, {A: over, B: geom.Vec2{X: 12, Y: 3}}, {A: geom.Vec2{X: 12, Y: 3}, B: a},
	})
	require.NoError(t, err)
	var x *outline.Crossing
	require.ErrorAs(t, o.Simple(), &x)
	require.InDelta(t, 0, x.At.Sub(end).Norm(), 1e-9)
}

func TestSimpleWantsTheInsideOnTheLeft(t *testing.T) {
	for _, loops := range [][][]outline.Elem{
		{at(t, 5, 0, 0, true)},
		{at(t, 5, 0, 0, false), at(t, 2, 0, 0, false)},
		{at(t, 5, 0, 0, false), at(t, 2, 9, 0, true)},
	} {
		o, err := outline.New(loops...)
		require.NoError(t, err)
		require.ErrorContains(t, o.Simple(), "wrong way round")
		turned, err := o.Turned()
		require.NoError(t, err)
		require.NoError(t, turned.Simple())
	}
}

func TestPathMakesWhatItSays(t *testing.T) {
	from, to := geom.Vec2{X: 3, Y: 1}, geom.Vec2{X: -1, Y: 4}
	small, err := outline.ArcTo(from, to, 4, false)
	require.NoError(t, err)
	large, err := outline.ArcTo(to, from, 4, true)
	require.NoError(t, err)
	circle, err := outline.Path(from, small, large)
	require.NoError(t, err)
	require.InDelta(t, math.Pi*16, circle.Area(), 1e-12)
	require.InDelta(t, 4, circle.Convex(), 1e-12)

	// The same turned right is turned round.
	small, err = outline.ArcTo(from, to, -4, false)
	require.NoError(t, err)
	large, err = outline.ArcTo(to, from, -4, true)
	require.NoError(t, err)
	other, err := outline.Path(from, small, large)
	require.NoError(t, err)
	require.InDelta(t, math.Pi*16, other.Area(), 1e-12)
	require.NoError(t, other.Simple())
	require.Greater(t, other.Elems[0].C.Sub(circle.Elems[0].C).Norm(), 1.0)

	// A bulge of 1 is a half circle.
	d, err := outline.Path(geom.Vec2{Y: -3}, outline.BulgeTo(geom.Vec2{Y: 3}, 1))
	require.NoError(t, err)
	require.InDelta(t, math.Pi*4.5, d.Area(), 1e-12)
	require.InDelta(t, 3, d.Bounds().Size().X, 1e-12)
}

func TestPathRefuses(t *testing.T) {
	_, err := outline.ArcTo(geom.Vec2{}, geom.Vec2{X: 4}, 1.5, false)
	require.ErrorContains(t, err, "at least 2.000 mm")
	cases := map[string]struct {
		segs []outline.Seg
		want string
	}{
		"nothing":   {nil, "at least 2"},
		"one line":  {[]outline.Seg{outline.LineTo(geom.Vec2{X: 3})}, "touches itself"},
		"no length": {[]outline.Seg{outline.LineTo(geom.Vec2{X: 3}), outline.LineTo(geom.Vec2{X: 3})}, "no length"},
		"full turn": {[]outline.Seg{{To: geom.Vec2{X: 3}, Sweep: 2 * math.Pi}}, "full turn"},
		"nan":       {[]outline.Seg{outline.BulgeTo(geom.Vec2{X: 3}, math.NaN())}, "full turn"},
		"crosses": {[]outline.Seg{
			outline.LineTo(geom.Vec2{X: 4, Y: 4}), outline.LineTo(geom.Vec2{X: 4}), outline.LineTo(geom.Vec2{Y: 4}),
		}, "(2.000, 2.000)"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := outline.Path(geom.Vec2{}, c.segs...)
			require.ErrorContains(t, err, c.want)
		})
	}
}
