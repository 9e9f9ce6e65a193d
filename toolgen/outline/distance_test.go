package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// comb is a long outline with sharp and round teeth: enough elements for the tree.
func comb(t *testing.T) *outline.Outline {
	t.Helper()
	segs := []outline.Seg{}
	for i := range 30 {
		x := float64(i)
		segs = append(segs,
			outline.LineTo(geom.Vec2{X: x + 0.2, Y: -5 - 0.3*float64(i%4)}),
			outline.BulgeTo(geom.Vec2{X: x + 0.7, Y: -5 - 0.3*float64(i%3)}, 0.7-0.4*float64(i%2)),
			outline.LineTo(geom.Vec2{X: x + 1}))
	}
	segs = append(segs, outline.BulgeTo(geom.Vec2{}, 0.9))
	o, err := outline.Path(geom.Vec2{}, segs...)
	require.NoError(t, err)
	return o
}

// sampled returns the least distance from p to points set densely on the outline, and the spacing.
func sampled(o *outline.Outline, p geom.Vec2, n int) (d, step float64) {
	d = math.Inf(1)
	for _, e := range o.Elems {
		for k := range n + 1 {
			d = min(d, p.Sub(e.Point(float64(k)/float64(n))).Norm())
		}
		step = max(step, e.Length()/float64(n))
	}
	return d, step
}

// polyline returns the outline as short chords: 4000 an arc, for points not nearer than 1e-4.
func polyline(o *outline.Outline) [][2]geom.Vec2 {
	var out [][2]geom.Vec2
	for _, e := range o.Elems {
		m := 1
		if e.IsArc() {
			m = 4000
		}
		for k := range m {
			out = append(out, [2]geom.Vec2{e.Point(float64(k) / float64(m)), e.Point(float64(k+1) / float64(m))})
		}
	}
	return out
}

// inside counts the crossings of the ray from p along X with the chords.
func inside(chords [][2]geom.Vec2, p geom.Vec2) bool {
	odd := false
	for _, c := range chords {
		a, b := c[0], c[1]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			odd = !odd
		}
	}
	return odd
}

func TestDistanceIsThatOfDenseSamples(t *testing.T) {
	for name, o := range map[string]*outline.Outline{"key": key(t), "comb": comb(t)} {
		t.Run(name, func(t *testing.T) {
			rng := seeded(2)
			for range 150 {
				p := between(rng, -30, 35)
				got := math.Abs(o.At(p).D)
				d, step := sampled(o, p, 1000)
				require.LessOrEqual(t, got, d+1e-12, "at %v", p)
				require.GreaterOrEqual(t, got, d-step, "at %v", p)
				require.GreaterOrEqual(t, got*got, d*d-step*step/4-step*step*d, "second order at %v", p)
			}
		})
	}
}

func TestSignIsThatOfARay(t *testing.T) {
	for name, o := range map[string]*outline.Outline{"key": key(t), "comb": comb(t)} {
		t.Run(name, func(t *testing.T) {
			rng := seeded(3)
			chords := polyline(o)
			seen := 0
			for range 800 {
				p := between(rng, -25, 32)
				if d := o.At(p).D; math.Abs(d) > 1e-4 {
					require.Equal(t, inside(chords, p), d < 0, "at %v", p)
					seen++
				}
			}
			require.Greater(t, seen, 700)
		})
	}
}

func TestSignRoundCorners(t *testing.T) {
	// Points at every bearing round every corner, at distances from large to rounding.
	for name, o := range map[string]*outline.Outline{
		"key":    key(t),
		"needle": block(t, 0, geom.Vec2{}, geom.Vec2{X: 50, Y: 0.4}, geom.Vec2{X: 49, Y: 0.9}),
	} {
		t.Run(name, func(t *testing.T) {
			for _, e := range o.Elems {
				for _, r := range []float64{1e-1, 1e-3, 1e-5, 1e-7} {
					for k := range 90 {
						p := e.A.Add(geom.Vec2{X: r}.Turn(geom.Angle(float64(k)*0.07 + 0.01)))
						f := o.At(p)
						require.LessOrEqual(t, math.Abs(f.D), r*(1+1e-6))
						require.InDelta(t, 1, f.G.Norm(), 1e-9)
						if math.Abs(f.D) > r/20 { // follow the gradient to the outline
							require.InDelta(t, 0, o.At(p.Sub(f.G.Scale(f.D))).D, 1e-12)
							require.Positive(t, o.At(p.Add(f.G.Scale(f.D*0.01))).D*f.D, "one side only")
						}
					}
				}
			}
		})
	}
}

func TestCornerOfAWedge(t *testing.T) {
	// Closed form: a right angle with its corner at the origin, inside at x < 0, y > 0.
	o := block(t, 0, geom.Vec2{X: -10}, geom.Vec2{}, geom.Vec2{Y: 10}, geom.Vec2{X: -10, Y: 10})
	require.InDelta(t, 5, o.At(geom.Vec2{X: 3, Y: -4}).D, 1e-14)
	require.InDelta(t, 3, o.At(geom.Vec2{X: 3, Y: 4}).D, 1e-14)
	require.InDelta(t, 4, o.At(geom.Vec2{X: -3, Y: -4}).D, 1e-14)
	require.InDelta(t, -2, o.At(geom.Vec2{X: -2, Y: 4}).D, 1e-14)
	require.InDelta(t, 1, o.At(geom.Vec2{X: 3, Y: -4}).G.Dot(geom.Vec2{X: 0.6, Y: -0.8}), 1e-15)
	require.Zero(t, o.At(geom.Vec2{}).D)
	require.InDelta(t, 1, o.At(geom.Vec2{}).G.Norm(), 1e-15)
}

func TestGradientIsTheSlope(t *testing.T) {
	for name, o := range map[string]*outline.Outline{"key": key(t), "comb": comb(t)} {
		t.Run(name, func(t *testing.T) {
			rng := seeded(4)
			const h = 1e-5
			smooth := 0
			for range 1000 {
				p := between(rng, -30, 35)
				f := o.At(p)
				require.InDelta(t, 1, f.G.Norm(), 1e-9)
				dx, dy := geom.Vec2{X: h}, geom.Vec2{Y: h}
				xp, xm, yp, ym := o.At(p.Add(dx)), o.At(p.Sub(dx)), o.At(p.Add(dy)), o.At(p.Sub(dy))
				if xp.G.Dot(xm.G) < 0.999 || yp.G.Dot(ym.G) < 0.999 {
					continue // across the medial axis, or nearly on a corner
				}
				smooth++
				require.InDelta(t, f.G.X, (xp.D-xm.D)/(2*h), 1e-3)
				require.InDelta(t, f.G.Y, (yp.D-ym.D)/(2*h), 1e-3)
			}
			require.Greater(t, smooth, 950)
		})
	}
}

func TestDistanceNeverGrowsFasterThanTheWay(t *testing.T) {
	o := comb(t)
	rng := seeded(5)
	for range 20000 {
		p := between(rng, -30, 35)
		q := p.Add(between(rng, -1, 1).Scale(math.Pow(10, -8*rng.Float64())))
		require.LessOrEqual(t, math.Abs(o.At(p).D-o.At(q).D), p.Sub(q).Norm()+2e-12)
	}
}

func TestTreeAgreesWithTheList(t *testing.T) {
	o := comb(t)
	rng := seeded(6)
	for range 5000 {
		p := between(rng, -40, 45)
		var best outline.Nearest
		for i, e := range o.Elems {
			best.Try(e, p, i)
		}
		d, _ := best.Signed(p)
		require.InDelta(t, d, o.At(p).D, 2e-12)
	}
	for range 200 {
		p, rho := between(rng, -40, 45), 8*rng.Float64()
		near := map[int]bool{}
		o.Near(p, rho, func(i int) { near[i] = true })
		for i, e := range o.Elems {
			var one outline.Nearest
			one.Try(e, p, i)
			d, _ := one.Signed(p)
			require.Equal(t, math.Abs(d) <= rho, near[i])
		}
	}
}

func TestAwkwardPoints(t *testing.T) {
	o := key(t)
	far := []geom.Vec2{{X: 1e6}, {Y: -1e9}, {X: -1e12, Y: 1e12}}
	for _, p := range far {
		f := o.At(p)
		require.InEpsilon(t, p.Norm(), f.D, 1e-4)
		require.InDelta(t, 1, f.G.Dot(p.Unit()), 1e-6)
	}
	for _, e := range o.Elems {
		for k := range 11 {
			f := o.At(e.Point(float64(k) / 10))
			require.InDelta(t, 0, f.D, 1e-14*50)
			require.InDelta(t, 1, f.G.Norm(), 1e-12)
		}
		if !e.IsArc() {
			continue
		}
		for _, v := range []geom.Vec2{{}, {X: 1e-300, Y: 1e-310}, {Y: -1e-160}, {X: 1e-20}} {
			f := o.At(e.C.Add(v))
			require.False(t, math.IsNaN(f.D))
			require.InDelta(t, 1, f.G.Norm(), 1e-12)
		}
	}
	// About the origin the offsets above are not swallowed by the centre's own size.
	c, err := outline.Circle(2)
	require.NoError(t, err)
	for _, v := range []geom.Vec2{{}, {X: 1e-300, Y: 1e-310}, {X: -1e-170, Y: -1e-160}, {X: 1e-20}} {
		require.InDelta(t, -2, c.At(v).D, 1e-15)
		require.InDelta(t, 1, c.At(v).G.Norm(), 1e-12)
	}
}
