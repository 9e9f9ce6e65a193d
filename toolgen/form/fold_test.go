package form_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/geom"
)

// strip makes a flat sheet 40 x 40 of squares of 1 mm, each two triangles, whose columns of nodes stand where place puts them.
func strip(gauge float64, place func(x float64) float64) *form.Sheet {
	const n = 41
	sh := &form.Sheet{Gauge: gauge}
	for i := range n * n {
		flat := geom.Vec2{X: float64(i % n), Y: float64(i / n)}
		sh.Nodes = append(sh.Nodes, form.Node{Flat: flat, At: geom.Vec3{X: place(flat.X), Y: flat.Y}, Status: form.Landed})
	}
	for i := range int32(n * n) {
		if i%n < n-1 && i/n < n-1 {
			sh.Triangles = append(sh.Triangles, form.Triangle{N: [3]int32{i, i + 1, i + n}}, form.Triangle{N: [3]int32{i + 1, i + n + 1, i + n}})
		}
	}
	return sh
}

func folding(sh *form.Sheet) (area float64) {
	for k, f := range sh.Folding() {
		if f {
			area += sh.Area(k)
		}
	}
	return area
}

// TestFolding presses a whole square sheet together along X: it folds where a clamped strip as long as it is wide buckles,
// at a strain of (pi^2/9)(2 t/b)^2. Source: Timoshenko and Gere, Theory of Elastic Stability, 2nd ed., 1961: a clamped
// column, 4 pi^2 EI/b^2, with the stiffness of a plate, nu = 1/2.
func TestFolding(t *testing.T) {
	for _, strain := range []float64{0.03, 0.05, 0.1} {
		b := 40 * math.Sqrt(1-strain) // root of the area as pressed
		gauge := b * math.Sqrt(strain) / (2 * math.Pi / 3)
		pressed := func(x float64) float64 { return x * (1 - strain) }
		require.InEpsilon(t, b*b, folding(strip(0.999*gauge, pressed)), 1e-9, "strain %.2f", strain)
		require.Zero(t, folding(strip(1.001*gauge, pressed)), "strain %.2f", strain)
	}
	require.Zero(t, folding(strip(0.1, func(x float64) float64 { return x * 0.985 })), "within 2 % of plain tension")
	require.Zero(t, folding(strip(0.1, func(x float64) float64 { return x * 1.2 })), "stretched")
}

// TestNoiseDoesNotFold: columns 4 % too narrow and too wide by turns are the mesh's noise, however thin the sheet;
// the same 4 % over a band of ten columns folds there alone.
func TestNoiseDoesNotFold(t *testing.T) {
	require.Zero(t, folding(strip(0.1, func(x float64) float64 {
		if x < 2 || x > 38 { // the rim is clamped
			return x
		}
		return x - 0.04*math.Mod(x, 2)
	})))
	band := folding(strip(0.1, func(x float64) float64 { return x - 0.04*min(max(x-15, 0), 10) }))
	require.InDelta(t, 40*10, band, 2*40)
}
