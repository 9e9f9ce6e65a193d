package formula_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/formula"
	"platen/toolgen/geom"
)

// exact is the slack for sums that are exact on paper.
const exact = 1e-12

func TestCupRatios(t *testing.T) {
	// SPE Thermoforming Division, The Ubiquitous Draw Ratio, 2005: a cylinder one high and one wide.
	ratio := formula.Areal(formula.CupArea(1, 1), math.Pi/4)
	require.InDelta(t, 5, ratio, exact)
	require.InDelta(t, 3, formula.CupLinear(1, 1), exact)
	require.InDelta(t, 0.20, formula.MeanWall(1, formula.CupArea(1, 1), math.Pi/4), exact)
}

func TestBoxWall(t *testing.T) {
	// R. J. Crawford, Plastics Engineering, 3rd ed., 1998, Example 4.7: 150 x 100 x 60 from 2 mm.
	area := formula.BoxArea(150, 100, 60)
	require.InDelta(t, 45000, area, exact)
	require.InDelta(t, 0.67, formula.MeanWall(2, area, 150*100), 0.005)
	// The same with a plug of 140 x 90 that stays 2 mm: 4,800 mm3 over 30,000 mm2.
	require.InDelta(t, 0.16, formula.PlugWall(2, 150, 100, 60, 140, 90), 0.005)
	require.InDelta(t, 4800.0/30000, formula.PlugWall(2, 150, 100, 60, 140, 90), exact)
}

func TestBoxDrawRatio(t *testing.T) {
	// Shop's design guide, draw ratio: 10 x 12 x 2 in, printed 1.7; wall 0.100 in from 0.173 in.
	require.InDelta(t, 208, formula.BoxArea(12, 10, 2), exact)
	require.InDelta(t, 1.7, formula.Areal(formula.BoxArea(12, 10, 2), 120), 0.05)
	require.InDelta(t, 0.17333, formula.StartGauge(0.100, 208, 120), 1e-5)
	// 10 x 11 x 5 in: the guide prints 300 sq in; four walls and a floor are 320.
	require.InDelta(t, 320, formula.BoxArea(11, 10, 5), exact)
	require.InDelta(t, 2.909, formula.Areal(formula.BoxArea(11, 10, 5), 110), 0.001)
}

func TestSquarePocketWithoutDraft(t *testing.T) {
	// Derived: depth half of and equal to the width.
	for depth, want := range map[float64]float64{0.5: 3, 1: 5} {
		area := formula.BoxArea(1, 1, depth)
		require.InDelta(t, want, formula.Areal(area, 1), exact)
		require.InDelta(t, 1/want, formula.MeanWall(1, area, 1), exact)
	}
}

func TestDome(t *testing.T) {
	// R. J. Crawford, Problem 4.10: hemisphere of 200 mm from 4 mm sheet.
	require.InDelta(t, 2.0, 4*formula.Dome(100, 100), exact)
	require.InDelta(t, 0.8, formula.Dome(100, 50), exact)
	require.InDelta(t, 1, formula.Dome(100, 0), exact)
}

func TestConeLaw(t *testing.T) {
	// University of California, Berkeley, ME 221; at 60 degrees the wall is linear in u.
	for u, want := range map[float64]float64{1: 0.75, 0.75: 0.5625, 0.5: 0.375, 0.25: 0.1875} {
		require.InDelta(t, want, formula.Cone(60*geom.Degree, u), 1e-6)
	}
	require.InDelta(t, 0.6405, formula.Cone(45*geom.Degree, 0.5), 1e-4)
	require.InDelta(t, 0.0865, formula.Cone(75*geom.Degree, 0.5), 1e-4)
	require.InDelta(t, 0.0008, formula.Cone(80*geom.Degree, 0.25), 1e-4)
}

func TestConeKeepsTheSheet(t *testing.T) {
	// Integral of t dA over the cone: dA = 2 pi u du R^2 / cos a; all of it is pi R^2 t0.
	for _, deg := range []float64{30, 45, 60, 75} {
		a := geom.Angle(deg) * geom.Degree
		const n = 20000
		sum := 0.0
		for i := range n {
			u := (float64(i) + 0.5) / n
			sum += formula.Cone(a, u) * 2 * u / a.Cos() / n
		}
		require.InEpsilon(t, 1, sum, 1e-6, "%g deg", deg)
	}
}

func TestTumbler(t *testing.T) {
	// R. J. Crawford, Problem 4.11: mouth 60, base 40, depth 60, sheet 3 mm; 35 mm down the wall.
	c := formula.Tumbler{Mouth: 60, Base: 40, Depth: 60}
	require.InDelta(t, 80.538, c.Angle().Degrees(), 1e-3)
	require.InDelta(t, 180, c.Apex(), 1e-9)
	require.InDelta(t, 0.592, 3*c.Wall(35), 0.005)
	require.InDelta(t, 40.27, c.Contact(), 0.005)
	require.InDelta(t, 0.482, 3*c.BaseCentre(), 0.005)
	pot := formula.Tumbler{Mouth: 70, Base: 45, Depth: 67}
	require.InDelta(t, 79.43, pot.Angle().Degrees(), 0.005)
	require.InDelta(t, 187.6, pot.Apex(), 0.05)
	require.InDelta(t, 0.519, 2.5*pot.Wall(40), 0.005)
	// A shallow one is met by the free dome.
	flat := formula.Tumbler{Mouth: 60, Base: 56, Depth: 10}
	require.Zero(t, flat.Contact())
	require.InDelta(t, formula.Dome(30, 10), flat.BaseCentre(), exact)
}

func TestTumblerBaseIsContinuousAtTheDome(t *testing.T) {
	// Where the dome is just tangent to the wall both laws must give (1 + cos a)/2.
	a := 70 * geom.Degree
	depth := 30 * math.Tan(float64(a)/2)
	c := formula.Tumbler{Mouth: 60, Base: 60 - 2*depth/a.Tan(), Depth: depth}
	require.InDelta(t, 0, c.Contact(), 1e-9)
	require.InDelta(t, (1+a.Cos())/2, formula.Dome(30, depth), 1e-12)
	require.InDelta(t, (1+a.Cos())/2, c.BaseCentre(), 1e-9)
}

func TestCup(t *testing.T) {
	for ratio, want := range map[float64]float64{0.5: 0.5, 0.75: 0.3033, 1: 0.1839, 1.5: 0.0677} {
		require.InDelta(t, want, formula.CupFloor(1, 2*ratio), 1e-4, "H:D %g", ratio)
	}
	require.InDelta(t, formula.CupFloor(1, 2), formula.CupWall(1, 1), exact)
}

func TestCorners(t *testing.T) {
	for x, want := range map[float64]float64{0.5: 0.8275, 0.25: 0.6847, 0.1: 0.5330} {
		require.InDelta(t, want, formula.Corner(1, x), 1e-4)
	}
	for x, want := range map[float64]float64{0.5: 0.7259, 0.25: 0.5686, 0.1: 0.4294, 0.05: 0.3519, 1: 1} {
		require.InDelta(t, want, formula.CupCorner(x), 1e-4)
	}
	require.InDelta(t, 0.0790, formula.CupFloor(1, 2)*formula.CupCorner(0.1), 1e-4)
}

func TestCupKeepsTheSheet(t *testing.T) {
	// Cup R = 1, depth 2, corner radius 0.1: wall, floor, what the corner laid down, and the corner.
	const n, end = 20000, 0.1
	volume := 0.0
	for i := range n { // wall down to depth 1
		volume += 2 * math.Pi * formula.CupWall(1, (float64(i)+0.5)/n) / n
	}
	floor := formula.CupFloor(1, 2)
	for i := range n {
		x := end + (1-end)*(float64(i)+0.5)/n
		volume += floor * formula.CupCorner(x) * 2 * math.Pi * (2 - x) * (1 - end) / n
	}
	volume += floor * formula.CupCorner(end) * math.Pi * end * (math.Pi - (math.Pi-2)*end)
	require.InEpsilon(t, math.Pi, volume, 1e-6)
}

func TestTroughs(t *testing.T) {
	require.InDelta(t, 0.5256, formula.VTrough(60*geom.Degree, 0.5), 1e-4)
	for u, want := range map[float64]float64{1: 0.9003, 0.75: 0.8323, 0.5: 0.7450, 0.25: 0.6164} {
		require.InDelta(t, want, formula.VTrough(45*geom.Degree, u), 1e-4)
	}
	// Width 2, depth 1.5: the floor's wall at the touch, and the corner filled to 0.1.
	floor := formula.TroughWall(1, 0.5)
	require.InDelta(t, 0.4631, floor, 1e-3)
	require.InDelta(t, 0.2468, floor*formula.Corner(1, 0.1), 1e-3)
	require.InDelta(t, formula.TroughWall(1, 0), formula.VTrough(89.9999*geom.Degree, 1), 1e-5, "the limit")
}
