package form_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
)

// TestAxial holds the meridian model against closed forms of its own, so that it can stand as the
// answer where there is none.
func TestAxial(t *testing.T) {
	// The even-bubble law in a cone: the textbook's formula.
	a := formtest.Axial{Radius: 50, Gauge: 1, Law: form.EvenBubble(0.02), Pressure: 0.09, Section: formtest.Vee(50, 45*geom.Degree), Elements: 200, Steps: 40000}
	for _, r := range a.Form() {
		if u := r.At.X / 50; u > 0.35 && u < 0.95 {
			want := (1 + math.Sqrt2/2) / 2 * math.Pow(u, math.Sqrt2-1)
			require.InEpsilon(t, want, r.Thickness, 0.02, "u %g", u)
		}
	}
	// A free bubble of rubber: the shooting integration.
	b := formtest.Blow(form.Rubber(1, 0.1), 1.3)
	f := formtest.Axial{Radius: 50, Gauge: 1, Law: form.Rubber(0.1, 0.1), Pressure: b.Pressure * 0.1 / 50, Elements: 50, Steps: 40000}
	rings := f.Form()
	require.InEpsilon(t, b.Height*50, -rings[0].At.Y, 0.002)
	require.InEpsilon(t, 1/(b.Pole*b.Pole), rings[0].Thickness, 0.005)
	// The rings hold the volume of the flat sheet.
	sum := 0.0
	for i, r := range rings {
		next := geom.Vec2{X: 50}
		if i+1 < len(rings) {
			next = rings[i+1].At
		}
		sum += r.Thickness * math.Pi * (r.At.X + next.X) * next.Sub(r.At).Norm()
	}
	require.InEpsilon(t, math.Pi*50*50, sum, 0.02) // half a ring is left out at the pole
}
