package outline_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

func TestRoundedPolygonIsThePolygonWithThatRadius(t *testing.T) {
	pts := []geom.Vec2{{X: 0}, {X: 30}, {X: 30, Y: 9}, {X: 14, Y: 12}, {X: 12, Y: 30}, {X: -3, Y: 21}}
	want := block(t, 2.5, pts...)
	got, err := block(t, 0, pts...).Rounded(2.5)
	require.NoError(t, err)
	require.Len(t, got.Elems, len(want.Elems))
	require.InDelta(t, want.Area(), got.Area(), 1e-10)
	require.InDelta(t, 2.5, got.Convex(), 1e-12)
	require.InDelta(t, 2.5, got.Concave(), 1e-12)
	rng := seeded(7)
	for range 500 {
		p := between(rng, -10, 40)
		require.InDelta(t, want.At(p).D, got.At(p).D, 1e-11)
	}
}

func TestRoundedMeetsArcs(t *testing.T) {
	// Opening and closing by a ball: a rounded outline keeps every point at r or farther from the
	// corners where it was, and has no radius below r left.
	sharp := key(t)
	require.Positive(t, sharp.Corners())
	for _, r := range []float64{0.05, 0.3, 0.8} {
		got, err := sharp.Rounded(r)
		require.NoError(t, err)
		require.NoError(t, got.Simple())
		require.Zero(t, got.Corners())
		require.InDelta(t, r, got.Convex(), 1e-9)
		require.InDelta(t, r, min(got.Concave(), 3), 1e-9)
		added := 0
		for _, e := range got.Elems {
			if math.Abs(math.Abs(e.R)-r) > 1e-9 {
				continue
			}
			added++
			// The disc of the arc touches the old outline at both ends and nowhere cuts it.
			require.InDelta(t, 0, sharp.At(e.A).D, 1e-9)
			require.InDelta(t, 0, sharp.At(e.B).D, 1e-9)
			require.InDelta(t, r, math.Abs(sharp.At(e.C).D), 1e-9)
		}
		require.Equal(t, sharp.Corners(), added)
	}
}

func TestRoundedLens(t *testing.T) {
	// Two arcs of radius 10 whose centres lie 12 apart: tips of a lens. A disc of radius r in a tip has
	// its centre on the long axis at sqrt((10-r)^2 - 6^2).
	lens, err := outline.Path(geom.Vec2{X: 8}, outline.BulgeTo(geom.Vec2{X: -8}, 0.5), outline.BulgeTo(geom.Vec2{X: 8}, 0.5))
	require.NoError(t, err)
	require.InDelta(t, 4, lens.Inside(), 1e-6)
	require.InDelta(t, 8, lens.Stroke().Width, 2e-6)
	got, err := lens.Rounded(1.5)
	require.NoError(t, err)
	require.Equal(t, 4, len(got.Elems))
	require.InDelta(t, 2*(math.Sqrt(8.5*8.5-36)+1.5), got.Bounds().Size().X, 1e-12)
	_, err = lens.Rounded(4.5)
	var large *outline.TooLarge
	require.ErrorAs(t, err, &large)
	require.InDelta(t, 4, large.Largest, 1e-4, "at 4 both roundings are one circle")
}

func TestRoundedSwallowsShortElements(t *testing.T) {
	// The same curve in few and in many arcs: the rounding reaches over as many as it must.
	bowl := func(tol float64) *outline.Outline {
		es, err := outline.Fit(func(u float64) (p, dir geom.Vec2) {
			x := 4 * (u - 0.5)
			return geom.Vec2{X: x, Y: x * x}, geom.Vec2{X: 1, Y: 2 * x}.Unit()
		}, tol)
		require.NoError(t, err)
		o, err := outline.New(append(es, outline.Elem{A: geom.Vec2{X: 2, Y: 4}, B: geom.Vec2{X: -2, Y: 4}}))
		require.NoError(t, err)
		return o
	}
	fine, coarse := bowl(1e-7), bowl(1e-3)
	require.Greater(t, len(fine.Elems), 10*len(coarse.Elems))
	a, err := fine.Rounded(0.4)
	require.NoError(t, err)
	b, err := coarse.Rounded(0.4)
	require.NoError(t, err)
	require.NoError(t, a.Simple())
	require.Zero(t, a.Corners())
	require.Less(t, len(a.Elems), len(fine.Elems)-10, "short arcs are swallowed")
	require.InDelta(t, a.Area(), b.Area(), 1e-2)
}

func TestRoundedRefusesWithTheLargest(t *testing.T) {
	cases := map[string]struct {
		o       *outline.Outline
		r, most float64
	}{
		"square":   {block(t, 0, geom.Vec2{}, geom.Vec2{X: 6}, geom.Vec2{X: 6, Y: 6}, geom.Vec2{Y: 6}), 4, 3},
		"triangle": {block(t, 0, geom.Vec2{}, geom.Vec2{X: 4}, geom.Vec2{Y: 3}), 2, 1},
		"step": {block(t, 0, geom.Vec2{}, geom.Vec2{X: 20}, geom.Vec2{X: 20, Y: 8}, geom.Vec2{X: 10, Y: 8},
			geom.Vec2{X: 10, Y: 9}, geom.Vec2{Y: 9}), 0.7, 0.5},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := c.o.Rounded(c.r)
			var large *outline.TooLarge
			require.ErrorAs(t, err, &large)
			require.InDelta(t, c.most, large.Largest, 1e-4)
			require.ErrorContains(t, err, "at most")
			fits, err := c.o.Rounded(large.Largest)
			require.NoError(t, err)
			require.NoError(t, fits.Simple())
			exact, err := c.o.Rounded(c.most)
			require.NoError(t, err, "the bound itself fits")
			require.InDelta(t, c.most, exact.Convex(), 1e-9)
		})
	}
	_, err := key(t).Rounded(-1)
	require.ErrorContains(t, err, "above 0")
	_, err = key(t).Rounded(math.NaN())
	require.Error(t, err)
}

func TestOffsetIsTheDistance(t *testing.T) {
	round, err := key(t).Rounded(0.8)
	require.NoError(t, err)
	rng := seeded(8)
	for _, m := range []float64{0.5, 0.2, -0.1, -0.7} {
		got, err := round.Offset(m)
		require.NoError(t, err)
		require.NoError(t, got.Simple())
		// Steiner: the sum of all turns is that of one full turn less one for the hole.
		require.InDelta(t, round.Area()+m*round.Length(), got.Area(), 1e-9)
		require.InDelta(t, round.Length(), got.Length(), 1e-9)
		for range 300 {
			// Up to the medial axis an offset shifts the distance.
			if p := between(rng, -25, 25); math.Abs(round.At(p).D) < 0.75 {
				require.InDelta(t, round.At(p).D-m, got.At(p).D, 1e-9)
			}
		}
	}
}

func TestOffsetKeepsSharpCorners(t *testing.T) {
	l := block(t, 0, geom.Vec2{}, geom.Vec2{X: 20}, geom.Vec2{X: 20, Y: 8}, geom.Vec2{X: 8, Y: 8}, geom.Vec2{X: 8, Y: 20}, geom.Vec2{Y: 20})
	in, err := l.Offset(-3)
	require.NoError(t, err)
	require.InDelta(t, 14*2+2*12, in.Area(), 1e-12)
	// Arc against line: a half disc moved inward is the part of the smaller disc above the moved chord.
	half, err := outline.Path(geom.Vec2{X: -5}, outline.LineTo(geom.Vec2{X: 5}), outline.BulgeTo(geom.Vec2{X: -5}, 1))
	require.NoError(t, err)
	in, err = half.Offset(-1)
	require.NoError(t, err)
	require.InDelta(t, 2*math.Sqrt(15), in.Bounds().Size().X, 2*(4-math.Sqrt(15))+1e-12)
	theta := math.Acos(0.25)
	require.InDelta(t, 16*theta-math.Sqrt(15), in.Area(), 1e-12)
}

func TestOffsetRefusesWithTheLargest(t *testing.T) {
	dumbbell := block(t, 0.5, geom.Vec2{X: -20, Y: -8}, geom.Vec2{X: -6, Y: -8}, geom.Vec2{X: -6, Y: -1.5}, geom.Vec2{X: 6, Y: -1.5},
		geom.Vec2{X: 6, Y: -8}, geom.Vec2{X: 20, Y: -8}, geom.Vec2{X: 20, Y: 8}, geom.Vec2{X: 6, Y: 8}, geom.Vec2{X: 6, Y: 1.5},
		geom.Vec2{X: -6, Y: 1.5}, geom.Vec2{X: -6, Y: 8}, geom.Vec2{X: -20, Y: 8})
	sharpBell := block(t, 0, geom.Vec2{X: -20, Y: -8}, geom.Vec2{X: -6, Y: -8}, geom.Vec2{X: -6, Y: -1.5}, geom.Vec2{X: 6, Y: -1.5},
		geom.Vec2{X: 6, Y: -8}, geom.Vec2{X: 20, Y: -8}, geom.Vec2{X: 20, Y: 8}, geom.Vec2{X: 6, Y: 8}, geom.Vec2{X: 6, Y: 1.5},
		geom.Vec2{X: -6, Y: 1.5}, geom.Vec2{X: -6, Y: 8}, geom.Vec2{X: -20, Y: 8})
	circle, err := outline.Circle(5)
	require.NoError(t, err)
	ring, err := outline.New(circle.Loop(0), reversedCircle(t, 3))
	require.NoError(t, err)
	cases := map[string]struct {
		o       *outline.Outline
		m, most float64
	}{
		"corner vanishes": {dumbbell, -0.6, -0.5},
		"neck closes":     {sharpBell, -2, -1.5},
		"bay closes":      {sharpBell, 9, 6},
		"ring closes":     {ring, -1.2, -1},
		"hole closes":     {ring, 3.5, 3},
		"circle vanishes": {circle, -6, -5},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := c.o.Offset(c.m)
			var large *outline.TooLarge
			require.True(t, errors.As(err, &large), "%v", err)
			require.InDelta(t, c.most, large.Largest, 1e-4)
			got, err := c.o.Offset(large.Largest)
			require.NoError(t, err)
			require.NoError(t, got.Simple())
		})
	}
}

func reversedCircle(t *testing.T, r float64) []outline.Elem {
	t.Helper()
	c, err := outline.Circle(r)
	require.NoError(t, err)
	return c.Hole(0).Loop(0)
}

// TestRoundedApart rounds the five outer corners of an L and its inner one by radii of their own.
func TestRoundedApart(t *testing.T) {
	o, err := outline.Polygon([]geom.Vec2{{}, {X: 60}, {X: 60, Y: 20}, {X: 25, Y: 20}, {X: 25, Y: 50}, {Y: 50}}, 0)
	require.NoError(t, err)
	require.InDelta(t, 90, o.Sharpest().Degrees(), 1e-9)
	r, err := o.RoundedApart(2, 7)
	require.NoError(t, err)
	require.InDelta(t, 2, r.Convex(), 1e-9)
	require.InDelta(t, 7, r.Concave(), 1e-9)
	require.InDelta(t, o.Area()+(1-math.Pi/4)*(49-5*4), r.Area(), 1e-9)
	require.Equal(t, 180*geom.Degree, r.Sharpest())
	_, err = o.RoundedApart(11, 2)
	var large *outline.TooLarge
	require.ErrorAs(t, err, &large)
	require.InDelta(t, 10, large.Largest, 1e-3)
}
