package form_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/geom"
)

// TestWrinkles: an incompressible sheet in plain tension to the stretch l is l^-1/2 wide across; narrower
// than 0.98 of that it is pressed together, and may wrinkle (derived; 0.98 is the mesh's own noise). However
// the triangle lies.
func TestWrinkles(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	for range 200 {
		l := 1 + 3*rng.Float64()
		turn := geom.Angle(2 * math.Pi * rng.Float64())
		tilt := 1.2 * rng.Float64()
		var flat [3]geom.Vec2
		for i := range flat {
			flat[i] = geom.Vec2{X: float64(i%2) * (1 + rng.Float64()), Y: float64(i/2) * (1 + rng.Float64())}
		}
		for share, want := range map[float64]bool{0.9795: true, 0.9805: false, 1: false, 1.2: false} {
			across := share / math.Sqrt(l)
			var at [3]geom.Vec3
			for i, p := range flat {
				q := p.Turn(turn)
				q.X, q.Y = q.X*l, q.Y*across
				at[i] = geom.Vec3{X: q.X, Y: q.Y * math.Cos(tilt), Z: q.Y * math.Sin(tilt)}
			}
			require.Equal(t, want, form.Wrinkles(flat, at), "stretch %.2f, %.4f of plain tension", l, share)
		}
	}
}
