package form_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
)

func TestSphere(t *testing.T) {
	// R. S. Rivlin: a balloon of neo-Hookean rubber, p r0 / (mu t0) = 2 (1/l - 1/l^7).
	for l, want := range map[float64]float64{
		1.1: 0.79187, 1.2: 1.10850, math.Pow(7, 1.0/6): 1.23946, 1.5: 1.21628, 2: 0.98438, 3: 0.66575,
	} {
		const mu, t0, r0 = 0.1, 2.0, 50.0
		p := 2 * form.Rubber(mu, 0).Tension(t0, l*l) / (l * r0)
		require.InDelta(t, want, p*r0/(mu*t0), 6e-6, "stretch %g", l)
	}
	// Mooney-Rivlin: p = 4 t0/r0 (1/l - 1/l^7)(C1 + C2 l^2).
	law := form.Rubber(0.1, 0.3)
	for _, l := range []float64{1.2, 2, 3} {
		want := 4 * (1/l - math.Pow(l, -7)) * (law.C1 + law.C2*l*l)
		require.InDelta(t, want, 2*law.Tension(1, l*l)/l, 1e-12)
	}
}

func TestPatch(t *testing.T) {
	// A triangle stretched by l1 along x and l2 along y carries the Cauchy tensions T1, T2; each
	// corner takes half the tension over the edge across from it. Derived from the law by hand:
	// T1 = 2 t0/J (l1^2 - 1/J^2)(C1 + C2 l2^2) + 2 t0 A J.
	flat := [3]geom.Vec2{{X: 1, Y: 2}, {X: 4, Y: 1.5}, {X: 2.5, Y: 5}}
	for _, law := range []form.Law{form.Rubber(0.1, 0), form.Rubber(0.1, 0.3), form.EvenBubble(0.1), {C1: 1, C2: 2, A: 3}} {
		for _, l := range [][2]float64{{1, 1}, {1.3, 1.3}, {2, 1.1}, {0.9, 1.7}} {
			const t0 = 1.5
			var at [3]geom.Vec3
			for i, p := range flat {
				at[i] = geom.Vec3{X: l[0] * p.X, Y: l[1] * p.Y, Z: 7}
			}
			j := l[0] * l[1]
			tension := func(a, b float64) float64 {
				return 2 * t0 / j * ((a*a-1/(j*j))*(law.C1+law.C2*b*b) + law.A*j*j)
			}
			tx, ty := tension(l[0], l[1]), tension(l[1], l[0])
			got := form.Forces(flat, at, t0, law, 0)
			for i := range 3 {
				e := at[(i+2)%3].Sub(at[(i+1)%3]) // across from corner i; outward normal (dy, -dx)
				want := geom.Vec3{X: tx * e.Y / 2, Y: -ty * e.X / 2}
				require.InDelta(t, 0, got[i].Sub(want).Norm(), 1e-12, "corner %d of %v, %v", i, law, l)
			}
			// The pressure pushes against the normal with p times the area, a third to a corner.
			area := at[1].Sub(at[0]).Cross(at[2].Sub(at[0])).Norm() / 2
			press := form.Forces(flat, at, t0, law, 0.09)
			for i := range 3 {
				require.InDelta(t, 0, press[i].Sub(got[i]).Sub(geom.Vec3{Z: -0.09 * area / 3}).Norm(), 1e-12)
			}
		}
	}
}

func TestShooting(t *testing.T) {
	// Values of an independent integration with 4000 steps. Derived, not published.
	for _, c := range []struct{ k, pole, pressure, height, rim float64 }{
		{0, 1.10, 0.5278, 0.3835, 1.1043}, {0, 1.20, 0.9993, 0.5310, 1.1769}, {0, 1.30, 1.3099, 0.6380, 1.2274},
		{0, 1.50, 1.6436, 0.7988, 1.2901}, {0, 2.00, 1.8696, 1.0831, 0}, {0, 3.00, 1.8079, 0, 0}, {0, 4.00, 1.6720, 0, 0},
		{0.1, 1.10, 0.5405, 0.3854, 1.1069}, {0.1, 1.30, 1.3982, 0.6485, 1.2461}, {0.1, 1.50, 1.8194, 0.8223, 1.3329},
		{0.1, 2.00, 2.2459, 1.1611, 1.4903}, {0.1, 3.00, 2.5169, 1.8002, 0}, {0.1, 4.00, 2.6742, 2.5369, 0},
	} {
		b := formtest.Blow(form.Rubber(1, c.k), c.pole)
		require.InDelta(t, c.pressure, b.Pressure, 2e-4*c.pressure, "k %g pole %g", c.k, c.pole)
		if c.height > 0 {
			require.InDelta(t, c.height, b.Height, 2e-4*c.height, "k %g pole %g", c.k, c.pole)
		}
		if c.rim > 0 {
			require.InDelta(t, c.rim, b.Rim, 2e-4*c.rim, "k %g pole %g", c.k, c.pole)
		}
	}
}
