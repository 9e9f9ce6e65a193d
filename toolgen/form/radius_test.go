package form_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
)

// TestOwnRadius: along a sharp straight edge at the floor the sheet is left with a rounding of tension over
// pressure. Stretched l across and m along the edge, l m = t0/t, its tension across is
// 2 t (l^2 - (l m)^-2)(C1 + C2 m^2) (Mooney-Rivlin; derived).
func TestOwnRadius(t *testing.T) {
	const half, depth, gauge, mu = 60.0, 36.0, 9.0, 0.1
	foot := half - depth*(3*geom.Degree).Tan()
	tool := formtest.Long{Section: formtest.Lines(geom.Vec2{X: 1e4}, geom.Vec2{X: half}, geom.Vec2{X: foot, Y: -depth}, geom.Vec2{Y: -depth}), Half: 150}
	last := math.Inf(1)
	for _, p := range []float64{0.04, 0.06, 0.085, 0.101} {
		s := form.LevelFrame(formtest.Box2(2*half, 300), 0, 0)
		s.Gauge, s.Law, s.Pressure = gauge, form.Rubber(mu, 0.1), p
		sh := formed(t, tool, s, form.Options{Mesh: 3, Gap: 0.02})
		var arc []geom.Vec2
		var gap, yy, ff float64
		for _, n := range sh.Nodes {
			if n.Status == form.Bridged && math.Abs(n.At.Y) < 40 && n.At.X > 0 {
				arc = append(arc, geom.Vec2{X: n.At.X, Y: n.At.Z})
				gap = max(gap, n.Gap)
				yy += n.At.Y * n.Flat.Y
				ff += n.Flat.Y * n.Flat.Y
			}
		}
		wall, _ := sh.Mean(func(m geom.Vec3) bool {
			d, _ := tool.Distance(m)
			return math.Abs(m.Y) < 40 && m.Z < -10 && d > gap/2
		})
		m := yy / ff
		l := gauge / wall / m
		want, got := 2*wall*(l*l-1/(l*l*m*m))*(s.Law.C1+s.Law.C2*m*m)/p, circle(arc)
		t.Logf("%.0f kPa: gap %.2f mm, wall %.3f, %.3f along, radius %.2f, want %.2f", p*1000, gap, wall, m, got, want)
		require.InEpsilon(t, want, got, 0.05)
		require.Less(t, got, last)
		last = got
	}
}

// circle returns the radius of the circle of least squares through points: x^2 + y^2 = a x + b y + c.
func circle(ps []geom.Vec2) float64 {
	var mean geom.Vec2
	for _, p := range ps {
		mean = mean.Add(p.Scale(1 / float64(len(ps))))
	}
	var xx, xy, yy, xs, ys, ss float64
	for _, p := range ps {
		q := p.Sub(mean)
		s := q.Dot(q)
		xx, xy, yy = xx+q.X*q.X, xy+q.X*q.Y, yy+q.Y*q.Y
		xs, ys, ss = xs+q.X*s, ys+q.Y*s, ss+s
	}
	det := xx*yy - xy*xy
	c := geom.Vec2{X: (xs*yy - ys*xy) / det / 2, Y: (xx*ys - xy*xs) / det / 2}
	return math.Sqrt(c.Dot(c) + ss/float64(len(ps)))
}
