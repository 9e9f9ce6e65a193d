package formula_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/formula"
	"platen/toolgen/geom"
)

func TestSheetHeat(t *testing.T) {
	// Data of R. J. Crawford, Table 1.8: ABS 2 mm from 20 to 150 degC.
	require.InEpsilon(t, 351.5e3, formula.SheetHeat(1040, 2, 1300, 130, 0), 1e-3)
	// PP takes its heat of melting on top: 0.905 kg/m2 x 95 kJ/kg.
	require.InDelta(t, 85975, formula.SheetHeat(905, 1, 2000, 138, 95e3)-formula.SheetHeat(905, 1, 2000, 138, 0), 1e-6)
}

func TestHeatByConduction(t *testing.T) {
	for gauge, want := range map[float64]float64{3: 26.8, 1.5: 6.71, 6: 107.3} {
		require.InEpsilon(t, want, formula.HeatByConduction(gauge, 1.10e-7, 0.05), 0.01, "%g mm", gauge)
	}
	require.InDelta(t, 4, formula.HeatByConduction(6, 1.1e-7, 0.05)/formula.HeatByConduction(3, 1.1e-7, 0.05), 1e-12)
}

func TestHeatByConductionAgainstTheSeries(t *testing.T) {
	const gauge, alpha = 3.0, 1.1e-7
	for _, share := range []float64{0.01, 0.05, 0.2} {
		at := formula.HeatByConduction(gauge, alpha, share)
		fourier := alpha * at / math.Pow(gauge/2000, 2)
		left, sign := 0.0, 1.0
		for n := range 20 {
			m := float64(2*n + 1)
			left += sign * 4 / (math.Pi * m) * math.Exp(-m*m*math.Pi*math.Pi/4*fourier)
			sign = -sign
		}
		require.InDelta(t, share, left, 1e-4, "%g", share)
	}
}

func TestHeatByFlux(t *testing.T) {
	require.InDelta(t, 23.4333, formula.HeatByFlux(351.5e3, 30e3, 0.5), 1e-4)
}

func TestCooling(t *testing.T) {
	// Ballman-Shusman form: ABS 2 mm, 150 to 85 degC on a tool at 60.
	require.InEpsilon(t, 3.63, formula.CoolBothSides(2, 1.7e-7, 150, 60, 85), 0.01)
	require.InEpsilon(t, 14.52, formula.CoolOneSide(2, 1.7e-7, 150, 60, 85), 0.01)
	require.Zero(t, formula.CoolBothSides(2, 1.7e-7, 85, 20, 85), "it starts cool")
	require.True(t, math.IsNaN(formula.CoolBothSides(2, 1.7e-7, 150, 85, 85)), "it never cools to the tool's own temperature")
}

func TestNestPitch(t *testing.T) {
	for deg, want := range map[float64]float64{5: 5.737, 6: 4.783, 10: 2.879} {
		require.InDelta(t, want, formula.NestPitch(0.5, geom.Angle(deg)*geom.Degree), 1e-3)
	}
	require.InDelta(t, 9*4.783+40, formula.NestHeight(10, 4.783, 40), 1e-9)
	require.InDelta(t, 40, formula.NestHeight(1, 4.783, 40), 0)
	require.Zero(t, formula.NestHeight(0, 4.783, 40))
}

func TestNestPitchAgainstTheWalls(t *testing.T) {
	// The outer face of the upper part, lifted by the pitch, lies on the inner face of the lower:
	// measured across the wall the lift is pitch x sin(draft).
	for _, deg := range []float64{3, 5, 8, 45} {
		draft := geom.Angle(deg) * geom.Degree
		normal := geom.Vec2{X: draft.Cos(), Y: draft.Sin()}
		lift := geom.Vec2{Y: formula.NestPitch(0.8, draft)}
		require.InDelta(t, 0.8, lift.Dot(normal), 1e-12)
	}
}

func TestBreakEven(t *testing.T) {
	// Acrylic sheet supplier's technical brief: cost a part of pressure forming (tool 5,000) and
	// injection (tool 37,500) at 10,000: 6.40 and 6.53; at 20,000: 6.10 and 4.65.
	const toolA, toolB = 5000.0, 37500.0
	n := formula.BreakEven(toolA, 6.40-toolA/1e4, toolB, 6.53-toolB/1e4)
	require.InEpsilon(t, 10417, n, 1e-4)
	n2 := formula.BreakEven(toolA, 6.10-toolA/2e4, toolB, 4.65-toolB/2e4)
	require.InEpsilon(t, 10569, n2, 1e-4)
	require.InEpsilon(t, n, n2, 0.02)
	require.Greater(t, n, 10000.0, "the table changes sign between 10,000 and 20,000")
	require.Less(t, n, 20000.0)
	require.Negative(t, formula.BreakEven(1, 1, 2, 2))
}
