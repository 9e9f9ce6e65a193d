package form_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
)

func TestBlow(t *testing.T) {
	// A post comes up into a blown bubble: its top takes the thickness of the bubble's pole, for a
	// bubble of that height by the shooting integration (derived); without a bubble it keeps the gauge.
	const r = 60.0
	post := formtest.Turned{Section: formtest.Lines(
		geom.Vec2{X: 1e4, Y: -60}, geom.Vec2{X: 7, Y: -60}, geom.Vec2{X: 4}, geom.Vec2{})}
	for _, pole := range []float64{0, 1.3} {
		s := form.LevelFrame(formtest.Box2(2*r, 2*r), -60, 0)
		s.Round, s.Gauge, s.Law, s.Pressure = true, 1, form.Rubber(0.1, 0.1), 0.09
		want := 1.0
		if pole > 0 {
			s.Blow = formtest.Blow(s.Law, pole).Height * r
			want = 1 / (pole * pole)
		}
		sh := formed(t, post, s, form.Options{Mesh: 3, Raise: 2400})
		got := sh.Finder().Over([]geom.Vec3{{X: 0.5, Y: 0.2}, {X: -0.5, Y: 0.4}, {X: 0.1, Y: -0.6}}).Mean
		t.Logf("pole %g blow %.1f: wall %.4f, want %.4f", pole, s.Blow, got, want)
		require.InEpsilon(t, want, got, 0.03)
	}
}

// TestBlownCap: a bubble of even thickness is a spherical cap whose wall is the flat area over the cap's,
// a^2/(a^2 + h^2). SOURCE: R. J. Crawford, Plastics Engineering, 3rd ed., 1998 (free forming of a dome); derived.
func TestBlownCap(t *testing.T) {
	const r = 60.0
	for _, rise := range []float64{0.3, 0.6, 0.9} {
		for _, mesh := range []float64{3, 1} { // 1 is blown on squares of 4
			s := form.LevelFrame(formtest.Box2(2*r, 2*r), -80, 0)
			s.Round, s.Gauge, s.Law, s.Pressure, s.Blow = true, 1, form.EvenBubble(0.1), 0.09, rise*r
			sh, err := form.Blown(t.Context(), s, form.Options{Mesh: mesh})
			require.NoError(t, err)
			require.InDelta(t, 0, sh.Balance(), 1e-12)
			want := 1 / (1 + rise*rise)
			top := 0.0
			for _, n := range sh.Nodes {
				top = max(top, n.At.Z)
			}
			require.InEpsilon(t, s.Blow, top, 0.005)
			for _, ring := range [...][2]float64{{0, 0.4}, {0.4, 0.7}, {0.7, 0.9}, {0.9, 1.1}} { // even from pole to rim
				mean, _ := sh.Mean(func(p geom.Vec3) bool { u := p.Plan().Norm() / r; return u >= ring[0] && u < ring[1] })
				t.Logf("height %.1f, radius %g to %g: wall %.4f, want %.4f", s.Blow, ring[0]*r, ring[1]*r, mean, want)
				require.InEpsilon(t, want, mean, 0.02)
			}
		}
	}
}

// TestBubbleMesh: what is blown on larger squares ends on those that were asked, near the tool and away from it.
func TestBubbleMesh(t *testing.T) {
	s := form.LevelFrame(formtest.Box2(160, 160), -30, 0)
	s.Gauge, s.Law, s.Pressure, s.Blow = 1, form.Rubber(0.1, 0.1), 0.09, 25
	post := formtest.Turned{Section: formtest.Lines(
		geom.Vec2{X: 1e4, Y: -30}, geom.Vec2{X: 24, Y: -30}, geom.Vec2{X: 20}, geom.Vec2{})}
	sh := formed(t, post, s, form.Options{Mesh: 2})
	for k := range sh.Triangles {
		require.LessOrEqual(t, sh.FlatArea(k), 2.0+1e-9)
	}
}
