package form_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
)

func TestNearest(t *testing.T) {
	sh := formed(t, formtest.Pocket(), pocketSetup(0.1), form.Options{Mesh: 6, Levels: -1})
	f := sh.Finder()
	rng := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		p := geom.Vec3{X: 140 * (rng.Float64() - 0.5), Y: 120 * (rng.Float64() - 0.5), Z: -50 * rng.Float64()}
		h := f.Nearest(p)
		// No point of any triangle is nearer: by trial over all of them, finely sampled.
		require.InDelta(t, h.Distance, h.At.Sub(p).Norm(), 1e-9)
		require.Equal(t, sh.Triangles[h.Triangle].Thickness, h.Thickness)
		best := math.Inf(1)
		for _, x := range sh.Triangles {
			a, b, c := sh.Nodes[x.N[0]].At, sh.Nodes[x.N[1]].At, sh.Nodes[x.N[2]].At
			for i := range 9 {
				for j := range 9 - i {
					u, v := float64(i)/8, float64(j)/8
					best = min(best, a.Scale(1-u-v).Add(b.Scale(u)).Add(c.Scale(v)).Sub(p).Norm())
				}
			}
		}
		require.LessOrEqual(t, h.Distance, best+1e-9)
		require.Greater(t, h.Distance, best-1.5)
	}
}

func TestRange(t *testing.T) {
	sh := formed(t, formtest.Pocket(), pocketSetup(0.1), form.Options{})
	f := sh.Finder()
	var ps []geom.Vec3
	for i := range 200 {
		ps = append(ps, geom.Vec3{X: 0.3 * float64(i-100), Z: -40})
	}
	r := f.Over(ps)
	require.Equal(t, 200, r.Points)
	sum, low := 0.0, math.Inf(1)
	for _, p := range ps {
		h := f.Nearest(p)
		sum += h.Thickness
		low = min(low, h.Thickness)
	}
	require.InDelta(t, sum/200, r.Mean, 1e-12)
	require.GreaterOrEqual(t, r.Low, low)
	require.Less(t, r.Low, r.Mean)
	require.InDelta(t, -40, r.At.Z, 0.1)
	require.Zero(t, f.Over(nil).Points)
}
