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

const deg = geom.Degree

// placed returns an outline turned by t and moved to at.
func placed(t testing.TB, o *outline.Outline, err error, at geom.Vec2, turn geom.Angle) *outline.Outline {
	t.Helper()
	require.NoError(t, err)
	es := make([]outline.Elem, len(o.Elems))
	move := func(v geom.Vec2) geom.Vec2 { return v.Turn(turn).Add(at) }
	for i, e := range o.Elems {
		es[i] = outline.Elem{A: move(e.A), B: move(e.B), C: move(e.C), R: e.R}
	}
	for i := range es {
		es[i].A = es[(i+len(es)-1)%len(es)].B
	}
	p, err := outline.New(es)
	require.NoError(t, err)
	return p
}

func rect(t testing.TB, l, w, r, x, y, turn float64) *outline.Outline {
	o, err := outline.Rect(l, w, r)
	return placed(t, o, err, geom.Vec2{X: x, Y: y}, geom.Angle(turn)*deg)
}

// sunk returns a wall from z = host down to end, standing over its outline at the opening.
func sunk(host, end, draft, edge, floor float64) sdf.Wall {
	return sdf.Wall{Host: host, End: end, Datum: host, Draft: geom.Angle(draft) * deg, HostR: edge, EndR: floor}
}

// raised returns a wall from z = host up to end, standing over its outline at the foot.
func raised(host, end, draft, root, crown float64) sdf.Wall {
	return sdf.Wall{Host: host, End: end, Datum: host, Draft: geom.Angle(draft) * deg, HostR: root, EndR: crown}
}

// scene is a cluster with its piece table.
type scene struct {
	j *sdf.Joint
	t *piece.Table
}

func joint(t testing.TB, ms ...sdf.Member) scene {
	t.Helper()
	s, err := newJoint(ms)
	require.NoError(t, err)
	return s
}

func newJoint(ms []sdf.Member) (scene, error) {
	var tab piece.Table
	host := tab.Add(piece.Piece{Feature: "block", Role: piece.Land})
	j, err := sdf.NewJoint(&tab, host, 0, ms)
	return scene{j, &tab}, err
}

// within returns a random point of the box, grown by m.
func within(r *rand.Rand, b geom.Box3, m float64) geom.Vec3 {
	b = b.Grow(m)
	s := b.Size()
	return geom.Vec3{
		X: b.Min.X + r.Float64()*s.X,
		Y: b.Min.Y + r.Float64()*s.Y,
		Z: b.Min.Z + r.Float64()*s.Z,
	}
}

// surfacePoint returns a random point within h of the surface.
func surfacePoint(r *rand.Rand, f sdf.Field, b geom.Box3, m, h float64) geom.Vec3 {
	for {
		p := within(r, b, m)
		for range 60 {
			s := f.At(p)
			if math.Abs(s.D) < 1e-7 {
				d := geom.Vec3{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit()
				return p.Add(d.Scale(h * r.Float64()))
			}
			p = p.Sub(s.G.Scale(s.D))
		}
	}
}

func TestLoneMemberIsItsClosedProfile(t *testing.T) {
	for name, w := range map[string]sdf.Wall{
		"pocket":         sunk(0, -38, 6, 3, 4),
		"pocket upright": sunk(0, -20, 0, 2, 3),
		"shallow":        sunk(0, -8, 20, 1, 4),
		"lug":            raised(0, 9, 10, 2, 1),
		"lug upright":    raised(0, 9, 0, 2, 1),
		"boss":           raised(0, 30, 3, 4, 3),
	} {
		t.Run(name, func(t *testing.T) {
			o := rect(t, 90, 60, 15, 3, -2, 17)
			s := joint(t, sdf.Member{Feature: "a", Outline: o, Wall: w, Host: -1})
			prof, err := w.Profile()
			require.NoError(t, err)
			var tab piece.Table
			sw := sdf.NewSweep(&tab, "a", o, prof, w.Roles(piece.Land, prof))
			r := rand.New(rand.NewPCG(1, 2))
			for range 20000 {
				p := surfacePoint(r, sw, sw.Box(), 5, 0.8)
				want, got := sw.At(p), s.j.At(p)
				require.InDelta(t, want.D, got.D, 1e-9, "%v", p)
				require.Less(t, want.G.Sub(got.G).Norm(), 1e-9, "%v", p)
				_, sure := s.j.Certain(p)
				require.True(t, sure)
				require.Equal(t, tab.At(want.Piece).Role, s.t.At(got.Piece).Role, "%v", p)
			}
		})
	}
}
