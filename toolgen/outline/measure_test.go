package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

func TestInsideOfKnownShapes(t *testing.T) {
	p := func(x, y float64) geom.Vec2 { return geom.Vec2{X: x, Y: y} }
	ring, err := outline.New(at(t, 20, 0, 0, false), at(t, 12, 0, 0, true))
	require.NoError(t, err)
	eccentric, err := outline.New(at(t, 20, 0, 0, false), at(t, 12, 3, 0, true))
	require.NoError(t, err)
	slot, err := outline.Slot(120, 8)
	require.NoError(t, err)
	turned, err := slot.Map(geom.Turned(0.7))
	require.NoError(t, err)
	// L of two arms 8 wide: the disc in the elbow touches both outer walls and the inner corner,
	// r = (8 - r) sqrt 2.
	elbow := 8 * math.Sqrt2 / (1 + math.Sqrt2)
	cases := map[string]struct {
		o    *outline.Outline
		want float64
	}{
		"triangle 3-4-5": {block(t, 0, p(0, 0), p(4, 0), p(0, 3)), 1},
		"slot":           {slot, 4},
		"turned slot":    {turned, 4},
		"ring":           {ring, 4},
		"eccentric ring": {eccentric, 5.5},
		"elbow":          {block(t, 0, p(0, 0), p(20, 0), p(20, 8), p(8, 8), p(8, 20), p(0, 20)), elbow},
		"thin wedge":     {block(t, 0, p(0, 0), p(100, -1), p(100, 1)), 100 / (1 + math.Sqrt(10001))},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			d := c.o.Disc()
			require.InDelta(t, c.want, d.R, 1.1e-6)
			require.LessOrEqual(t, d.R, c.want+1e-12)
			require.LessOrEqual(t, d.Gap, 1e-6, "the search must end by its bound")
			require.GreaterOrEqual(t, d.R+d.Gap, c.want-1e-12)
			require.InDelta(t, -d.R, c.o.At(d.Centre).D, 1e-12)
		})
	}
}

func TestInsideBeatsEverySample(t *testing.T) {
	for _, o := range []*outline.Outline{key(t), comb(t)} {
		d := o.Disc()
		require.LessOrEqual(t, d.Gap, 1e-6)
		rng := seeded(9)
		for range 20000 {
			require.LessOrEqual(t, -o.At(between(rng, -30, 35)).D, d.R+d.Gap)
		}
	}
}

func TestNecks(t *testing.T) {
	p := func(x, y float64) geom.Vec2 { return geom.Vec2{X: x, Y: y} }
	// An H: strokes 3 wide, bar 2 high, inlets 5 wide.
	h := block(t, 0.3, p(0, 0), p(3, 0), p(3, 6), p(8, 6), p(8, 0), p(11, 0), p(11, 14), p(8, 14), p(8, 8), p(3, 8), p(3, 14), p(0, 14))
	two, err := outline.New(at(t, 5, 0, 0, false), at(t, 2, 8, 0, false), at(t, 4, 0.4, 0, true))
	require.NoError(t, err)
	cases := map[string]struct {
		o           *outline.Outline
		stroke, gap float64
	}{
		"H":      {h, 2, 5},
		"ring":   {two, 0.6, 1},
		"circle": {mustCircle(t, 6), 12, math.Inf(1)},
		"block":  {block(t, 1, p(0, 0), p(20, 0), p(20, 7), p(0, 7)), 7, math.Inf(1)},
		"wedge":  {block(t, 0.3, p(0, 0), p(10, 0), p(10, 1)), 2 * block(t, 0.3, p(0, 0), p(10, 0), p(10, 1)).Inside(), math.Inf(1)},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			s, g := c.o.Stroke(), c.o.Gap()
			require.InDelta(t, c.stroke, s.Width, 2.1e-6)
			require.InDelta(t, s.Width, s.A.Sub(s.B).Norm(), 1e-9)
			require.InDelta(t, 0, c.o.At(s.A).D, 1e-5)
			if math.IsInf(c.gap, 1) {
				require.Equal(t, c.gap, g.Width)
				return
			}
			require.InDelta(t, c.gap, g.Width, 2.1e-6)
			require.InDelta(t, 0, c.o.At(g.A).D, 1e-5)
			require.InDelta(t, 0, c.o.At(g.B).D, 1e-5)
		})
	}
}

func mustCircle(t *testing.T, r float64) *outline.Outline {
	t.Helper()
	c, err := outline.Circle(r)
	require.NoError(t, err)
	return c
}

func TestFitFollowsACurve(t *testing.T) {
	// A parabola: the exact curve is known, and so is its area.
	curve := func(u float64) (p, dir geom.Vec2) {
		x := 4 * (u - 0.5)
		return geom.Vec2{X: x, Y: x * x}, geom.Vec2{X: 1, Y: 2 * x}.Unit()
	}
	for _, tol := range []float64{1e-2, 1e-4, 1e-6} {
		es, err := outline.Fit(curve, tol)
		require.NoError(t, err)
		o, err := outline.New(append(es, outline.Elem{A: geom.Vec2{X: 2, Y: 4}, B: geom.Vec2{X: -2, Y: 4}}))
		require.NoError(t, err)
		require.Equal(t, 2, o.Corners(), "arcs must be tangent")
		require.InDelta(t, 32.0/3, o.Area(), tol*o.Length())
		for k := range 3000 {
			p, _ := curve(float64(k) / 2999)
			require.LessOrEqual(t, math.Abs(o.At(p).D), tol)
		}
	}
	_, err := outline.Fit(func(u float64) (p, dir geom.Vec2) { // a sawtooth
		return geom.Vec2{X: u, Y: math.Abs(math.Mod(u*37, 1) - 0.5)}, geom.Vec2{X: 1}
	}, 1e-6)
	require.ErrorContains(t, err, "can not be followed")
}

func BenchmarkAt(b *testing.B) {
	o, err := outline.Rect(100, 60, 6)
	require.NoError(b, err)
	rng := seeded(1)
	ps := make([]geom.Vec2, 1024)
	for i := range ps {
		ps[i] = between(rng, -60, 60)
	}
	i := 0
	for b.Loop() {
		o.At(ps[i&1023])
		i++
	}
}
