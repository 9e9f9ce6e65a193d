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
	for _, e := range s.Profile {
		if reach(e, geom.Vec2{X: d, Y: c.Z}) > rho {
			continue
		}
		if sdf.Level(e) {
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

// crossed is two channels across each other and the land, opened together by a ball: the solid is
// what balls of radius r that fit under land and walls can reach.
type crossed struct {
	r     float64
	land  piece.ID
	blend piece.ID
	part  []swept // walls without end above
	hull  []swept // with the edge round of a lone channel, for plan and box
}

func crossing(t testing.TB, r float64) *crossed {
	t.Helper()
	var tab piece.Table
	c := &crossed{r: r, land: tab.Add(piece.Piece{Role: piece.Land})}
	c.blend = tab.Add(piece.Piece{Role: piece.Blend, Shape: piece.Free, Radius: r})
	for i, w := range []sdf.Wall{
		{End: -12, Draft: 8 * geom.Degree, EndR: 4},
		{End: -7, Draft: 5 * geom.Degree, EndR: 2.5},
	} {
		o, err := outline.Slot(44-6*float64(i), 16-4*float64(i))
		require.NoError(t, err)
		o = turned(o, 70*float64(i), 0, 0)
		w.HostR = r
		p, err := w.Profile()
		require.NoError(t, err)
		c.hull = append(c.hull, swept{sdf.NewSweep(&tab, "S", o, p, w.Roles(piece.Land, p))})
		w.HostR = 0
		p, err = w.Profile()
		require.NoError(t, err)
		p = p[1:]
		p[0].A = p[0].B.Add(p[0].A.Sub(p[0].B).Unit().Scale(1e4))
		c.part = append(c.part, swept{sdf.NewSweep(&tab, "S", o, p, []piece.Role{piece.Wall, piece.Fillet, piece.Floor})})
	}
	return c
}

func (c *crossed) values(q geom.Vec3) [3]sdf.Sample {
	return [3]sdf.Sample{{D: q.Z, G: geom.Vec3{Z: 1}, Piece: c.land}, c.part[0].At(q), c.part[1].At(q)}
}

// At finds the shortest way v from p to where a ball fits, linearised again at each step.
func (c *crossed) At(p geom.Vec3) sdf.Sample {
	a := c.values(p)
	top := a[0]
	for _, s := range a {
		if s.D > top.D {
			top = s
		}
	}
	if top.D <= -c.r {
		return top
	}
	q, v := p, geom.Vec3{}
	var m [3]float64
	for range 40 {
		m = [3]float64{}
		v = geom.Vec3{}
		for range 400 {
			moved := 0.0
			for i, s := range a {
				want := s.D + c.r + s.G.Dot(p.Sub(q))
				step := max(want-s.G.Dot(v), -m[i])
				m[i] += step
				v = v.Add(s.G.Scale(step))
				moved = max(moved, math.Abs(step))
			}
			if moved < 1e-13 {
				break
			}
		}
		n := p.Sub(v)
		if n.Sub(q).Norm() < 1e-10 {
			break
		}
		q = n
		a = c.values(q)
	}
	s := sdf.Sample{D: v.Norm() - c.r, G: v.Unit(), Piece: c.blend}
	binding := 0
	for i := range m {
		if m[i] > 1e-9 {
			binding++
			top = a[i]
		}
	}
	if binding == 1 {
		s.Piece = top.Piece
	}
	return s
}

func (c *crossed) Survey(q geom.Vec3, rho float64) sdf.Survey {
	a := c.values(q)
	top := max(a[0].D, a[1].D, a[2].D)
	v := sdf.Survey{Radius: math.Inf(1)}
	n := 0
	for i, s := range a {
		if s.D+rho < top-rho-2*c.r {
			continue
		}
		n++
		if i == 0 {
			v.Planes++
			continue
		}
		w := c.part[i-1].Survey(q, rho)
		v.Planes, v.Curved, v.Radius = v.Planes+w.Planes, v.Curved || w.Curved, min(v.Radius, w.Radius)
	}
	if n > 1 {
		v.Curved, v.Radius = true, min(v.Radius, c.r)
	}
	return v
}

func (c *crossed) Box() geom.Box3 {
	a, b := c.hull[0].Box(), c.hull[1].Box()
	return a.Hold(b.Min).Hold(b.Max)
}

func (c *crossed) Plan(q geom.Vec2) float64 { return min(c.hull[0].Plan(q), c.hull[1].Plan(q)) }

func (c *crossed) Level() []piece.ID {
	return []piece.ID{c.land, c.part[0].IDs[2][0], c.part[1].IDs[2][0]}
}

func (c *crossed) options(tol float64) contour.Options {
	l := c.Level()
	return contour.Options{Tol: tol, Levels: map[piece.ID]float64{l[0]: 0, l[1]: -12, l[2]: -7}}
}
