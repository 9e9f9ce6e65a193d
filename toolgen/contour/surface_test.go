package contour_test

import (
	"context"
	"math"
	"runtime"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/contour"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

func circle(t testing.TB, r float64) *outline.Outline {
	t.Helper()
	o, err := outline.Circle(r)
	require.NoError(t, err)
	return o
}

var sweeps = []struct {
	name string
	make func(t testing.TB) swept
	tol  float64
}{
	{"pocket", pocket, 0.02},
	{"pocket turned into the lattice", func(t testing.TB) swept {
		return sweep(t, turned(rect(t, 40, 26, 6), 17, 3.3, -1.7), sdf.Wall{Host: 4, End: -8, Datum: 4, Draft: 3 * geom.Degree, HostR: 1, EndR: 2})
	}, 0.02},
	{"boss", func(t testing.TB) swept {
		return sweep(t, rect(t, 30, 20, 6), sdf.Wall{Host: -10, End: 2, Datum: -10, Draft: 5 * geom.Degree, HostR: 2, EndR: 1})
	}, 0.02},
	{"cone", func(t testing.TB) swept {
		return sweep(t, circle(t, 14), sdf.Wall{Host: 0, End: 16, Draft: 30 * geom.Degree, HostR: 1.5, EndR: 0.8})
	}, 0.02},
	{"cone with a sharp foot", func(t testing.TB) swept {
		return sweep(t, circle(t, 14), sdf.Wall{Host: 0, End: 9, Draft: 20 * geom.Degree, EndR: 2})
	}, 0.05},
	{"fine stroke", func(t testing.TB) swept {
		return sweep(t, rect(t, 6, 1.6, 0.8), sdf.Wall{Host: 0, End: 0.8, Draft: 10 * geom.Degree, HostR: 0.2, EndR: 0.15})
	}, 0.01},
}

// turned returns the outline turned by deg about the origin, then moved.
func turned(o *outline.Outline, deg, x, y float64) *outline.Outline {
	move := func(q geom.Vec2) geom.Vec2 {
		return q.Turn(geom.Angle(deg) * geom.Degree).Add(geom.Vec2{X: x, Y: y})
	}
	es := make([]outline.Elem, len(o.Elems))
	for i, e := range o.Elems {
		es[i] = outline.Elem{A: move(e.A), B: move(e.B), C: move(e.C), R: e.R}
	}
	n, err := outline.New(es)
	if err != nil {
		panic(err)
	}
	return n
}

func TestSurfaceOfSweeps(t *testing.T) {
	for _, c := range sweeps {
		t.Run(c.name, func(t *testing.T) {
			s := c.make(t)
			o := s.options(c.tol)
			m, rep, err := contour.Surface(context.Background(), s, o)
			require.NoError(t, err)
			t.Logf("%+v", rep)
			sound(t, s, o, m, rep)
			// A chord with sagitta e on radius r is short by a share of 2e/3r.
			require.InEpsilon(t, s.area(), m.Area(), 2./3*c.tol/s.tightest())

			end := s.Profile[len(s.Profile)-1].A
			at := borders(t, m)
			require.Len(t, at, 2)
			for _, e := range at[end.Y] {
				require.InDelta(t, end.X, s.Outline.At(e[0]).D, c.tol, "the inner rim strays")
				require.InDelta(t, end.X, s.Outline.At(e[0].Add(e[1]).Scale(0.5)).D, c.tol)
			}
		})
	}
}

// tightest returns the smallest rounding of the profile.
func (s swept) tightest() float64 {
	r := math.Inf(1)
	for _, e := range s.Profile {
		if e.R != 0 {
			r = min(r, math.Abs(e.R))
		}
	}
	return r
}

// area integrates the sweep without its levels: an element of the profile runs along the straights
// and, longer by its distance from the outline, round the corners. All corners are convex.
func (s swept) area() float64 {
	a := 0.0
	const n = 20000
	for _, e := range s.Profile[1 : len(s.Profile)-1] {
		for i := range n {
			d := e.Point((float64(i) + 0.5) / n).X
			a += e.Length() / n * (s.Outline.Length() + 2*math.Pi*d)
		}
	}
	return a
}

func TestSurfaceOfCrossing(t *testing.T) {
	s := crossing(t, 1)
	o := s.options(0.05)
	m, rep, err := contour.Surface(context.Background(), s, o)
	require.NoError(t, err)
	t.Logf("%+v", rep)
	// The plan of the test field leaves out the rounding where the channels meet, so the rim check
	// is made against the field: just outside the rim the host plane is nearest.
	sound(t, opened{s}, o, m, rep)
	for z, b := range borders(t, m) {
		t.Log(z, len(b))
	}
	roles := map[piece.ID]bool{}
	for _, id := range m.P {
		roles[id] = true
	}
	require.True(t, roles[s.blend])
	require.True(t, roles[s.part[0].IDs[0][0]])
	require.True(t, roles[s.part[1].IDs[1][1]])
}

// opened gives the crossing a plan distance that holds where the channels meet too.
type opened struct{ *crossed }

// Plan returns 0 within the tolerance of the rim's search and the sign else; it only serves to tell
// in from out.
func (o opened) Plan(q geom.Vec2) float64 {
	const step = 0.03
	in, out := false, false
	for i := range 12 {
		d := geom.Vec2{X: step}.Turn(geom.Angle(i) * 30 * geom.Degree)
		if o.At(q.Add(d).At(0)).Piece == o.land {
			out = true
		} else {
			in = true
		}
	}
	switch {
	case in && out:
		return 0
	case in:
		return -1
	}
	return 1
}

func TestSurfaceOfJoint(t *testing.T) {
	pocket := sdf.Member{Feature: "P1", Outline: rect(t, 40, 30, 8), Host: -1,
		Wall: sdf.Wall{End: -12, Draft: 6 * geom.Degree, HostR: 2, EndR: 2}}
	for _, c := range []struct {
		name string
		more sdf.Member
	}{
		{"recess across its rim", sdf.Member{Feature: "P2", Outline: turned(rect(t, 20, 14, 7), 8, 20, 2), Host: -1,
			Wall: sdf.Wall{End: -7, Draft: 8 * geom.Degree, HostR: 2, EndR: 2}}},
		{"lug over its edge", sdf.Member{Feature: "L1", Outline: turned(rect(t, 12, 9, 3), 12, 20, -1), Host: -1,
			Wall: sdf.Wall{End: 5, Draft: 10 * geom.Degree, HostR: 2, EndR: 1}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var tab piece.Table
			host := tab.Add(piece.Piece{Feature: "block", Role: piece.Land})
			ms := []sdf.Member{pocket, c.more}
			j, err := sdf.NewJoint(&tab, host, 0, ms)
			require.NoError(t, err)
			o := contour.Options{Tol: 0.05, Levels: map[piece.ID]float64{host: 0}, Prune: j}
			for i, id := range j.Level()[1:] {
				o.Levels[id] = ms[i].Wall.End
			}
			m, rep, err := contour.Surface(context.Background(), j, o)
			require.NoError(t, err)
			t.Logf("%+v", rep)
			sound(t, rims{j}, o, m, rep)
			require.Len(t, borders(t, m), 3)
		})
	}
}

// rims is a joint whose plan distance is taken as right: the region it names may be too large.
type rims struct{ *sdf.Joint }

func (r rims) Plan(q geom.Vec2) float64 { return max(0, r.Joint.Plan(q)) }

func TestSameBytesOnAnyCores(t *testing.T) {
	s := sweep(t, rect(t, 40, 30, 8), sdf.Wall{End: -12, Draft: 6 * geom.Degree, HostR: 2, EndR: 2})
	o := s.options(0.03)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	m1, r1, err := contour.Surface(context.Background(), s, o)
	require.NoError(t, err)
	runtime.GOMAXPROCS(2)
	m2, r2, err := contour.Surface(context.Background(), s, o)
	require.NoError(t, err)
	o.Workers = 5
	m5, _, err := contour.Surface(context.Background(), s, o)
	require.NoError(t, err)
	require.Equal(t, m1, m2)
	require.Equal(t, m1, m5)
	require.Equal(t, r1, r2)
}

func TestLongestEdge(t *testing.T) {
	s := sweep(t, rect(t, 40, 30, 8), sdf.Wall{End: -12, Draft: 6 * geom.Degree, HostR: 2, EndR: 2})
	o := s.options(0.05)
	o.MaxEdge = 3
	m, rep, err := contour.Surface(context.Background(), s, o)
	require.NoError(t, err)
	sound(t, s, o, m, rep)
	for _, v := range m.T {
		for k := range 3 {
			require.LessOrEqual(t, m.V[v[k]].Sub(m.V[v[(k+1)%3]]).Norm(), o.MaxEdge)
		}
	}
}

// stopping cancels its context at a given evaluation.
type stopping struct {
	swept
	n    *atomic.Int64
	at   int64
	stop context.CancelFunc
}

func (s stopping) At(p geom.Vec3) sdf.Sample {
	if s.n.Add(1) == s.at {
		s.stop()
	}
	return s.swept.At(p)
}

func TestCancelStopsWithinAChunk(t *testing.T) {
	base := pocket(t)
	for _, at := range []int64{1, 50_000, 300_000, 800_000} {
		ctx, stop := context.WithCancel(context.Background())
		s := stopping{base, new(atomic.Int64), at, stop}
		m, _, err := contour.Surface(ctx, s, base.options(0.02))
		require.ErrorIs(t, err, context.Canceled)
		require.Nil(t, m)
		// A chunk is a root cell or a few hundred places: far below 100 ms of evaluations.
		require.Less(t, s.n.Load(), at+60_000)
	}
}

// torn is a sweep whose field is moved up on one side: the surface has a step no field may have.
type torn struct{ swept }

func (s torn) At(p geom.Vec3) sdf.Sample {
	f := s.swept.At(p)
	if p.X > 1.234 {
		f.D -= 0.7
	}
	return f
}

// overtold is a sweep that says more than the distance in the material, as searches for a ball may that has
// two places to rest.
type overtold struct{ swept }

func (s overtold) At(p geom.Vec3) sdf.Sample {
	f := s.swept.At(p)
	if f.D < -0.05 && p.Sub(geom.Vec3{X: 9.5, Y: 0.5, Z: -5.8}).Norm() < 0.5 {
		f.D = 6*f.D + 5*0.05
	}
	return f
}

// TestCellsThatSeeNoSurface builds cells again that were taken for empty though the surface runs through them.
func TestCellsThatSeeNoSurface(t *testing.T) {
	s := overtold{sweep(t, rect(t, 20, 16, 4), sdf.Wall{End: -6, Draft: 6 * geom.Degree, HostR: 1, EndR: 1})}
	o := s.options(0.05)
	m, rep, err := contour.Surface(context.Background(), s, o)
	require.NoError(t, err)
	t.Logf("%+v", rep)
	require.Positive(t, rep.Rounds)
	require.Zero(t, rep.OnDemand)
	sound(t, s, o, m, rep)
}

// narrow is a sweep with a box that leaves out part of its wall.
type narrow struct{ swept }

func (s narrow) Box() geom.Box3 {
	b := s.swept.Box()
	b.Max.X = 0
	return b
}

func TestFaultsNameTheirPlace(t *testing.T) {
	s := sweep(t, rect(t, 20, 16, 4), sdf.Wall{End: -6, Draft: 6 * geom.Degree, HostR: 1, EndR: 1})
	for _, c := range []struct {
		name string
		s    contour.Source
		x    float64 // the plane the fault lies in
		near float64
	}{
		{"torn field", torn{s}, 1.234, 2},
		{"box too small", narrow{s}, 0, 15},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, rep, err := contour.Surface(context.Background(), c.s, s.options(0.05))
			require.Nil(t, m)
			var u *contour.Unresolved
			require.ErrorAs(t, err, &u)
			require.InDelta(t, c.x, u.At.X, c.near, u.Error())
			require.NotEmpty(t, rep.Places)
		})
	}
}

func TestOptionsAreChecked(t *testing.T) {
	s := pocket(t)
	for _, c := range []struct {
		name string
		o    contour.Options
		want string
	}{
		{"no tolerance", contour.Options{Levels: s.levels()}, "tolerance 0 mm is not above 0"},
		{"edge too short", contour.Options{Tol: 0.02, MaxEdge: 0.1, Levels: s.levels()}, "longest edge 0.1 mm is below"},
		{"no heights", contour.Options{Tol: 0.02}, "the height of level plane 0 is not given"},
	} {
		_, _, err := contour.Surface(context.Background(), s, c.o)
		require.ErrorContains(t, err, c.want, c.name)
	}
}

func BenchmarkPocket(b *testing.B) {
	s := pocket(b)
	var rep contour.Report
	for b.Loop() {
		_, r, err := contour.Surface(context.Background(), s, s.options(0.02))
		require.NoError(b, err)
		rep = r
	}
	b.ReportMetric(float64(rep.Triangles), "triangles")
	b.ReportMetric(float64(rep.Evals), "evals")
	b.ReportMetric(rep.MaxDev*1000, "um-dense")
}
