package shell_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/frame"
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/shell"
)

// face is a tool given by its distance and direction.
type face func(p geom.Vec3) (float64, geom.Vec3)

func (f face) Distance(p geom.Vec3) (float64, geom.Vec3) { return f(p) }

// plane is the tool that is flat at z = 0.
func plane(p geom.Vec3) (float64, geom.Vec3) { return p.Z, geom.Vec3{Z: 1} }

// formed forms a sheet on a tool in a square frame.
func formed(t *testing.T, f face, side, gauge, top float64) *form.Sheet {
	t.Helper()
	half := side / 2
	frame := geom.Box2{Min: geom.Vec2{X: -half, Y: -half}, Max: geom.Vec2{X: half, Y: half}}
	set := form.LevelFrame(frame, 0, top)
	set.Gauge, set.Law, set.Pressure = gauge, form.Rubber(0.1, 0.1), 0.085
	sh, err := form.Run(context.Background(), f, set, form.Options{})
	require.NoError(t, err)
	return sh
}

func input(sh *form.Sheet, f face, trim *outline.Outline, m frame.Map) shell.Input {
	return shell.Input{Sheet: sh, Map: m, Trim: trim, Density: 1000, Face: func(p geom.Vec3) (float64, geom.Vec3, piece.ID) {
		d, n := f(p)
		return d, n, 0
	}}
}

// plain is the map that leaves everything where it is.
func plain() frame.Map { return frame.Map{Scale: geom.Vec3{X: 1, Y: 1, Z: 1}} }

// polygon returns the outline with sharp corners.
func polygon(t *testing.T, r float64, pts ...geom.Vec2) *outline.Outline {
	t.Helper()
	o, err := outline.Polygon(pts, r)
	require.NoError(t, err)
	return o
}

// TestFlatPart trims a sheet that stays flat: the volume is area times gauge whatever the outline,
// within what chords cut off its rounded corners, and sharp corners are vertices.
func TestFlatPart(t *testing.T) {
	l := []geom.Vec2{{X: -31, Y: -27}, {X: 33, Y: -27}, {X: 33, Y: 2}, {X: 4, Y: 2}, {X: 4, Y: 29}, {X: -31, Y: 29}}
	circle, err := outline.Circle(23.7)
	require.NoError(t, err)
	hole, err := outline.Circle(9)
	require.NoError(t, err)
	ring, err := outline.New(circle.Elems, hole.Hole(0).Elems)
	require.NoError(t, err)
	sh := formed(t, plane, 80, 1.2, 0)
	for name, c := range map[string]struct {
		trim  *outline.Outline
		slack float64
	}{
		"sharp L":   {polygon(t, 0, l...), 2e-5},
		"rounded L": {polygon(t, 4, l...), 1e-4},
		"circle":    {circle, 3e-4},
		"ring":      {ring, 4e-4},
		"rhombus":   {polygon(t, 0, geom.Vec2{X: -30}, geom.Vec2{Y: -11}, geom.Vec2{X: 30}, geom.Vec2{Y: 11}), 2e-5},
	} {
		for _, m := range []frame.Map{plain(), {Scale: geom.Vec3{X: 1.004, Y: 1.007, Z: 1.005}, Over: true, Shift: geom.Vec3{X: 1, Y: -2}}} {
			t.Run(name, func(t *testing.T) {
				p, err := shell.Make(context.Background(), input(sh, plane, c.trim, m))
				require.NoError(t, err)
				require.InEpsilon(t, 1.2*c.trim.Area(), p.Volume, c.slack)
				require.InEpsilon(t, m.Scale.X*m.Scale.Y*1.2*c.trim.Area(), p.Sheet, c.slack)
				require.InEpsilon(t, p.Volume*1e-3, p.Mass(), 1e-12)
				require.Zero(t, p.Thinned.Area)
				box, want := p.Audit.Box, c.trim.Bounds()
				require.InDelta(t, 0, box.Plan().Min.Sub(want.Min).Norm(), 0.006)
				require.InDelta(t, 0, box.Plan().Max.Sub(want.Max).Norm(), 0.006)
				if m.Over { // the tool lies over the part: the free side is the lower one
					require.InDelta(t, -1.2, box.Min.Z, 1e-4)
				} else {
					require.InDelta(t, 1.2, box.Max.Z, 1e-4)
				}
				if c.slack < 5e-5 {
					for _, e := range c.trim.Elems {
						require.True(t, slices.Contains(p.Mesh.V[:p.Contact], mesh.Quantise(e.A.At(0))), "corner %v", e.A)
					}
				}
			})
		}
	}
}

// TestDome forms over a ball: both sides are balls about its middle, the free one farther by the wall.
func TestDome(t *testing.T) {
	const r, low = 30.0, -18.0
	dome := func(p geom.Vec3) (float64, geom.Vec3) {
		c := p.Sub(geom.Vec3{Z: low})
		if d := c.Norm() - r; d < p.Z {
			return d, c.Unit()
		}
		return plane(p)
	}
	sh := formed(t, dome, 110, 1.5, r+low)
	trim, err := outline.Circle(48)
	require.NoError(t, err)
	p, err := shell.Make(context.Background(), input(sh, dome, trim, plain()))
	require.NoError(t, err)
	seen := 0
	for i, wall := range p.Wall {
		a, b := p.Mesh.V[i].Sub(geom.Vec3{Z: low}), p.Mesh.V[p.Contact+i].Sub(geom.Vec3{Z: low})
		if a.Z < -low+7 || // the sharp hollow at the foot is tighter than the wall
			a.Norm() > r+1e-3 {
			continue
		}
		seen++
		require.InDelta(t, r, a.Norm(), 1e-4)
		require.InDelta(t, r+wall, b.Norm(), 0.02)
	}
	require.Greater(t, seen, 50)
	require.InEpsilon(t, p.Sheet, p.Volume, 0.04)
}

// groove is a V of two faces at half the given angle, rounded at the bottom, across a flat land.
func groove(half geom.Angle, deep float64) face {
	n := geom.Vec3{X: half.Cos(), Z: half.Sin()}
	return func(p geom.Vec3) (float64, geom.Vec3) {
		q := p
		q.X = math.Abs(q.X)
		m := geom.Vec3{X: -n.X, Z: n.Z}
		d := m.Dot(q.Add(geom.Vec3{Z: deep}))
		if p.X < 0 {
			m.X = -m.X
		}
		if p.Z > d {
			return plane(p)
		}
		return d, m
	}
}

// TestTightHollow forms thick sheet into a sharp V: the free side must not fold over itself, and the
// lack of wall is told.
func TestTightHollow(t *testing.T) {
	v := groove(40*geom.Degree, 5)
	sh := formed(t, v, 70, 2, 0)
	trim := polygon(t, 3, geom.Vec2{X: -25, Y: -20}, geom.Vec2{X: 25, Y: -20}, geom.Vec2{X: 25, Y: 20}, geom.Vec2{X: -25, Y: 20})
	in := input(sh, v, trim, plain())
	p, err := shell.Make(context.Background(), in)
	require.NoError(t, err)
	require.NoError(t, p.Audit.Fault())
	require.InEpsilon(t, p.Sheet, p.Volume, 0.06)
}

// TestRefusals names the place where no part can be made.
func TestRefusals(t *testing.T) {
	sh := formed(t, plane, 60, 1, 0)
	square := func(half float64) *outline.Outline {
		return polygon(t, 0, geom.Vec2{X: -half, Y: -half}, geom.Vec2{X: half, Y: -half}, geom.Vec2{X: half, Y: half}, geom.Vec2{X: -half, Y: half})
	}
	far, err := square(5).Map(geom.Moved(geom.Vec2{X: 200}))
	require.NoError(t, err)
	steep := groove(4*geom.Degree, 40)
	for _, c := range []struct {
		in  shell.Input
		why string
	}{
		{input(sh, plane, square(31), plain()), "ends before the trim line"},
		{input(sh, plane, far, plain()), "no sheet lies within"},
		{input(formed(t, steep, 60, 0.3, 0), steep, square(1.5), plain()), "too steep"},
	} {
		_, err := shell.Make(context.Background(), c.in)
		var shape *shell.ShapeError
		require.ErrorAs(t, err, &shape)
		require.ErrorContains(t, err, c.why)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = shell.Make(ctx, input(sh, plane, square(20), plain()))
	require.ErrorIs(t, err, context.Canceled)
}
