package form_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
)

// TestSmallPocket forms a pocket 43 wide, the reference pocket at a scale of 0.39, on the mesh of a large
// sheet: graded over the pocket, it meets the fine mesh as the reference pocket does; plain, it does not.
func TestSmallPocket(t *testing.T) {
	// The reference pocket in units of 1/0.39 mm: lengths of the mesh grow and the pressure falls with it.
	const scale = 0.39
	s := pocketSetup(0.1)
	s.Pressure *= scale
	run := func(mesh, least float64, fine func(geom.Vec2) float64) (formtest.Measured, int) {
		sh := formed(t, formtest.Pocket(), s, form.Options{Mesh: mesh / scale, Least: least / scale, Fine: fine})
		return formtest.MeasurePocket(sh.Finder(), geom.Vec2{}), len(sh.Triangles)
	}
	over := func(square float64) func(geom.Vec2) float64 {
		return func(p geom.Vec2) float64 {
			if math.Abs(p.X) < 55+5 && math.Abs(p.Y) < 45+5 {
				return square / scale
			}
			return math.Inf(1)
		}
	}
	// Derived: mesh 0.5, least 0.3, 3000 steps.
	fine := formtest.Measured{Floor: 0.5261, Wall: 0.5036, Fillet: 0.3259, Corner: 0.1733, Around: 0.1777}
	plain, few := run(3.5, 1.5, nil)
	graded, more := run(3.5, 1.5, over(2.6))
	t.Logf("plain  %d %.4f", few, plain)
	t.Logf("graded %d %.4f", more, graded)
	require.InEpsilon(t, fine.Floor, graded.Floor, 0.015)
	require.InEpsilon(t, fine.Wall, graded.Wall, 0.015)
	require.InEpsilon(t, fine.Corner, graded.Corner, 0.03)
	require.Greater(t, plain.Corner, 1.05*fine.Corner)
}
