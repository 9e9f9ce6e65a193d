package contour_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/contour"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// swept is a lone sweep as a source.
type swept struct {
	*sdf.Sweep
}

func (s swept) Plan(q geom.Vec2) float64 { return s.Outline.At(q).D - s.Profile.Reach() }

func (s swept) Level() []piece.ID {
	return []piece.ID{s.IDs[0][0], s.IDs[len(s.IDs)-1][0]}
}

func (s swept) levels() map[piece.ID]float64 {
	return map[piece.ID]float64{s.Level()[0]: s.Profile[0].A.Y, s.Level()[1]: s.Profile[len(s.Profile)-1].A.Y}
}

// Survey takes every profile element within rho of the section point and every outline element that
// can be nearest to a point of the ball.
func (s swept) Survey(c geom.Vec3, rho float64) sdf.Survey {
	d := s.Outline.At(c.Plan()).D
	lines, tight := 0, math.Inf(1)
	bend := 0.0 // signed radius of the tightest arc in reach
	for _, e := range s.Outline.Elems {
		if reach(e, c.Plan()) > math.Abs(d)+2*rho {
			continue
		}
		if e.R == 0 {
			lines++
		} else if math.Abs(e.R) < tight {
			tight, bend = math.Abs(e.R), e.R
		}
	}
	v := sdf.Survey{Radius: math.Inf(1)}
	for i, e := range s.Profile {
		if reach(e, geom.Vec2{X: d, Y: c.Z}) > rho {
			continue
		}
		if i == 0 || i == len(s.Profile)-1 {
			v.Planes++
			continue
		}
		if e.R != 0 {
			v.Curved, v.Radius = true, min(v.Radius, math.Abs(e.R))
		} else {
			v.Planes += lines
		}
		if bend != 0 {
			lo := max(d-rho, min(e.A.X, e.B.X))
			hi := min(d+rho, max(e.A.X, e.B.X))
			r := bend + lo
			if bend < 0 {
				r = -bend - hi
			}
			v.Curved, v.Radius = true, min(v.Radius, max(r, 1e-3))
		}
	}
	return v
}

func reach(e outline.Elem, q geom.Vec2) float64 {
	var n outline.Nearest
	n.Try(e, q, 0)
	d, _ := n.Signed(q)
	return math.Abs(d)
}

func sweep(t testing.TB, o *outline.Outline, w sdf.Wall) swept {
	t.Helper()
	p, err := w.Profile()
	require.NoError(t, err)
	var tab piece.Table
	return swept{sdf.NewSweep(&tab, "P1", o, p, w.Roles(piece.Land, p))}
}

func rect(t testing.TB, l, w, r float64) *outline.Outline {
	t.Helper()
	o, err := outline.Rect(l, w, r)
	require.NoError(t, err)
	return o
}

func pocket(t testing.TB) swept {
	return sweep(t, rect(t, 110, 90, 15), sdf.Wall{Host: 0, End: -40, Draft: 6 * geom.Degree, HostR: 3, EndR: 4})
}

func (s swept) options(tol float64) contour.Options {
	return contour.Options{Tol: tol, Levels: s.levels()}
}
