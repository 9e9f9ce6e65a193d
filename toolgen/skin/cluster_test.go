package skin_test

import (
	"context"
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
	"platen/toolgen/skin"
)

// members are features of a cluster that do not touch, so that the same surface can be had from
// strips: two pockets of one depth, a lug on a floor and a lug as high as the pockets are deep.
func members(t testing.TB) []sdf.Member {
	cut := func(depth float64) sdf.Wall {
		return sdf.Wall{Host: 0, End: -depth, Datum: 0, Draft: 5 * geom.Degree, HostR: 1, EndR: 2}
	}
	lug := func(host, end float64) sdf.Wall {
		return sdf.Wall{Host: host, End: end, Datum: end, Draft: 5 * geom.Degree, HostR: 1, EndR: 0.5}
	}
	return []sdf.Member{
		{Feature: "a", Outline: at(t, -40, 0)(outline.Rect(50, 40, 8)), Wall: cut(15), Host: -1},
		{Feature: "b", Outline: at(t, 40, 0)(outline.Rect(50, 40, 8)), Wall: cut(15), Host: -1},
		{Feature: "c", Outline: at(t, -40, 0)(outline.Rect(20, 10, 3)), Wall: lug(-15, 0), Host: 0},
		{Feature: "d", Outline: at(t, 0, 50)(outline.Circle(6)), Wall: lug(0, 10), Host: -1},
	}
}

// clustered returns a block with the members as one cluster and a lone button on the floor of member
// b, and the open mesh of the cluster, made of strips.
func clustered(t testing.TB) (*sdf.Body, *mesh.Mesh) {
	plan := at(t, 0, 0)(outline.Rect(200, 160, 8))
	lone := block(t, plan, -40, 0, 0)
	for _, m := range members(t) {
		lone.add(m.Host, m.Outline, m.Wall)
	}
	b := lone.body()
	whole, _ := build(t, b, skin.Options{Tol: 0.02})
	open := &mesh.Mesh{V: whole.V}
	for i, tr := range whole.T {
		if p := b.Pieces.At(whole.P[i]); p.Feature != "block" && p.Role != piece.Floor && p.Role != piece.Crown {
			open.T, open.P = append(open.T, tr), append(open.P, 0)
		}
	}
	s := block(t, plan, -40, 0, 0)
	land := s.block.IDs[len(s.block.IDs)-1][0]
	j, err := sdf.NewJoint(s.table, land, 0, members(t))
	require.NoError(t, err)
	s.patches = append(s.patches, &sdf.Patch{Name: "a+b+c+d", Host: land, Parent: -1, Joint: j})
	button := sdf.Wall{Host: -15, End: -12, Datum: -15, Draft: 5 * geom.Degree, HostR: 0.5, EndR: 0.5}
	p, err := button.Profile()
	require.NoError(t, err)
	floor := j.Level()[2]
	s.patches = append(s.patches, &sdf.Patch{Name: "button", Host: floor, Parent: 0,
		Sweep: sdf.NewSweepOn(s.table, floor, "button", at(t, 40, 3)(outline.Circle(5)), p, button.Roles(piece.Floor, p))})
	for i := range open.P {
		v := open.T[i]
		mid := open.V[v[0]].Add(open.V[v[1]]).Add(open.V[v[2]]).Scale(1. / 3)
		open.P[i] = j.At(mid).Piece
	}
	return s.body(), open
}

func TestClusterPlanes(t *testing.T) {
	b, open := clustered(t)
	j := b.Patches[0].Joint
	contour := func(_ context.Context, patch int, got *sdf.Joint, levels map[piece.ID]float64) (*mesh.Mesh, error) {
		require.Equal(t, 0, patch)
		require.Same(t, j, got)
		l := j.Level()
		require.Equal(t, map[piece.ID]float64{l[0]: 0, l[1]: -15, l[2]: -15, l[3]: 0, l[4]: 10}, levels)
		return open, nil
	}
	m, rep := build(t, b, skin.Options{Tol: 0.02, Contour: contour})
	requireSound(t, b, m)
	require.Equal(t, len(open.T), rep.Contours)
	require.Equal(t, len(m.T), rep.Contours+rep.Strips+rep.Planes)
	worst, at := dense(m, 3, b.At)
	require.LessOrEqual(t, worst, 0.02, "at %v", at)

	// Each level keeps its area, under its own name: the lug's crown stands at the height of the land.
	got := map[string]float64{}
	for i, tr := range m.T {
		if p := b.Pieces.At(m.P[i]); p.Role == piece.Floor || p.Role == piece.Crown || p.Role == piece.Land {
			got[p.String()] += m.V[tr[1]].Sub(m.V[tr[0]]).Cross(m.V[tr[2]].Sub(m.V[tr[0]])).Z / 2
		}
	}
	inside := func(o *outline.Outline, d float64) float64 {
		o, err := o.Offset(d)
		require.NoError(t, err)
		return o.Area()
	}
	ms := members(t)
	rim := func(i int) (host, end float64) {
		p, err := ms[i].Wall.Profile()
		require.NoError(t, err)
		host, end = p.Reach(), p.Inner()
		return inside(ms[i].Outline, host), inside(ms[i].Outline, end)
	}
	hostA, endA := rim(0)
	hostB, endB := rim(1)
	hostC, endC := rim(2)
	hostD, endD := rim(3)
	circle, err := outline.Circle(5)
	require.NoError(t, err)
	hostE := inside(circle, b.Patches[1].Sweep.Profile.Reach())
	for name, want := range map[string]float64{
		"a floor": endA - hostC, "b floor": endB - hostE, "c crown": endC, "d crown": endD,
		"block land": inside(b.Block.Outline, 0) - hostA - hostB - hostD,
	} {
		require.InDelta(t, want, got[name], 0.02*200, name) // tolerance times the length of the rims
		require.Positive(t, got[name])
	}
}

func TestClusterRefuses(t *testing.T) {
	b, open := clustered(t)
	broken := errors.New("broken")
	for _, test := range []struct {
		name    string
		contour func(*mesh.Mesh) (*mesh.Mesh, error)
		want    string
	}{
		{"no contour", nil, "a+b+c+d: a cluster needs a contour"},
		{"failing contour", func(*mesh.Mesh) (*mesh.Mesh, error) { return nil, broken }, "a+b+c+d: broken"},
		{"open contour", func(m *mesh.Mesh) (*mesh.Mesh, error) {
			return &mesh.Mesh{V: m.V, T: m.T[1:], P: m.P[1:]}, nil
		}, "a+b+c+d: its contour is open at ("},
	} {
		t.Run(test.name, func(t *testing.T) {
			o := skin.Options{Tol: 0.02}
			if test.contour != nil {
				o.Contour = func(context.Context, int, *sdf.Joint, map[piece.ID]float64) (*mesh.Mesh, error) {
					return test.contour(open)
				}
			}
			_, _, err := skin.Build(context.Background(), b, o)
			require.ErrorContains(t, err, test.want)
		})
	}
}
