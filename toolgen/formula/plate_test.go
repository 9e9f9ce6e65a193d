package formula_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/formula"
)

// TestDiscs holds the plates against the coefficients that textbooks print for nu = 0.3 (Timoshenko and
// Woinowsky-Krieger, from memory): of F r^2 / (E t^3) 0.217 held and 0.552 carried.
func TestDiscs(t *testing.T) {
	const e, wall, r, nu = 2000.0, 0.8, 60.0, 0.3
	d := formula.PlateStiffness(e, wall, nu)
	et3 := e * wall * wall * wall
	require.InDelta(t, 0.217, formula.DiscUnderForce(2, r, d, nu, true)/(2*r*r/et3), 5e-4)
	require.InDelta(t, 0.552, formula.DiscUnderForce(2, r, d, nu, false)/(2*r*r/et3), 6e-4)
}

// TestDiscsByRings solves the plate's equation by itself: the slope of a round plate follows
// d/dr(1/r d/dr(r slope)) = Q / D, here by finite differences over 2000 rings.
func TestDiscsByRings(t *testing.T) {
	const n, nu, d, r = 2000, 0.38, 100.0, 50.0
	h := r / n
	shear := func(x float64) float64 { return 3 / (2 * math.Pi * x) }
	// Twice: the particular solution from rest, and the free one, slope = x; their sum meets the edge.
	slope := make([]float64, n+1)
	inner, rs := 0.0, 0.0 // 1/r d(r slope)/dr, and r slope
	for i := range n {
		x := (float64(i) + 0.5) * h
		half := inner + shear(x)/d*h/2
		rs += half * x * h
		inner += shear(x) / d * h
		slope[i+1] = rs / (float64(i+1) * h)
	}
	bend := (slope[n]-slope[n-1])/h + nu*slope[n]/r
	for held, c := range map[bool]float64{true: -slope[n] / r, false: -bend / (1 + nu)} {
		w := 0.0
		for i := range n {
			x := (float64(i) + 0.5) * h
			w += ((slope[i]+slope[i+1])/2 + c*x) * h
		}
		require.InEpsilon(t, formula.DiscUnderForce(3, r, d, nu, held), math.Abs(w), 5e-3, "held %v", held)
	}
}

// TestDiscBuckles: k is 14.68 held, and 4.20 carried at nu = 0.3 (Timoshenko and Gere, from memory).
func TestDiscBuckles(t *testing.T) {
	k := func(nu float64, held bool) float64 {
		return formula.DiscBuckles(1, 50, nu, held) * 12 * (1 + nu) * 50 * 50
	}
	require.InDelta(t, 14.68, k(0.3, true), 5e-3)
	require.InDelta(t, 4.20, k(0.3, false), 5e-3)
	require.InDelta(t, 14.68, k(0.4, true), 5e-3)
	require.InDelta(t, 4*formula.DiscBuckles(1, 50, 0.38, true), formula.DiscBuckles(2, 50, 0.38, true), 1e-12)
}

// TestCrown: an arch of width 100 and the rise named is longer by a strain that, taken away, leaves half of it.
func TestCrown(t *testing.T) {
	length := func(h float64) float64 { // of a parabola, by chords
		l := 0.0
		y := func(x float64) float64 { return h * (1 - x*x/2500) }
		for i := range 4000 {
			x := -50 + float64(i)*0.025
			l += math.Hypot(0.025, y(x+0.025)-y(x))
		}
		return l
	}
	h := formula.Crown(100, 0.001)
	require.InDelta(t, 2.236, h, 1e-3)
	require.InEpsilon(t, 0.001*100, length(h)-length(h/2), 5e-3)
	require.Greater(t, length(1.5*h)-length(h), 0.001*100, "added, it raises it by less than half")
}
