package sdf_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/sdf"
)

func TestJointFieldNearItsSurface(t *testing.T) {
	for name, ms := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			s := joint(t, ms...)
			r := rand.New(rand.NewPCG(3, 4))
			n, least := 6000, smallestBall(ms)
			worst, bend, unsure := 0.0, 0.0, 0
			for range n {
				p := surfacePoint(r, s.j, s.j.Box(), 3, 0.3)
				a, sure := s.j.Certain(p)
				if !sure {
					unsure++
				}
				d := geom.Vec3{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit().Scale(1e-3)
				b := s.j.At(p.Add(d))
				worst = max(worst, math.Abs(b.D-a.D)/1e-3)
				bend = max(bend, math.Abs(b.D-a.D-a.G.Dot(d)))
				require.InDelta(t, 1, a.G.Norm(), 1e-9)
			}
			t.Logf("slope %.6f, gradient error %.2g, unsure %d of %d", worst, bend, unsure, n)
			require.LessOrEqual(t, worst, 1.0001)
			require.Zero(t, unsure)
			// A field of radius r bends by at most step^2/2r off its tangent; a ball that rolls over a rounding
			// leaves 0.7 of its radius (see rolled).
			require.Less(t, bend, 1e-6/(2*0.7*least))
		})
	}
}

// TestJointFieldInAir holds the field to its slope far from the surface too, where the sheet is moved by it:
// one that jumps has told somebody more than the distance.
func TestJointFieldInAir(t *testing.T) {
	for name, ms := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			s := joint(t, ms...)
			r := rand.New(rand.NewPCG(11, 12))
			box := s.j.Box().Grow(8)
			size, air := box.Size(), 0
			for range 8000 {
				p := box.Min.Add(geom.Vec3{X: size.X * r.Float64(), Y: size.Y * r.Float64(), Z: size.Z * r.Float64()})
				a := s.j.At(p)
				if a.D <= 0 {
					continue
				}
				air++
				d := geom.Vec3{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit().Scale(1e-3)
				require.LessOrEqual(t, math.Abs(s.j.At(p.Add(d)).D-a.D), 1.0001e-3, "at %v, %.4f mm", p, a.D)
			}
			require.Greater(t, air, 1000)
		})
	}
}

// smallestBall returns the least radius of the members.
func smallestBall(ms []sdf.Member) float64 {
	least := math.Inf(1)
	for _, m := range ms {
		least = min(least, m.Wall.HostR, m.Wall.EndR)
	}
	return least
}

// A cluster pruned to a ball, and pruned again to balls within it, is the same cluster wherever the
// surface can be near; and most of it is a lone wall or plane.
func TestPrunedJointIsTheSame(t *testing.T) {
	for name, ms := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			s := joint(t, ms...)
			r := rand.New(rand.NewPCG(5, 6))
			light, all, least := 0, 0, smallestBall(ms)
			for range 300 {
				rho := 0.2 * math.Pow(50, r.Float64())
				c := surfacePoint(r, s.j, s.j.Box(), 3, rho)
				var small sdf.Pruner = s.j
				for range 3 {
					small = small.Prune(c, rho)
					for range 10 {
						p := ball(r, c, rho)
						want, got := s.j.At(p), small.At(p)
						require.Equal(t, want.D < 0, got.D < 0)
						// Deeper than the ball's radius there is no value, only that. Both searches end within
						// 1e-9 mm of the same place, wherever they start.
						if m := min(rho, least-1e-9); math.Abs(want.D) <= m || math.Abs(got.D) <= m {
							require.InDelta(t, want.D, got.D, 1e-9, "%v in %v, %g", p, c, rho)
							require.Less(t, want.G.Sub(got.G).Norm(), 1e-5)
							if want.Piece != got.Piece { // the next element begins here
								near := s.j.At(p.Add(ball(r, geom.Vec3{}, 1e-9)))
								require.Equal(t, s.t.At(near.Piece), s.t.At(got.Piece), "%v in %v, %g", p, c, rho)
							}
						}
					}
					c, rho = ball(r, c, rho/2), rho/2
				}
				c = surfacePoint(r, s.j, s.j.Box(), 3, 0)
				if all++; s.j.Prune(c, 0.3).Weight() < 8 {
					light++
				}
			}
			t.Logf("%d of %d balls are light", light, all)
			require.Greater(t, 2*light, all)
		})
	}
}

// ball returns a random point of the ball of radius rho about c.
func ball(r *rand.Rand, c geom.Vec3, rho float64) geom.Vec3 {
	for {
		d := geom.Vec3{X: 2*r.Float64() - 1, Y: 2*r.Float64() - 1, Z: 2*r.Float64() - 1}
		if d.Norm() <= 1 {
			return c.Add(d.Scale(rho))
		}
	}
}

func TestJointIsFiniteEverywhere(t *testing.T) {
	for name, ms := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			s := joint(t, ms...)
			r := rand.New(rand.NewPCG(7, 8))
			try := func(p geom.Vec3) {
				a := s.j.At(p)
				require.True(t, geom.Vec3{X: a.D}.IsFinite() && a.G.IsFinite(), "%v: %v", p, a)
				require.InDelta(t, 1, a.G.Norm(), 1e-6, "%v", p)
				require.GreaterOrEqual(t, int(a.Piece), 0)
				require.Less(t, int(a.Piece), s.t.Len())
				v := s.j.Survey(p, 0.5)
				require.False(t, math.IsNaN(v.Radius))
			}
			for i := range 3000 {
				try(within(r, s.j.Box(), math.Pow(10, float64(i%5))))
				c := ms[i%len(ms)].Outline.Elems[i%len(ms[i%len(ms)].Outline.Elems)]
				try(c.C.At(r.NormFloat64() * 20))
				try(c.A.At(r.NormFloat64() * 20))
				try(geom.Vec3{X: float64(i%50) - 25, Z: float64(i%60) - 40})
			}
		})
	}
}

func TestOrderOfMembersIsIrrelevant(t *testing.T) {
	for name, ms := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			s := joint(t, ms...)
			n := len(ms)
			turned := make([]sdf.Member, n)
			for i, m := range ms {
				if m.Host >= 0 {
					m.Host = n - 1 - m.Host
				}
				turned[n-1-i] = m
			}
			o := joint(t, turned...)
			r := rand.New(rand.NewPCG(9, 10))
			for range 3000 {
				p := surfacePoint(r, s.j, s.j.Box(), 3, 2)
				a, b := s.j.At(p), o.j.At(p)
				require.InDelta(t, a.D, b.D, 1e-12)
				require.Less(t, a.G.Sub(b.G).Norm(), 1e-9)
				require.Equal(t, s.t.At(a.Piece), o.t.At(b.Piece), "%v", p)
			}
		})
	}
}

// Wherever it is asked, the field never says more than the distance to the surface.
func TestJointFieldIsABound(t *testing.T) {
	for name, ms := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			s := joint(t, ms...)
			r := rand.New(rand.NewPCG(23, 24))
			var on []geom.Vec3
			for range 1500 {
				on = append(on, surfacePoint(r, s.j, s.j.Box(), 5, 0))
			}
			for i := range 3000 {
				p := within(r, s.j.Box(), float64(i%40))
				d := math.Inf(1)
				for _, q := range on {
					d = min(d, p.Sub(q).Norm())
				}
				require.LessOrEqual(t, math.Abs(s.j.At(p).D), d+1e-6, "%v", p)
			}
		})
	}
}
