package flat_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/exact"
	"platen/toolgen/flat"
	"platen/toolgen/geom"
)

type (
	pts   = []geom.Vec2
	edges = [][2]int32
)

// ring returns the edges of the closed loop first, first+1, ..., first+n-1.
func ring(first, n int32) edges {
	var es edges
	for i := range n {
		es = append(es, [2]int32{first + i, first + (i+1)%n})
	}
	return es
}

// back returns the edges turned round.
func back(es edges) edges {
	var out edges
	for _, e := range es {
		out = append(out, [2]int32{e[1], e[0]})
	}
	return out
}

func areaOf(p pts, tris [][3]int32) float64 {
	a := 0.0
	for _, t := range tris {
		a += p[t[1]].Sub(p[t[0]]).Cross(p[t[2]].Sub(p[t[0]])) / 2
	}
	return a
}

func enclosed(p pts, es edges) float64 {
	a := 0.0
	for _, e := range es {
		a += p[e[0]].Cross(p[e[1]]) / 2
	}
	return a
}

// requireRegion checks every promise but Delaunay: orientation, edges matched one to one, the
// border being exactly the constraints, area.
func requireRegion(t *testing.T, p pts, es edges, tris [][3]int32) {
	t.Helper()
	half := map[[2]int32]int{}
	for _, tr := range tris {
		require.Positive(t, exact.Orient2D(p[tr[0]], p[tr[1]], p[tr[2]]), "triangle %v", tr)
		for k := range 3 {
			half[[2]int32{tr[k], tr[(k+1)%3]}]++
		}
	}
	given := map[[2]int32]bool{}
	for _, e := range es {
		given[e] = true
		require.Equal(t, 1, half[e], "constraint %v", e)
	}
	for h, n := range half {
		require.Equal(t, 1, n, "half-edge %v", h)
		if half[[2]int32{h[1], h[0]}] == 0 {
			require.True(t, given[h], "border %v is no constraint", h)
		}
	}
	want := enclosed(p, es)
	require.InDelta(t, want, areaOf(p, tris), 1e-9*(1+math.Abs(want)))
}

// requireDelaunay checks by brute force that no point sees into a circle round a triangle it can be
// seen from.
func requireDelaunay(t *testing.T, p pts, es edges, tris [][3]int32) {
	t.Helper()
	hides := func(a, b geom.Vec2) bool {
		for _, e := range es {
			c, d := p[e[0]], p[e[1]]
			if exact.Orient2D(a, b, c)*exact.Orient2D(a, b, d) < 0 && exact.Orient2D(c, d, a)*exact.Orient2D(c, d, b) < 0 {
				return true
			}
		}
		return false
	}
	for _, tr := range tris {
		a, b, c := p[tr[0]], p[tr[1]], p[tr[2]]
		mid := a.Add(b).Add(c).Scale(1. / 3)
		for i, q := range p {
			if exact.InCircle(a, b, c, q) > 0 {
				require.True(t, hides(mid, q), "point %d lies in the circle of %v", i, tr)
			}
		}
	}
}

func TestTriangulateShapes(t *testing.T) {
	square := pts{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}}
	with := func(more ...geom.Vec2) pts { return append(append(pts{}, square...), more...) }
	hole := with(geom.Vec2{X: 1, Y: 1}, geom.Vec2{X: 3, Y: 1}, geom.Vec2{X: 3, Y: 3}, geom.Vec2{X: 1, Y: 3})
	for _, test := range []struct {
		name  string
		p     pts
		es    edges
		tris  int
		delny bool
	}{
		{"nothing", square, nil, 0, true},
		{"square", square, ring(0, 4), 2, true},
		{"free point inside", with(geom.Vec2{X: 1, Y: 2}), ring(0, 4), 4, true},
		{"free point outside", with(geom.Vec2{X: 9, Y: 2}), ring(0, 4), 2, false},
		{"hole", hole, append(ring(0, 4), back(ring(4, 4))...), 8, true},
		{"slab in the hole only", hole, ring(4, 4), 2, false},
		{"square in a square, both kept", hole, append(append(ring(0, 4), back(ring(4, 4))...), ring(4, 4)...), 10, true},
		{"collinear points on a side", with(geom.Vec2{X: 0, Y: 3}, geom.Vec2{X: 0, Y: 2}, geom.Vec2{X: 0, Y: 1}),
			ring(0, 7), 5, true},
		{"hole that touches a corner", with(geom.Vec2{X: 2, Y: 1}, geom.Vec2{X: 1, Y: 2}),
			append(ring(0, 4), [][2]int32{{0, 5}, {5, 4}, {4, 0}}...), 5, true},
		{"slit", with(geom.Vec2{X: 1, Y: 2}, geom.Vec2{X: 3, Y: 2}),
			append(ring(0, 4), [][2]int32{{4, 5}, {5, 4}}...), 6, true},
		{"two apart", with(geom.Vec2{X: 6, Y: 0}, geom.Vec2{X: 7, Y: 0}, geom.Vec2{X: 7, Y: 1}),
			append(ring(0, 4), ring(4, 3)...), 3, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			tris, err := flat.Triangulate(test.p, test.es)
			require.NoError(t, err)
			require.Len(t, tris, test.tris)
			requireRegion(t, test.p, test.es, tris)
			if test.delny {
				requireDelaunay(t, test.p, test.es, tris)
			}
		})
	}
}

func TestTriangulateRefuses(t *testing.T) {
	square := pts{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}}
	with := func(more ...geom.Vec2) pts { return append(append(pts{}, square...), more...) }
	for _, test := range []struct {
		name string
		p    pts
		es   edges
		want string
	}{
		{"crossing", square, edges{{0, 2}, {2, 1}, {1, 3}, {3, 0}}, "edges cross at (2.0000, 2.0000)"},
		{"point on an edge", with(geom.Vec2{X: 2, Y: 0}), ring(0, 4), "a point lies on an edge at (2.0000, 0.0000)"},
		{"points coincide", with(geom.Vec2{X: 4, Y: 4}), ring(0, 4), "two points coincide at (4.0000, 4.0000)"},
		{"open", square, edges{{0, 1}, {1, 2}, {2, 3}}, "a loop does not close at (0.0000, 0.0000)"},
		{"twice", square, append(ring(0, 4), ring(0, 4)...), "an edge is given twice at (2.0000, 0.0000)"},
		{"clockwise", square, back(ring(0, 4)), "loops contradict each other on where the region lies at"},
		{"nested alike", with(geom.Vec2{X: 1, Y: 1}, geom.Vec2{X: 2, Y: 1}, geom.Vec2{X: 2, Y: 2}),
			append(ring(0, 4), ring(4, 3)...), "loops contradict each other on where the region lies"},
		{"no length", square, append(ring(0, 4), [2]int32{1, 1}), "an edge has no length at (4.0000, 0.0000)"},
		{"no such point", square, ring(0, 5), "an edge names point 4 of 4"},
		{"not finite", with(geom.Vec2{X: math.NaN()}), ring(0, 4), "a coordinate is not 0 or between"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := flat.Triangulate(test.p, test.es)
			require.ErrorContains(t, err, test.want)
		})
	}
}

// scene returns nested loops on a coarse grid of points: star-shaped rings inside one another, each
// with collinear points on its sides, and free points between.
func scene(r *rand.Rand, rings, free int) (pts, edges) {
	var p pts
	var es edges
	seen := map[geom.Vec2]bool{}
	for k := range rings {
		first := int32(len(p))
		sides := 4 + r.IntN(6)
		// Corners of ring k lie between the radii of a band of its own, the inner one shrunk so that
		// no chord cuts into the next band.
		outer := 1000 * math.Pow(0.3, float64(k))
		var corners pts
		for i := range sides {
			a := geom.Angle(2 * math.Pi * (float64(i) + 0.3*r.Float64()) / float64(sides))
			corners = append(corners, geom.Vec2{X: outer * (0.9 + 0.1*r.Float64())}.Turn(a))
		}
		for i, c := range corners {
			d := corners[(i+1)%sides]
			m := 1 << r.IntN(4)
			for j := range m { // exact halves: collinear where the sums do not round
				p = append(p, snap(c).Add(snap(d).Sub(snap(c)).Scale(float64(j)/float64(m))))
			}
		}
		es = append(es, turned(ring(first, int32(len(p))-first), k%2 == 1)...)
	}
	for _, q := range p {
		seen[q] = true
	}
	for range free {
		q := snap(geom.Vec2{X: 3000*r.Float64() - 1500, Y: 3000*r.Float64() - 1500})
		if seen[q] {
			continue
		}
		p = append(p, q)
		seen[q] = true
	}
	return p, es
}

func snap(p geom.Vec2) geom.Vec2 {
	return geom.Vec2{X: math.Round(8*p.X) / 8, Y: math.Round(8*p.Y) / 8}
}

func turned(es edges, yes bool) edges {
	if yes {
		return back(es)
	}
	return es
}

func TestTriangulateRandomNests(t *testing.T) {
	done := 0
	for seed := range uint64(400) {
		r := rand.New(rand.NewPCG(seed, 7))
		p, es := scene(r, 1+r.IntN(4), r.IntN(30))
		tris, err := flat.Triangulate(p, es)
		if err != nil { // a free point can hit an edge; nothing else may fail
			require.ErrorContains(t, err, "a point lies on an edge", "seed %d", seed)
			continue
		}
		done++
		requireRegion(t, p, es, tris)
		inside := nest(p, tris)
		requireDelaunay(t, inside, es, tris)
	}
	require.Greater(t, done, 380)
}

// nest returns the points with those that no triangle uses moved far away, where they bend no
// circle.
func nest(p pts, tris [][3]int32) pts {
	used := make([]bool, len(p))
	for _, t := range tris {
		for _, v := range t {
			used[v] = true
		}
	}
	out := append(pts{}, p...)
	for i := range out {
		if !used[i] {
			out[i] = geom.Vec2{X: 1e7 + float64(i), Y: 3e7 + float64(i*i)}
		}
	}
	return out
}

// Euler: a region with V points all used, H holes and one outer loop has 2V - 2 + 2H - B triangles,
// B being the number of border edges.
func TestTriangulateCountsByEuler(t *testing.T) {
	const n, holes = 400, 81
	var p pts
	var es edges
	loop := func(c geom.Vec2, radius float64, m int32, hole bool) {
		first := int32(len(p))
		for i := range m {
			p = append(p, c.Add(geom.Vec2{X: radius}.Turn(geom.Angle(2*math.Pi*float64(i)/float64(m)))))
		}
		es = append(es, turned(ring(first, m), hole)...)
	}
	loop(geom.Vec2{}, 100, n, false)
	for i := range 9 {
		for j := range 9 {
			loop(geom.Vec2{X: float64(i-4) * 14, Y: float64(j-4) * 14}, 5, 24, true)
		}
	}
	tris, err := flat.Triangulate(p, es)
	require.NoError(t, err)
	requireRegion(t, p, es, tris)
	require.Len(t, tris, 2*len(p)-2+2*holes-len(es))
	again, err := flat.Triangulate(p, es)
	require.NoError(t, err)
	require.Equal(t, tris, again)
}

// TestTriangulateNearDuplicates puts points one bit of the coordinate apart.
func TestTriangulateNearDuplicates(t *testing.T) {
	var p pts
	x := 100.0
	for range 200 {
		p = append(p, geom.Vec2{X: x, Y: 0})
		x = math.Nextafter(x, 200)
	}
	p = append(p, geom.Vec2{X: x, Y: math.Nextafter(0.1, 1)}, geom.Vec2{X: 100, Y: 0.1})
	es := ring(0, int32(len(p)))
	tris, err := flat.Triangulate(p, es)
	require.NoError(t, err)
	require.Len(t, tris, len(p)-2)
	requireRegion(t, p, es, tris)
}

// TestTriangulateLongCut drives one long edge through a thousand points, so that the channel it cuts
// has long banks.
func TestTriangulateLongCut(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	p := pts{{X: -1, Y: -1}, {X: 2, Y: -1}, {X: 2, Y: 2}, {X: -1, Y: 2}, {X: -0.5, Y: 0.5}, {X: 1.5, Y: 0.5}}
	for range 1000 {
		p = append(p, geom.Vec2{X: r.Float64(), Y: 0.4 + 0.2*r.Float64()})
	}
	es := append(ring(0, 4), edges{{4, 5}, {5, 4}}...)
	tris, err := flat.Triangulate(p, es)
	require.NoError(t, err)
	require.Len(t, tris, 2*len(p)-2-4)
	requireRegion(t, p, es, tris)
	require.Positive(t, areaOf(p, tris))
}
