package form_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// TestPlugCatenoid: a sheet of even tension between a round plug and a round frame, without pressure, is a
// minimal surface: the catenoid r = c cosh(z/c) through the plug's edge and the frame's (Euler, 1744, from
// memory, unverified; area derived). The sheet keeps its gauge under the plug, and beside it is as thick as
// the ring over the catenoid.
func TestPlugCatenoid(t *testing.T) {
	const r, b, h = 60.0, 30.0, 20.0
	c := b // the widest catenoid's; less until it is h high
	lo, hi := 1e-3, b
	for range 100 {
		c = (lo + hi) / 2
		if c*(math.Acosh(r/c)-math.Acosh(b/c)) > h {
			hi = c
		} else {
			lo = c
		}
	}
	z1, z2 := c*math.Acosh(b/c), c*math.Acosh(r/c)
	require.InDelta(t, h, z2-z1, 1e-9)
	side := math.Pi * c * (h + c/2*(math.Sinh(2*z2/c)-math.Sinh(2*z1/c)))
	ring := math.Pi * (r*r - b*b)

	plug := formtest.Turned{Section: formtest.Lines(geom.Vec2{Y: 1}, geom.Vec2{X: b, Y: 1}, geom.Vec2{X: b, Y: 1e4})}
	s := form.LevelFrame(formtest.Box2(2*r, 2*r), 0, 0)
	s.Round, s.Gauge, s.Law, s.Pressure = true, 1, form.EvenBubble(0.1), 0.09
	s.Plug = &form.Plug{Face: plug, Travel: h + 1}
	sh := plugged(t, s)
	require.InDelta(t, 1, under(sh, b-4), 1e-9)
	for _, at := range [...][2]float64{{b + 2, 40}, {40, 50}, {50, 61}} {
		got := over(sh, at[0], at[1])
		t.Logf("radius %g to %g: %.4f, want %.4f", at[0], at[1], got, ring/side)
		require.InEpsilon(t, ring/side, got, 0.01) // the edge of what sticks is known to a square
	}
	for _, n := range sh.Nodes {
		if d := n.At.Plan().Norm(); d > b+2 {
			require.InDelta(t, c*math.Acosh(d/c)-z2, n.At.Z, 0.3, "at radius %.2f", d)
		}
	}
}

func plugged(t *testing.T, s form.Setup) *form.Sheet {
	t.Helper()
	sh, err := form.Plugged(t.Context(), formtest.Nothing{}, s, form.Options{Mesh: 2.5})
	require.NoError(t, err)
	require.InDelta(t, 0, sh.Balance(), 1e-12)
	return sh
}

// over returns the mean wall between two radii, under within one.
func over(sh *form.Sheet, from, to float64) float64 {
	mean, _ := sh.Mean(func(p geom.Vec3) bool { d := p.Plan().Norm(); return d >= from && d < to })
	return mean
}

func under(sh *form.Sheet, to float64) float64 { return over(sh, 0, to) }

// TestPlugSlidesEvenly: without friction the tension is the same under a plug and beside it, so a sheet of
// even tension has one thickness: flat area over formed area.
func TestPlugSlidesEvenly(t *testing.T) {
	const r, b, e, h = 60.0, 30.0, 10.0, 20.0
	round := formtest.Lines(geom.Vec2{Y: 1}, geom.Vec2{X: b - e, Y: 1})
	round = append(round, outline.Elem{A: geom.Vec2{X: b - e, Y: 1}, B: geom.Vec2{X: b, Y: 1 + e}, C: geom.Vec2{X: b - e, Y: 1 + e}, R: e})
	round = append(round, formtest.Lines(geom.Vec2{X: b, Y: 1 + e}, geom.Vec2{X: b, Y: 1e4})...)
	s := form.LevelFrame(formtest.Box2(2*r, 2*r), 0, 0)
	s.Round, s.Gauge, s.Law, s.Pressure = true, 1, form.EvenBubble(0.1), 0.09
	s.Plug = &form.Plug{Face: formtest.Turned{Section: round}, Travel: h + 1, Slip: true}
	sh := plugged(t, s)
	formed := 0.0
	for k := range sh.Triangles {
		formed += sh.Area(k)
	}
	want := sh.Flat / formed
	for _, at := range [...][2]float64{{0, 12}, {12, 20}, {20, 30}, {30, 45}, {45, 61}} {
		got := over(sh, at[0], at[1])
		t.Logf("radius %g to %g: %.4f, want %.4f", at[0], at[1], got, want)
		require.InEpsilon(t, want, got, 0.02)
	}
}
