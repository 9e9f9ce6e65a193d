package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

func TestBetween(t *testing.T) {
	rect := func(l, w, r, x, y float64, turn geom.Angle) *outline.Outline {
		o, err := outline.Rect(l, w, r)
		require.NoError(t, err)
		o, err = o.Map(geom.Turned(turn).Then(geom.Moved(geom.Vec2{X: x, Y: y})))
		require.NoError(t, err)
		return o
	}
	circle := func(r, x, y float64) *outline.Outline {
		o, err := outline.Circle(r)
		require.NoError(t, err)
		o, err = o.Map(geom.Moved(geom.Vec2{X: x, Y: y}))
		require.NoError(t, err)
		return o
	}
	a := rect(40, 30, 5, 0, 0, 0)
	for _, c := range []struct {
		name string
		b    *outline.Outline
		want float64
	}{
		{"side to side", rect(40, 30, 5, 47.25, 3, 0), 7.25},
		{"corner to corner", rect(40, 30, 5, 50, 40, 0), math.Hypot(20, 20) - 10}, // centres (15, 10), (35, 30)
		{"edge of a square to a side", rect(10, 10, 0, 40, 0, 45*geom.Degree), 20 - 5*math.Sqrt2},
		{"circle over a side", circle(8, 2, 30), 15 - 8},
		{"circle off a corner", circle(8, 30, 30), math.Hypot(15, 20) - 13},
		{"circle inside", circle(4, 9, 0), 20 - 9 - 4},
		{"round the whole", rect(60, 50, 12, 0, 0, 0), 10}, // arcs of 12 about (18, 13) lie 10.8 off
		{"crossing", rect(40, 30, 5, 20, 10, 0), 0},
		{"touching", circle(8, 28, 0), 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := outline.Between(a, c.b, 100)
			require.InDelta(t, c.want, n.Width, 1e-9)
			require.InDelta(t, c.want, n.A.Sub(n.B).Norm(), 1e-9)
			require.InDelta(t, 0, a.At(n.A).D, 1e-9)
			require.InDelta(t, 0, c.b.At(n.B).D, 1e-9)
			require.InDelta(t, c.want, outline.Between(c.b, a, 100).Width, 1e-9)
			if c.want > 0 {
				require.InDelta(t, c.want, outline.Between(a, c.b, c.want+1e-6).Width, 1e-9)
				require.True(t, math.IsInf(outline.Between(a, c.b, c.want-1e-6).Width, 1))
			}
		})
	}
}

// TestBetweenIsTheLeastOfAll holds random pairs against samples of one outline in the field of the other.
func TestBetweenIsTheLeastOfAll(t *testing.T) {
	rng := seeded(3)
	a := key(t)
	for range 200 {
		b, err := key(t).Map(geom.Turned(geom.Angle(7 * rng.Float64())).Then(geom.Moved(between(rng, -60, 60))))
		require.NoError(t, err)
		got := outline.Between(a, b, 1e3).Width
		least, crosses := math.Inf(1), false
		for _, e := range a.Elems {
			for k := range 200 {
				d := b.At(e.Point((float64(k) + 0.5) / 200)).D
				least = min(least, math.Abs(d))
				crosses = crosses || (d < 0) != (b.At(a.Elems[0].A).D < 0)
			}
		}
		require.LessOrEqual(t, got, least+1e-9)
		if crosses {
			require.InDelta(t, 0, got, 1e-9)
		} else {
			require.Less(t, least-got, 0.2, "a step between samples")
		}
	}
}

// TestBeyond holds the greatest distance outside an outline to closed forms: a circle that sticks out of
// a rectangle, one within it, and the corners of a rectangle outside a circle.
func TestBeyond(t *testing.T) {
	rect, err := outline.Rect(20, 10, 0)
	require.NoError(t, err)
	round, err := outline.Circle(3)
	require.NoError(t, err)
	for _, tt := range []struct {
		at   geom.Vec2
		want float64
		near geom.Vec2
	}{
		{geom.Vec2{X: 8}, 1, geom.Vec2{X: 11}},
		{geom.Vec2{X: -2, Y: 1}, -1, geom.Vec2{X: -2, Y: 4}},
		{geom.Vec2{X: 13, Y: 9}, 5 + 3, geom.Vec2{X: 13 + 9.0/5, Y: 9 + 12.0/5}},
	} {
		o, err := round.Map(geom.Moved(tt.at))
		require.NoError(t, err)
		d, at := o.Beyond(rect)
		require.InDelta(t, tt.want, d, 0.002)
		require.InDelta(t, 0, at.Sub(tt.near).Norm(), 0.15)
	}
	d, _ := rect.Beyond(round)
	require.InDelta(t, math.Hypot(10, 5)-3, d, 1e-9)
}
