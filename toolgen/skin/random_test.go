package skin_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/sdf"
	"platen/toolgen/skin"
)

// randomPlan returns a star-shaped polygon of 3 to 9 corners between 15 and 30 mm from the centre,
// sharp or rounded.
func randomPlan(r *rand.Rand) (*outline.Outline, error) {
	n := 3 + r.IntN(7)
	var p []geom.Vec2
	for i := range n {
		a := 2 * math.Pi * (float64(i) + 0.6*r.Float64()) / float64(n)
		p = append(p, geom.Vec2{X: 15 + 15*r.Float64()}.Turn(geom.Angle(a)))
	}
	radius := 0.0
	if r.IntN(3) > 0 {
		radius = 0.2 + 3*r.Float64()
	}
	return outline.Polygon(p, radius)
}

// TestRandomFeatures builds features with random plans and sections. Those whose section does not
// fit its plan are left out beforehand, by the outline's own offset; every other one must come out
// sound and within its bound.
func TestRandomFeatures(t *testing.T) {
	done := 0
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 5))
		plan, err := randomPlan(r)
		if err != nil {
			continue
		}
		end := 1 + 8*r.Float64()
		if r.IntN(2) == 0 {
			end = -end
		}
		w := sdf.Wall{Host: 0, End: end, Datum: end * float64(r.IntN(3)) / 2, Draft: geom.Angle(r.IntN(20)) * geom.Degree,
			HostR: math.Abs(end) * 0.3 * float64(r.IntN(3)) / 2, EndR: math.Abs(end) * 0.3 * float64(r.IntN(3)) / 2}
		p, err := w.Profile()
		require.NoError(t, err)
		_, bad1 := plan.Offset(p.Reach())
		_, bad2 := plan.Offset(p.Inner())
		if bad1 != nil || bad2 != nil {
			continue
		}
		done++
		s := block(t, at(t, 0, 0)(outline.Rect(120, 120, 0)), -20, 0, 0)
		s.add(-1, plan, w)
		b := s.body()
		m, rep, err := skin.Build(context.Background(), b, skin.Options{Tol: 0.02})
		require.NoError(t, err, "seed %d", seed)
		requireSound(t, b, m)
		requireAudit(t, m)
		worst, at := dense(m, len(m.T)/200|1, b.At)
		require.LessOrEqual(t, worst, rep.Bound, "seed %d at %v", seed, at)
	}
	require.Greater(t, done, 80)
}
