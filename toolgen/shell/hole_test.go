package shell_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/shell"
)

// TestHoles punches a flat sheet: the volume is that of what is left, every hole goes through, and its edge lies
// on the line asked.
func TestHoles(t *testing.T) {
	at := func(o *outline.Outline, err error) func(x, y float64) *outline.Outline {
		require.NoError(t, err)
		return func(x, y float64) *outline.Outline {
			m, err := o.Map(geom.Moved(geom.Vec2{X: x, Y: y}))
			require.NoError(t, err)
			return m
		}
	}
	trim := polygon(t, 4, geom.Vec2{X: -31, Y: -27}, geom.Vec2{X: 33, Y: -27}, geom.Vec2{X: 33, Y: 29}, geom.Vec2{X: -31, Y: 29})
	pin, hang := at(outline.Circle(0.4)), at(outline.Slot(24, 6))
	// A pin hole lies within one triangle of the sheet, wherever its corners are.
	holes := []*outline.Outline{hang(0, 20), at(outline.Circle(9))(-15, -10), at(outline.Rect(11, 7, 0))(20, -12),
		pin(3.1, 0.2), pin(5.7, -3.3), pin(8.3, 2.1), pin(11.9, -1.7), pin(14.4, 4.6)}
	sh := formed(t, plane, 80, 1.2, 0)
	in := input(sh, plane, trim, plain())
	in.Holes = holes
	p, err := shell.Make(context.Background(), in)
	require.NoError(t, err)
	require.NoError(t, p.Audit.Fault())
	require.Equal(t, len(holes), p.Holes)
	left := trim.Area()
	for _, h := range holes {
		left -= h.Area()
	}
	require.InEpsilon(t, 1.2*left, p.Volume, 2e-4)
	require.InEpsilon(t, 1.2*left, p.Sheet, 2e-4)
	// Euler: a closed surface with h holes through it has V - E + F = 2 - 2h, and E = 3F/2.
	require.Equal(t, 2-2*len(holes), len(p.Mesh.V)-len(p.Mesh.T)/2)
	for i, h := range holes {
		near, most := 0, 0.0
		for _, v := range p.Mesh.V {
			if d := h.At(v.Plan()).D; d < 0.05 {
				near, most = near+1, max(most, -d)
			}
		}
		require.GreaterOrEqual(t, near, 6, "hole %d", i)
		require.Less(t, most, 1e-3, "hole %d: nothing stands in it", i)
	}

	in.Holes = []*outline.Outline{hang(0, 27)}
	_, err = shell.Make(context.Background(), in)
	require.ErrorContains(t, err, "cross")
}
