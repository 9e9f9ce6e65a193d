package sdf_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/sdf"
)

// touched returns the point of the surface that p falls to and whether it stays in the ball.
func touched(f sdf.Field, p, c geom.Vec3, rho float64) (geom.Vec3, geom.Vec3, bool) {
	for range 30 {
		s := f.At(p)
		if math.Abs(s.D) < 1e-9 {
			return p, s.G, p.Sub(c).Norm() <= rho
		}
		p = p.Sub(s.G.Scale(s.D))
	}
	return p, geom.Vec3{}, false
}

func TestSurveyListsAllThatIsThere(t *testing.T) {
	for name, ms := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			s := joint(t, ms...)
			r := rand.New(rand.NewPCG(11, 12))
			flat, all := 0, 0
			for range 1000 {
				rho := 0.1 + r.Float64()
				c := surfacePoint(r, s.j, s.j.Box(), 3, 1.5*rho)
				v := s.j.Survey(c, rho)
				if r.IntN(2) == 0 {
					v = s.j.Prune(c, rho).Survey(c, rho)
				}
				var p0, g0 geom.Vec3
				seen := 0
				for range 12 {
					p, g, ok := touched(s.j, within(r, geom.Box3{Min: c, Max: c}, rho), c, rho)
					if !ok {
						continue
					}
					require.True(t, v.Curved || v.Planes > 0, "%v rho %g misses %v", c, rho, p)
					if seen++; seen > 1 {
						turn, run := g.Sub(g0).Norm(), p.Sub(p0).Norm()
						switch {
						case v.Curved:
							require.LessOrEqual(t, turn, 1.1*run/v.Radius+1e-6, "%v rho %g radius %g", c, rho, v.Radius)
						case v.Planes == 1:
							require.Less(t, turn, 1e-6, "%v rho %g", c, rho)
							require.Less(t, math.Abs(p.Sub(p0).Dot(g)), 1e-6)
						}
					}
					p0, g0 = p, g
				}
				if h := s.j.At(c); math.Abs(h.D) < rho {
					if role := s.t.At(h.Piece); role.Radius == 0 {
						all++
						if !v.Curved {
							flat++
						}
					}
				}
			}
			t.Logf("%d of %d balls on planes are seen to be flat", flat, all)
			require.Greater(t, flat*3, all)
		})
	}
}

func TestSurveyOfTheMiddleOfALevel(t *testing.T) {
	s := joint(t, scenes(t)["recess above the floor"]...)
	for _, z := range []float64{-38, -37.5} {
		require.Equal(t, sdf.Survey{Planes: 1, Radius: math.Inf(1)}, s.j.Survey(geom.Vec3{X: -5, Z: z}, 5))
	}
	require.Equal(t, sdf.Survey{Radius: math.Inf(1)}, s.j.Survey(geom.Vec3{X: -5, Z: -20}, 5))
}

// The region outside Plan is the host plane, and within Flat of a level point that level goes on.
func TestPlanAndFlatAreSafe(t *testing.T) {
	for name, ms := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			s := joint(t, ms...)
			levels := s.j.Level()
			r := rand.New(rand.NewPCG(13, 14))
			out, over := 0, 0
			for range 5000 {
				p := within(r, s.j.Box(), 6)
				if s.j.Plan(p.Plan()) > 0 {
					out++
					h := s.j.At(p.Plan().At(0))
					require.InDelta(t, 0, h.D, 1e-9)
					require.Equal(t, levels[0], h.Piece)
					require.InDelta(t, 1, h.G.Z, 1e-9)
				}
				q, g, _ := touched(s.j, p, p, 0)
				if f := s.j.Flat(q.Plan()); f > 0 && g.Z > 1-1e-9 {
					over++
					m := geom.Vec2{X: 1}.Turn(geom.Angle(r.Float64() * 2 * math.Pi)).Scale(f * r.Float64() * 0.999)
					h := s.j.At(q.Plan().Add(m).At(q.Z))
					require.InDelta(t, 0, h.D, 1e-8, "%v flat %g", q, f)
					require.Contains(t, levels, h.Piece)
				}
				require.LessOrEqual(t, s.j.Box().Min.Z, q.Z+1e-6)
				require.GreaterOrEqual(t, s.j.Box().Max.Z, q.Z-1e-6)
			}
			require.Greater(t, out, 100)
			require.Greater(t, over, 100)
		})
	}
}
