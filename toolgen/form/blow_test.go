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
		geom.Vec2{X: 1e4, Y: -40}, geom.Vec2{X: 6, Y: -40}, geom.Vec2{X: 4}, geom.Vec2{})}
	for _, pole := range []float64{0, 1.2, 1.3} {
		s := form.LevelFrame(formtest.Box2(2*r, 2*r), -40, 0)
		s.Round, s.Gauge, s.Law, s.Pressure = true, 1, form.Rubber(0.1, 0.1), 0.09
		want := 1.0
		if pole > 0 {
			s.Blow = formtest.Blow(s.Law, pole).Height * r
			want = 1 / (pole * pole)
		}
		sh := formed(t, post, s, form.Options{Mesh: 3})
		got := sh.Finder().Over([]geom.Vec3{{X: 0.5, Y: 0.2}, {X: -0.5, Y: 0.4}, {X: 0.1, Y: -0.6}}).Mean
		t.Logf("pole %g blow %.1f: wall %.4f, want %.4f", pole, s.Blow, got, want)
		require.InEpsilon(t, want, got, 0.03)
	}
}
