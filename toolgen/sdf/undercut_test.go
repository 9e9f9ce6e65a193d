package sdf_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// button is a raised wall with an undercut; turned over it is a socket.
func button(raised bool) sdf.Wall {
	w := sdf.Wall{Host: 20, End: 25.5, Draft: 20 * geom.Degree, HostR: 1.4, EndR: 1.2, Inside: 6, Undercut: sdf.Undercut{Depth: 0.25, At: 23, R: 1.1}}
	if !raised {
		w.End, w.Undercut.At = 14.5, 17
	}
	return w
}

// TestUndercutSection holds the section of an undercut against what it is asked: smooth joints, its waist
// and widest, and the slope of the inner common tangent of two circles.
func TestUndercutSection(t *testing.T) {
	for _, raised := range []bool{true, false} {
		w := button(raised)
		p, err := w.Profile()
		require.NoError(t, err)
		require.Len(t, p, 7)
		require.NotNil(t, outline.NewChain(p, false), "it has a corner")
		waist, wide := math.Inf(1), math.Inf(-1)
		for i := 1; i < len(p)-1; i++ {
			require.InDelta(t, 0, p[i].A.Sub(p[i-1].B).Norm(), 1e-12)
			for k := range 2001 {
				q := p[i].Point(float64(k) / 2000)
				if between := (q.Y - 20) * (q.Y - w.Undercut.At); between <= 0 {
					waist = min(waist, q.X)
				}
				if math.Abs(q.Y-20) > 1.4 {
					wide = max(wide, q.X)
				}
				if h := math.Abs(q.Y - 20); h > 1.4 && h < 4.5 {
					require.InDelta(t, q.X, w.D(q.Y), 1e-9, "D(%g)", q.Y)
				}
			}
		}
		require.InDelta(t, -0.25, waist, 1e-6)
		require.InDelta(t, 0, wide, 1e-6)
		// Reach: the foot of the rounding lies at r - u, beyond the widest.
		require.InDelta(t, 1.15, p.Reach(), 1e-12)
		// Circles (1.15, 1.4) and (-1.1, 3) with radii 1.4 and 1.1: the centres stand 2.25 across and 1.6
		// up; the tangent leans from their line by asin(2.5 / hypot(2.25, 1.6)).
		l := math.Hypot(2.25, 1.6)
		lean := math.Asin(2.5/l) - math.Atan2(2.25, 1.6)
		require.InDelta(t, lean, float64(w.Overhang()), 1e-12)
	}
}

// TestUndercutIsExact compares the field of a swept undercut with the least distance to points of its
// section turned about the axis.
func TestUndercutIsExact(t *testing.T) {
	for _, raised := range []bool{true, false} {
		w := button(raised)
		p, err := w.Profile()
		require.NoError(t, err)
		o, err := outline.Circle(6)
		require.NoError(t, err)
		s := sdf.NewSweep(&piece.Table{}, "snap", o, p, w.Roles(piece.Land, p))
		var section []geom.Vec2 // radius, height
		for i, e := range p {
			if i == 0 {
				e.A.X = 20
			}
			if i == len(p)-1 {
				e.B.X = -6
			}
			for k := range 4001 {
				q := e.Point(float64(k) / 4000)
				section = append(section, geom.Vec2{X: 6 + q.X, Y: q.Y})
			}
		}
		rng := rand.New(rand.NewPCG(7, 1))
		for range 400 {
			r, a := 9*rng.Float64(), 2*math.Pi*rng.Float64()
			q := geom.Vec3{X: r * math.Cos(a), Y: r * math.Sin(a), Z: 12 + 16*rng.Float64()}
			least := math.Inf(1)
			for _, x := range section {
				least = min(least, math.Hypot(x.X-r, x.Y-q.Z))
			}
			// Points no more than 5 um apart are at most s^2 / 8 d farther than the curve.
			require.InDelta(t, least, math.Abs(s.At(q).D), 1e-9+min(2.5e-3, 0.005*0.005/8/least), "at %v", q)
			// A level line from the axis outwards leaves the button where the wall is, whichever way it leans.
			if h := math.Abs(q.Z - 20); h > 1.4 && h < 4.5 && (q.Z > 20) == raised {
				require.Equal(t, (r < 6+w.D(q.Z)) == raised, s.At(q).D < 0, "sign at %v", q)
			}
		}
	}
}

func TestUndercutRefused(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*sdf.Wall)
		want   string
	}{
		{"widest too low", func(w *sdf.Wall) { w.Undercut.At = 21.5 }, "needs at least 2.491 mm"},
		{"widest below the level", func(w *sdf.Wall) { w.Undercut.At = 19 }, "beyond its host level"},
		{"no rounding", func(w *sdf.Wall) { w.Undercut.R = 0 }, "rounded at its waist"},
		{"no wall to the end", func(w *sdf.Wall) { w.End = 23.9 }, "at least 4.2"},
		{"too deep", func(w *sdf.Wall) { w.Undercut.Depth = 3 }, "the undercut 3.000 mm does not fit; at most 2.500 mm"},
		{"too slim", func(w *sdf.Wall) { w.Inside = 1.2 }, "the run of the wall"},
	} {
		w := button(true)
		c.change(&w)
		_, err := w.Profile()
		require.ErrorContains(t, err, c.want, c.name)
	}
	// The least rise that is named fits.
	w := button(true)
	w.Undercut.At = w.Host + sdf.LeastRise(0.25, 1.4, 1.1)
	_, err := w.Profile()
	require.NoError(t, err)
}

// TestUndercutOfTheSheetOnly: a waist that is wider than the widest keeps its place, for the sheet makes the
// undercut there; the wall is the tangent of the same two circles and D follows it.
func TestUndercutOfTheSheetOnly(t *testing.T) {
	for _, raised := range []bool{true, false} {
		w := button(raised)
		w.Undercut.Depth = -0.15
		p, err := w.Profile()
		require.NoError(t, err)
		require.Len(t, p, 7)
		require.NotNil(t, outline.NewChain(p, false), "it has a corner")
		require.InDelta(t, 1.4+0.15, p.Reach(), 1e-12)
		up := math.Copysign(1, w.End-w.Host)
		require.InDelta(t, 0.15, w.D(20+up*1.4), 1e-12, "at the waist")
		// Of the tangent of the circles about (1.55, 1.4) and (-1.1, 3), out of its right-angled triangle.
		lean := math.Asin(2.5/math.Hypot(2.65, 1.6)) - math.Atan2(2.65, 1.6)
		d := p[2].B.Sub(p[2].A)
		require.InDelta(t, lean, math.Atan2(d.X, up*d.Y), 1e-12)
		require.Negative(t, lean)
		require.Zero(t, w.Overhang())
	}
	w := button(true)
	w.Undercut.Depth = -0.9
	_, err := w.Profile()
	require.ErrorContains(t, err, "nothing is left of its undercut: -0.900 mm a side")
}
