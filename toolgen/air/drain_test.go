package air_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/air"
)

// open is a machine that holds nothing up: its box is empty of air after a millisecond.
func open() air.Machine {
	return air.Machine{Box: 1e-3, Hose: 0.05, Tank: 1e6, Vacuum: air.Atmosphere, Pump: 1}
}

// vessel is a pool from one pressure and volume to another, in kPa below the air and litres.
func vessel(area, fromKPa, fromL, toKPa, toL float64) air.Pool {
	return air.Pool{
		From: air.Rest{Vacuum: fromKPa * 1e3, Volume: fromL * 1e-3},
		To:   air.Rest{Vacuum: toKPa * 1e3, Volume: toL * 1e-3},
		Area: area, Over: -1,
	}
}

func ends(t *testing.T, m air.Machine, pools ...air.Pool) []float64 {
	t.Helper()
	d, err := air.Drain(context.Background(), pools, m, 1e6, 30)
	require.NoError(t, err)
	return d.Ends
}

// TestCollapsingVolume empties a litre that the sheet drives out at the pressure of the air, through
// 20 holes of 1 mm. By hand: a hole of 1 mm has 0.7854 mm2, twenty have 15.71 mm2, times the
// discharge coefficient 0.65 is 10.21 mm2. Choked, 1 mm2 takes 0.2392 g/s at 101.325 kPa; at
// 1.2041 kg/m3 that is 0.1986 litre/s. So 10.21 mm2 take 2.028 litre/s, and a litre goes in 0.493 s.
func TestCollapsingVolume(t *testing.T) {
	got := ends(t, open(), vessel(20*air.HoleArea(1, 0), 0, 1, 1e-9, 0))[0]
	require.InEpsilon(t, 0.493, got, 0.01)
	require.InEpsilon(t, 1/(0.1986*10.21), got, 0.005)
}

// TestClosedVolume empties a litre that keeps its volume, through the same holes, to a third of the
// air's pressure. By hand: with m = p V/RT and a choked flow of 2.028 litre/s at whatever pressure it
// has, dp/dt = -2.028 p, so t = ln(101.325/33.775)/2.028 = ln 3 / 2.028 = 0.5417 s.
func TestClosedVolume(t *testing.T) {
	got := ends(t, open(), vessel(20*air.HoleArea(1, 0), 0, 1, 67.55, 1))[0]
	require.InEpsilon(t, math.Log(3)/2.028, got, 0.005)
}

// TestSplitVolume lets a litre fall into two halves, each with half of the holes: the same time as
// one; and a half without holes stays.
func TestSplitVolume(t *testing.T) {
	a := 20 * air.HoleArea(1, 0)
	whole := vessel(a, 0, 2, 1e-9, 1)
	whole.Next = []int{1, 2}
	half := vessel(a/2, 1e-9, 0.5, 2e-9, 0)
	half.Over = 0
	got := ends(t, open(), whole, half, half)
	require.True(t, math.IsNaN(got[0]))
	require.InEpsilon(t, 2*0.493, got[1], 0.01)
	require.InDelta(t, got[1], got[2], 1e-12)
	half.Area = 0
	got = ends(t, open(), whole, half, half)
	require.True(t, math.IsNaN(got[1]) && math.IsNaN(got[2]))
}

// TestHoseLimits empties a litre through holes that hold nothing up, with a thin hose to a big tank.
// By hand: box and pool are at one pressure, near the air's, so the hose is choked: 5 mm2 of
// effective area take 0.993 litre/s; the litre goes in 1.007 s. More holes change nothing.
func TestHoseLimits(t *testing.T) {
	m := open()
	m.Box, m.Hose = 1e-5, 5*mm2
	for _, holes := range []float64{200, 400} {
		got := ends(t, m, vessel(holes*air.HoleArea(1, 0), 0, 1, 1e-9, 0))[0]
		// The box needs to be some Pa below the pool, and its own 10 ml come first.
		require.InEpsilon(t, 1.007, got, 0.012)
	}
}

// TestMoreAreaIsFaster halves the area of the holes again and again.
func TestMoreAreaIsFaster(t *testing.T) {
	m := air.Machine{Box: 5e-3, Hose: 2e-4, Tank: 0.1, Vacuum: 85e3, Pump: 0.011}
	before := 0.0
	for holes := 256.0; holes >= 1; holes /= 2 {
		got := ends(t, m, vessel(holes*air.HoleArea(0.8, 4), 0, 0.4, 60, 0))[0]
		require.Greater(t, got, before)
		before = got
	}
}

// TestMassIsKept closes the balance: what left the sheet and the box is in the tank.
func TestMassIsKept(t *testing.T) {
	m := air.Machine{Box: 5e-3, Hose: 2e-4, Tank: 0.1, Vacuum: 85e3}
	d, err := air.Drain(context.Background(), []air.Pool{vessel(1e-4, 0, 2, 40, 0.5), vessel(1e-5, 0, 1, 1e-9, 0)}, m, 1e6, 60)
	require.NoError(t, err)
	last := d.Curve[len(d.Curve)-1]
	abs := func(kpa float64) float64 { return air.Atmosphere - kpa*1e3 }
	first := abs(85)*m.Tank + abs(0)*(m.Box+3e-3)
	under := 0.0 // what both end with has left with the pools
	require.InEpsilon(t, first, abs(last.Tank)*m.Tank+abs(last.Box)*m.Box+under+abs(40)*0.5e-3, 1e-9)
}

// TestTankTooSmall never reaches what is asked: the tank fills first.
func TestTankTooSmall(t *testing.T) {
	m := air.Machine{Box: 5e-3, Hose: 2e-4, Tank: 5e-3, Vacuum: 85e3}
	d, err := air.Drain(context.Background(), []air.Pool{vessel(1e-4, 0, 1, 80, 0)}, m, 68e3, 5)
	require.NoError(t, err)
	require.True(t, math.IsInf(d.Ends[0], 1))
	require.Less(t, d.Box, 68e3)
	require.Greater(t, d.Box, 20e3)
}

// TestCancel stops at once.
func TestCancel(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := air.Drain(ctx, []air.Pool{vessel(1e-5, 0, 1, 80, 0)}, open(), 1e6, 30)
	require.ErrorIs(t, err, context.Canceled)
}
