package closing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/closing"
	"platen/toolgen/geom"
)

// block returns the triangles of a box.
func block(lo, hi geom.Vec3) [][3]geom.Vec3 {
	v := func(i int) geom.Vec3 {
		p := lo
		if i&1 != 0 {
			p.X = hi.X
		}
		if i&2 != 0 {
			p.Y = hi.Y
		}
		if i&4 != 0 {
			p.Z = hi.Z
		}
		return p
	}
	var out [][3]geom.Vec3
	for _, f := range [][4]int{{0, 1, 3, 2}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 3, 7, 6}, {0, 2, 6, 4}, {1, 3, 7, 5}} {
		out = append(out, [3]geom.Vec3{v(f[0]), v(f[1]), v(f[2])}, [3]geom.Vec3{v(f[0]), v(f[2]), v(f[3])})
	}
	return out
}

// TestHighestAngle: a box from b = 20 to 40 and 8 high reaches, on the circle of radius r about the line, to
// the angle of its near side while r < hypot(20, 8), of its top up to hypot(40, 8), and is not met beyond.
func TestHighestAngle(t *testing.T) {
	tri := block(geom.Vec3{X: -15.3, Y: 20, Z: -2}, geom.Vec3{X: 12.1, Y: 40, Z: 8})
	for r := 0.25; r < 45; r += 0.25 {
		got := closing.Highest(tri, 0.25, 3, r)
		switch {
		case r < 20 || r > math.Hypot(40, 8):
			require.True(t, math.IsInf(got, -1), "%g mm: %g", r, got)
		case r*r < 20*20+8*8:
			require.InDelta(t, math.Acos(20/r), got, 1e-9, "%g mm", r)
		default:
			require.InDelta(t, math.Asin(8/r), got, 1e-9, "%g mm", r)
		}
		require.True(t, math.IsInf(closing.Highest(tri, 0.25, 13, r), -1), "beside the box")
	}
}

// TestHighestOfMany compares the lattice with a search along the circle over random triangles.
func TestHighestOfMany(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	point := func() geom.Vec3 {
		return geom.Vec3{X: 20*rng.Float64() - 10, Y: 1 + 29*rng.Float64(), Z: 20*rng.Float64() - 10}
	}
	met := 0
	for range 200 {
		tri := [][3]geom.Vec3{{point(), point(), point()}}
		a, r := float64(rng.IntN(17)-8), float64(2+rng.IntN(28))
		got := closing.Highest(tri, 1, a, r)
		want := math.Inf(-1)
		o := tri[0]
		n := o[1].Sub(o[0]).Cross(o[2].Sub(o[0]))
		at := func(th float64) geom.Vec3 { return geom.Vec3{X: a, Y: r * math.Cos(th), Z: r * math.Sin(th)} }
		side := func(th float64) float64 { return at(th).Sub(o[0]).Dot(n) }
		const looks = 20000
		for k := range looks {
			lo, hi := -math.Pi/2+math.Pi*float64(k)/looks, -math.Pi/2+math.Pi*float64(k+1)/looks
			if side(lo)*side(hi) > 0 {
				continue
			}
			for range 50 {
				mid := (lo + hi) / 2
				if side(lo)*side(mid) <= 0 {
					hi = mid
				} else {
					lo = mid
				}
			}
			p, in := at(lo), true
			for e := range 3 {
				in = in && o[(e+1)%3].Sub(o[e]).Cross(p.Sub(o[e])).Dot(n) >= 0
			}
			if in {
				want = max(want, lo)
			}
		}
		if math.IsInf(want, -1) {
			require.True(t, math.IsInf(got, -1), "%v: %g", tri, got)
			continue
		}
		met++
		require.InDelta(t, want, got, 1e-6)
	}
	require.Greater(t, met, 15)
}

// TestColumn looks down on a slope: z = b / 4.
func TestColumn(t *testing.T) {
	tri := [][3]geom.Vec3{{{X: -9, Y: 1, Z: 0.25}, {X: 9, Y: 1, Z: 0.25}, {X: 9, Y: 21, Z: 5.25}}, {{X: -9, Y: 1, Z: 0.25}, {X: 9, Y: 21, Z: 5.25}, {X: -9, Y: 21, Z: 5.25}}}
	for _, b := range []float64{1, 4, 7, 20, 21} {
		require.InDelta(t, b/4, closing.Column(tri, 1, -3, b), 1e-9)
	}
	require.True(t, math.IsInf(closing.Column(tri, 1, -3, 22), -1))
}

// TestLineMirrors: about any line a point and its image stand square to it and as far beyond as before.
func TestLineMirrors(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		a := 2 * math.Pi * rng.Float64()
		l := closing.Line{At: geom.Vec2{X: 9 * rng.Float64(), Y: -7 * rng.Float64()}, Dir: geom.Vec2{X: math.Cos(a), Y: math.Sin(a)}}
		q := geom.Vec2{X: 40 * rng.NormFloat64(), Y: 40 * rng.NormFloat64()}
		m := l.Mirror(q)
		require.InDelta(t, 0, l.Beyond(q)+l.Beyond(m), 1e-9)
		require.InDelta(t, 0, m.Sub(q).Dot(l.Dir), 1e-9)
		require.InDelta(t, 0, l.Mirror(m).Sub(q).Norm(), 1e-9)
	}
}

// TestDriftIsSaidOnce: what is written to a thousandth and rounded from there reads as what is rounded at once.
func TestDriftIsSaidOnce(t *testing.T) {
	c := &closing.Closed{Spread: 0.003}
	for k := range 4000 {
		var s closing.Snap
		s.Far = 20 + float64(k)/40
		drift := c.Drift(s)
		require.InDelta(t, 0.003*s.Far, drift, 0.00051)
		written, err := strconv.ParseFloat(fmt.Sprintf("%.3f", drift), 64)
		require.NoError(t, err)
		require.Equal(t, fmt.Sprintf("%.2f", drift), fmt.Sprintf("%.2f", written), "%g mm off the line", s.Far)
	}
}

// TestBeyondCloses cuts a square ring off: what is left is closed, and has the area that is left.
func TestBeyondCloses(t *testing.T) {
	var es [][2]geom.Vec2
	ring := func(r float64, turn bool) {
		p := []geom.Vec2{{X: -r, Y: -r}, {X: r, Y: -r}, {X: r, Y: r}, {X: -r, Y: r}}
		for i := range p {
			a, b := p[i], p[(i+1)%4]
			if turn {
				a, b = b, a
			}
			es = append(es, [2]geom.Vec2{a, b})
		}
	}
	ring(5, false)
	ring(3, true)
	for x, want := range map[float64]float64{-6: 64, -4: 54, 0: 32, 4: 10} {
		got := closing.Beyond(append([][2]geom.Vec2{}, es...), x)
		area, ends := 0.0, geom.Vec2{}
		for _, e := range got {
			area += e[0].Cross(e[1]) / 2
			ends = ends.Add(e[1]).Sub(e[0])
		}
		require.InDelta(t, want, area, 1e-9, "beyond %g", x)
		require.InDelta(t, 0, ends.Norm(), 1e-9)
	}
}
