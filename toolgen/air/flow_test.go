package air_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/air"
)

const mm2 = 1e-6 // m2

// TestFlowFigures holds the flow of air against figures of the books; what a source does not print
// is derived from its formula, by hand.
func TestFlowFigures(t *testing.T) {
	const density = 1.185 // kg/m3, of the reference air of ISO 6358: 20 deg C, 1 bar, 65 % damp (from memory)
	psi := func(r float64) float64 { return air.Flow(1, 1e5, r*1e5) / air.Flow(1, 1e5, 0) }
	for _, c := range []struct {
		name      string
		got, want float64
		tol       float64 // share
	}{
		{"critical pressure ratio (a flow tutorial prints 0.528)", air.CriticalRatio(), 0.5283, 1e-4},
		{"constant of choked flow, sqrt(K) s/m (gas-dynamics course, derived)", air.Choked(), 0.040415, 1e-4},
		{"1 mm2 at 101.325 kPa and 20 deg C, g/s (derived)", 1e3 * air.Flow(1*mm2, air.Atmosphere, 0), 0.2392, 2e-4},
		{"1 mm hole without loss, l/min (derived)", 6e4 * air.Flow(math.Pi/4*mm2, air.Atmosphere, 0) / density, 9.51, 5e-3},
		{"1 mm hole, l/min (derived)", 6e4 * air.Flow(air.HoleArea(1, 0), air.Atmosphere, 0) / density, 6.18, 5e-3},
		{"conductance of 1 mm2, dm3/(s bar) (ISO 6358 form, derived)", 1e3 * air.Flow(1*mm2, 1e5, 0) / density, 0.199, 5e-3},
		{"share of the choked flow at a ratio of 0.8 (derived)", psi(0.8), 0.8188, 1e-4},
		{"speed of sound at 20 deg C, m/s (a flow tutorial prints 344.1)", math.Sqrt(air.Gamma * air.Gas * air.Temperature), 343.2, 5e-3},
	} {
		require.InEpsilon(t, c.want, c.got, c.tol, c.name)
	}
	// ISO 6358 draws the unchoked flow as a quarter of an ellipse (formula from memory, unverified).
	const b = 0.528
	for r := b; r < 0.95; r += 0.01 {
		x := (r - b) / (1 - b)
		require.InDelta(t, math.Sqrt(1-x*x), psi(r), 0.004, "%.2f", r)
	}
	x := (0.8 - b) / (1 - b)
	require.InDelta(t, 0.8173, math.Sqrt(1-x*x), 5e-5)
	require.InDelta(t, 0.8173, psi(0.8), 0.002)
}

// TestFlowIsSmooth meets the two laws at the critical ratio and none behind an equal pressure.
func TestFlowIsSmooth(t *testing.T) {
	r := air.CriticalRatio()
	require.InEpsilon(t, air.Flow(1, 1e5, (r-1e-9)*1e5), air.Flow(1, 1e5, (r+1e-9)*1e5), 1e-9)
	require.Zero(t, air.Flow(1, 1e5, 1e5))
	require.Zero(t, air.Flow(1, 1e5, 2e5))
	before := math.Inf(1)
	for p := 0.0; p < 1e5; p += 500 {
		f := air.Flow(1, 1e5, p)
		require.LessOrEqual(t, f, before)
		before = f
	}
}

// TestSlowFlow is Bernoulli's law where the pressures are close: A sqrt(2 rho dp).
func TestSlowFlow(t *testing.T) {
	rho := 1e5 / (air.Gas * air.Temperature)
	require.InEpsilon(t, math.Sqrt(2*rho*100), air.Flow(1, 1e5, 1e5-100), 1e-3)
	// A hose of 25 mm and 2 m has 1.5 + 0.025 x 80 = 3.5 velocity heads of loss.
	v := math.Sqrt(2 * 100 / rho / 3.5)
	require.InEpsilon(t, rho*v*math.Pi*0.025*0.025/4, air.Flow(air.HoseArea(25, 2000), 1e5, 1e5-100), 1e-3)
}

// TestSeries shares the loss of a small drill and its back drill.
func TestSeries(t *testing.T) {
	require.InEpsilon(t, 3.0/5, air.Series(3.0/4, 1), 1e-12) // 1/a^2 = 16/9 + 1 = 25/9
	small := air.HoleArea(0.5, 0)
	require.InEpsilon(t, 0.65*math.Pi/16*mm2, small, 1e-12)
	require.Less(t, air.HoleArea(0.5, 4), small)
	require.InEpsilon(t, small, air.HoleArea(0.5, 4), 2e-4) // 1/(8^4) of the loss, half in the flow
}
