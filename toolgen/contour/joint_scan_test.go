package contour_test

import (
	"context"
	"slices"
	"maps"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"platen/toolgen/contour"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

func placed(t testing.TB, l, w, r, x, y, turn float64) *outline.Outline {
	o := rect(t, l, w, r)
	es := slices.Clone(o.Elems)
	for i := range es {
		f := func(q geom.Vec2) geom.Vec2 { return q.Turn(geom.Angle(turn) * geom.Degree).Add(geom.Vec2{X: x, Y: y}) }
		es[i].A, es[i].B, es[i].C = f(es[i].A), f(es[i].B), f(es[i].C)
	}
	o, err := outline.New(es)
	require.NoError(t, err)
	return o
}
func slot(t testing.TB, l, w, x, y, turn float64) *outline.Outline {
	return placed(t, l, w, w/2, x, y, turn)
}
func sunk(host, end, draft, edge, floor float64) sdf.Wall {
	return sdf.Wall{Host: host, End: end, Datum: host, Draft: geom.Angle(draft) * geom.Degree, HostR: edge, EndR: floor}
}
func raised(host, end, draft, root, crown float64) sdf.Wall {
	return sdf.Wall{Host: host, End: end, Datum: host, Draft: geom.Angle(draft) * geom.Degree, HostR: root, EndR: crown}
}

func TestJointScan(t *testing.T) {
	sc := scenes(t)
	for _, name := range slices.Sorted(maps.Keys(sc))[:1] {
		var tab piece.Table
		host := tab.Add(piece.Piece{Role: piece.Land})
		j, err := sdf.NewJoint(&tab, host, 0, sc[name])
		require.NoError(t, err)
		lv := map[piece.ID]float64{host: 0}
		for i, id := range j.Level()[1:] {
			lv[id] = sc[name][i].Wall.End
		}
		for _, tol := range []float64{0.05} {
			t0 := time.Now()
			{
				rng := rand.New(rand.NewPCG(1, 2))
				b := j.Box()
				n, bad, piec := 0, 0, 0
				for range 200000 {
					sz := b.Size()
					q := geom.Vec3{X: b.Min.X + rng.Float64()*sz.X, Y: b.Min.Y + rng.Float64()*sz.Y, Z: b.Min.Z + rng.Float64()*sz.Z}
					f := j.At(q)
					if math.Abs(f.D) > 2 {
						continue
					}
					n++
					off := geom.Vec3{X: rng.Float64(), Y: rng.Float64(), Z: rng.Float64()}.Scale(2)
					g := j.Prune(q.Add(off), 4).At(q)
					if math.Abs(g.D-f.D) > 1e-6 || g.G.Sub(f.G).Norm() > 1e-3 {
						if bad < 5 {
							t.Log(q, f, g)
						}
						bad++
					}
					if g.Piece != f.Piece {
						piec++
					}
				}
				t.Log(n, bad, piec)
				bad = 0
				for range 100000 {
					sz := b.Size()
					q := geom.Vec3{X: b.Min.X + rng.Float64()*sz.X, Y: b.Min.Y + rng.Float64()*sz.Y, Z: b.Min.Z + rng.Float64()*sz.Z}
					rho := 0.3 + 2*rng.Float64()
					if math.Abs(j.At(q).D) > rho*.8 {
						continue
					}
					sv := j.Survey(q, rho)
					sv2 := j.Prune(q, 4).Survey(q, rho)
					if sv != sv2 {
						piec++
						if piec < 5 {
							t.Log("prune survey", q, rho, sv, sv2)
						}
					}
					on := func() (geom.Vec3, sdf.Sample, bool) {
						p := q.Add(geom.Vec3{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Scale(rho * .4))
						f := j.At(p)
						p = p.Sub(f.G.Scale(f.D))
						f = j.At(p)
						return p, f, p.Sub(q).Norm() < rho && math.Abs(f.D) < 1e-6
					}
					p1, f1, ok1 := on()
					p2, f2, ok2 := on()
					if !ok1 || !ok2 {
						continue
					}
					k := f1.G.Sub(f2.G).Norm() / p1.Sub(p2).Norm()
					if (!sv.Curved && sv.Planes < 2 && k > 1e-3) || (sv.Curved && k > 1.3/sv.Radius) {
						if bad < 10 {
							t.Log("survey", q, rho, sv, k, 1/sv.Radius, f1, f2)
						}
						bad++
					}
				}
				t.Log("bad surveys", bad, piec)
			}
			_, rep, err := contour.Surface(context.Background(), j, contour.Options{Tol: tol, Levels: lv,
				Prune: func(c geom.Vec3, rho float64) sdf.Surveyor { return j.Prune(c, rho) }})
			if len(rep.Places) > 6 {
				rep.Places = rep.Places[:6]
			}
			t.Logf("%s %v %+v %v %v", name, tol, rep, time.Since(t0), err)
		}
	}
}
// scenes are the clusters a tray is made of.
func scenes(t testing.TB) map[string][]sdf.Member {
	pocket := sdf.Member{Feature: "pocket", Outline: placed(t, 110, 90, 15, 0, 0, 0), Wall: sunk(0, -38, 6, 3, 4), Host: -1}
	soft := pocket
	soft.Wall.EndR = 2
	shallow := pocket
	shallow.Wall.End = -10
	return map[string][]sdf.Member{
		"crossing channels": {
			{Feature: "a", Outline: slot(t, 120, 30, 0, 0, 0), Wall: sunk(0, -15, 6, 3, 4), Host: -1},
			{Feature: "b", Outline: slot(t, 120, 36, 5, 2, 90), Wall: sunk(0, -22, 8, 3, 4), Host: -1},
		},
		"channels of one depth": {
			{Feature: "a", Outline: slot(t, 120, 30, 0, 0, 0), Wall: sunk(0, -15, 6, 3, 4), Host: -1},
			{Feature: "b", Outline: slot(t, 120, 36, 5, 2, 68), Wall: sunk(0, -15, 8, 3, 4), Host: -1},
		},
		"rib and boss": {
			pocket,
			{Feature: "rib", Outline: placed(t, 120, 9, 2, 0, 12, 13), Wall: raised(-38, -26, 3, 4, 1), Host: 0},
			{Feature: "boss", Outline: placed(t, 20, 16, 4, -12, -20, 0), Wall: raised(-38, -30, 5, 4, 1), Host: 0},
		},
		"small root": {
			pocket,
			{Feature: "rib", Outline: placed(t, 120, 9, 2, 0, 12, 13), Wall: raised(-38, -26, 3, 1, 1), Host: 0},
			{Feature: "boss", Outline: placed(t, 20, 16, 4, -47, -20, 20), Wall: raised(-38, -30, 5, 1, 1), Host: 0},
		},
		"lug near an edge": {
			soft,
			{Feature: "lug", Outline: placed(t, 18, 12, 3, 66, 0, 0), Wall: raised(0, 9, 10, 2, 1), Host: -1},
		},
		"lug over an edge": {
			soft,
			{Feature: "lug", Outline: placed(t, 18, 12, 3, 55, 8, 16), Wall: raised(0, 9, 10, 2, 1), Host: -1},
		},
		"recess to the floor": {
			pocket,
			{Feature: "recess", Outline: slot(t, 34, 24, 55, 5, 4), Wall: sunk(0, -38, 8, 3, 4), Host: -1},
		},
		"recess above the floor": {
			pocket,
			{Feature: "recess", Outline: slot(t, 34, 24, 55, 5, 4), Wall: sunk(0, -28, 8, 3, 4), Host: -1},
		},
		"child out of its parent": {
			shallow,
			{Feature: "child", Outline: placed(t, 40, 30, 8, 48, 0, 10), Wall: sunk(-10, -30, 6, 3, 4), Host: 0},
		},
		"channel across a stepped pocket": {
			shallow,
			{Feature: "deep", Outline: placed(t, 60, 40, 10, 5, 0, 0), Wall: sunk(-10, -30, 6, 3, 4), Host: 0},
			{Feature: "channel", Outline: slot(t, 180, 24, 20, 4, 8), Wall: sunk(0, -20, 8, 3, 4), Host: -1},
		},
		"lug with a recess": {
			{Feature: "lug", Outline: placed(t, 60, 40, 8, 0, 0, 5), Wall: raised(0, 20, 6, 2, 3), Host: -1},
			{Feature: "dish", Outline: placed(t, 34, 20, 6, 2, 1, 0), Wall: sunk(20, 12, 8, 3, 2), Host: 0},
			{Feature: "knob", Outline: placed(t, 26, 26, 5, 31, 0, 0), Wall: raised(0, 11, 8, 2, 1.5), Host: -1},
		},
	}
}
