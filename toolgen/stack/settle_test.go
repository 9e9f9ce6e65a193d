package stack_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/stack"
)

// TestSettle holds the plane on which a part settles against all planes through three of the places: the
// lowest over the middle of those that no place stands out of.
func TestSettle(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 7))
	held := 0
	for range 300 {
		n := 3 + rng.IntN(8)
		pts := make([]geom.Vec3, n)
		for i := range pts {
			pts[i] = geom.Vec3{X: 200*rng.Float64() - 100, Y: 160*rng.Float64() - 80, Z: 5 + rng.Float64()}
		}
		got := stack.Settle(pts, geom.Vec2{})
		best := math.Inf(1)
		for i := range pts {
			for j := range i {
				for k := range j {
					u, v := pts[j].Sub(pts[i]), pts[k].Sub(pts[i])
					normal := u.Cross(v)
					if math.Abs(normal.Z) < 1e-6 {
						continue
					}
					high := func(p geom.Vec2) float64 {
						return pts[i].Z - (normal.X*(p.X-pts[i].X)+normal.Y*(p.Y-pts[i].Y))/normal.Z
					}
					over := false
					for _, p := range pts {
						over = over || p.Z > high(p.Plan())+1e-9
					}
					// Between the three: on one side of all of their sides.
					a, b, c := pts[i].Plan(), pts[j].Plan(), pts[k].Plan()
					s, q, r := a.Cross(b), b.Cross(c), c.Cross(a)
					if !over && (s >= 0 && q >= 0 && r >= 0 || s <= 0 && q <= 0 && r <= 0) {
						best = min(best, high(geom.Vec2{}))
					}
				}
			}
		}
		require.Equal(t, !math.IsInf(best, 1), got.Held)
		if got.Held {
			held++
			require.InDelta(t, best, got.Lift, 1e-5)
			for _, p := range pts {
				require.LessOrEqual(t, p.Z, got.At(p.Plan())+1e-5)
			}
		}
	}
	require.Greater(t, held, 100)
}
