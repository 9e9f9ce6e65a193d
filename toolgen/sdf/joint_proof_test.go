package sdf_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/sdf"
)

// side is the value of a member's wall, worked out here from its description alone: positive in the
// member for a sunk one, positive outside it for a raised one (the air in both cases).
func side(m sdf.Member, p geom.Vec3) float64 {
	v := (m.Wall.D(p.Z) - m.Outline.At(p.Plan()).D) * m.Wall.Draft.Cos()
	if m.Wall.Raised() {
		return -v
	}
	return v
}

// sharp reports whether p lies in the material of the members left sharp, and the least distance to
// any wall or level, the yardstick of how far roundings can be.
func sharp(ms []sdf.Member, p geom.Vec3) (in bool, near float64) {
	column := func(i int) int {
		h := ms[i].Host
		for h >= 0 && !ms[h].Wall.Raised() {
			h = ms[h].Host
		}
		return h
	}
	near = math.Abs(p.Z)
	for _, m := range ms {
		near = min(near, math.Abs(side(m, p)), math.Abs(p.Z-m.Wall.End))
	}
	for col := -1; col < len(ms); col++ {
		top := 0.0
		if col >= 0 {
			if !ms[col].Wall.Raised() || side(ms[col], p) > 0 {
				continue
			}
			top = ms[col].Wall.End
		}
		if p.Z > top {
			continue
		}
		cut := false
		for i, m := range ms {
			if m.Wall.Raised() || column(i) != col || p.Z <= m.Wall.End {
				continue
			}
			all := true
			for h := i; h != col; h = ms[h].Host {
				all = all && side(ms[h], p) > 0
			}
			cut = cut || all
		}
		in = in || !cut
	}
	return in, near
}

// Far from every edge the rounded cluster has material where the sharp one has.
func TestJointKeepsTheSharpBody(t *testing.T) {
	for name, ms := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			s := joint(t, ms...)
			r := rand.New(rand.NewPCG(15, 16))
			seen := [2]int{}
			for range 20000 {
				p := within(r, s.j.Box(), 4)
				in, near := sharp(ms, p)
				// No rounding of at most 4 mm in these scenes moves the surface by 3 mm.
				if near < 3 {
					continue
				}
				require.Equal(t, in, s.j.At(p).D < 0, "%v", p)
				if in {
					seen[1]++
				} else {
					seen[0]++
				}
			}
			require.Greater(t, min(seen[0], seen[1]), 20)
		})
	}
}

// A ball of the floor radius that clears the sharp body is never cut by the rounded one, and a ball
// of the edge radius inside the host plane's own material never sticks out. Neither knows of the
// search for the resting ball.
func TestLegalBallsAreNeverCut(t *testing.T) {
	for name, ms := range scenes(t) {
		t.Run(name, func(t *testing.T) {
			s := joint(t, ms...)
			r := rand.New(rand.NewPCG(17, 18))
			fill, edge := 0.0, math.Inf(1)
			for _, m := range ms {
				if m.Wall.Raised() {
					fill = max(fill, m.Wall.HostR)
				} else {
					fill = max(fill, m.Wall.EndR)
					if m.Host < 0 {
						edge = min(edge, m.Wall.HostR)
					}
				}
			}
			air, ground := 0, 0
			for range 8000 {
				p := surfacePoint(r, s.j, s.j.Box(), 3, 2*fill)
				if room(ms, p) >= fill {
					air++
					require.GreaterOrEqual(t, s.j.At(p).D, fill-1e-8, "%v", p)
				}
				if math.IsInf(edge, 1) {
					continue
				}
				in := -p.Z
				for _, m := range ms {
					if m.Host < 0 && !m.Wall.Raised() {
						in = min(in, -side(m, p))
					}
				}
				if in >= edge {
					ground++
					require.LessOrEqual(t, s.j.At(p).D, -edge+1e-8, "%v", p)
				}
			}
			t.Logf("%d balls in the air, %d in the ground", air, ground)
			require.Greater(t, air, 200)
		})
	}
}

// room returns a lower bound of the distance from p to the sharp body: the least over its columns
// and levels of the largest value of a surface that bounds that level.
func room(ms []sdf.Member, p geom.Vec3) float64 {
	d := math.Inf(1)
	for col := -1; col < len(ms); col++ {
		top, own := 0.0, math.Inf(-1)
		if col >= 0 {
			if !ms[col].Wall.Raised() {
				continue
			}
			top, own = ms[col].Wall.End, side(ms[col], p)
		}
		zs := []float64{top}
		for _, m := range ms {
			zs = append(zs, m.Wall.End)
		}
		for _, z := range zs {
			if z > top {
				continue
			}
			// The level at z is cut by every sunk member below it, within all its hosts.
			v := max(p.Z-z, own)
			for i, m := range ms {
				if m.Wall.Raised() || m.Wall.End >= z-1e-9 {
					continue
				}
				cut, h := math.Inf(1), i
				for ; h >= 0 && !ms[h].Wall.Raised(); h = ms[h].Host {
					cut = min(cut, side(ms[h], p))
				}
				if h == col {
					v = max(v, cut)
				}
			}
			d = min(d, v)
		}
	}
	return d
}

// Two upright channels of one depth cross at a right angle: the corner of land between them is an
// eighth of a sphere, its upright edge a cylinder, and the floor fillet round its foot a torus.
func TestRightAngledCrossingInClosedForm(t *testing.T) {
	const re, rf, depth = 3.0, 4.0, 20.0
	a := sdf.Member{Feature: "a", Outline: rect(t, 200, 40, 12, 0, 0, 0), Wall: sunk(0, -depth, 0, re, rf), Host: -1}
	b := sdf.Member{Feature: "b", Outline: rect(t, 40, 200, 12, 0, 0, 0), Wall: sunk(0, -depth, 0, re, rf), Host: -1}
	s := joint(t, a, b)
	r := rand.New(rand.NewPCG(19, 20))
	axis := geom.Vec2{X: 20 + re, Y: 20 + re}
	for range 5000 {
		turn := geom.Angle(r.Float64() * math.Pi / 2)
		out := geom.Vec2{X: -1}.Turn(turn) // from the axis into the crossing
		off := re + (r.Float64()-0.5)*1.5
		rise := r.Float64() * math.Pi / 2
		p := axis.Add(out.Scale(off * math.Cos(rise))).At(-re + off*math.Sin(rise))
		h, sure := s.j.Certain(p)
		require.InDelta(t, off-re, h.D, 1e-8, "sphere at %v", p)
		require.True(t, sure)
		up := -re - r.Float64()*(depth-re-rf)
		p = axis.Add(out.Scale(off)).At(up)
		require.InDelta(t, off-re, s.j.At(p).D, 1e-8, "edge at %v", p)
		// The fillet ball's centre runs on a circle of radius re + rf at height rf over the floor.
		w, low := rf+(r.Float64()-0.5)*1.5, r.Float64()*math.Pi/2
		p = axis.Add(out.Scale(re + rf - w*math.Cos(low))).At(-depth + rf - w*math.Sin(low))
		h, sure = s.j.Certain(p)
		require.InDelta(t, rf-w, h.D, 1e-8, "torus at %v", p)
		require.True(t, sure)
		g := out.Scale(math.Cos(low)).At(math.Sin(low))
		require.Less(t, g.Sub(h.G).Norm(), 1e-6, "torus at %v", p)
	}
}

// A rib runs upright into the upright wall of a pocket: the groove between both and the floor ends in
// an eighth of a sphere, and the grooves are cylinders of the same ball.
func TestRibIntoAWallInClosedForm(t *testing.T) {
	const rf, depth = 4.0, 20.0
	s := joint(t,
		sdf.Member{Feature: "pocket", Outline: rect(t, 110, 90, 15, 0, 0, 0), Wall: sunk(0, -depth, 0, 3, rf), Host: -1},
		sdf.Member{Feature: "rib", Outline: rect(t, 130, 9, 2, 0, 0, 0), Wall: raised(-depth, -8, 0, rf, 1), Host: 0},
	)
	r := rand.New(rand.NewPCG(25, 26))
	c := geom.Vec3{X: 55 - rf, Y: 4.5 + rf, Z: -depth + rf} // where the ball touches all three
	for range 5000 {
		into := geom.Vec3{X: r.Float64(), Y: -r.Float64(), Z: -r.Float64()}.Unit()
		w := rf + (r.Float64()-0.5)*1.5
		h, sure := s.j.Certain(c.Add(into.Scale(w)))
		require.InDelta(t, rf-w, h.D, 1e-8, "sphere at %v", into)
		require.Less(t, h.G.Add(into).Norm(), 1e-7)
		require.True(t, sure)
		across := geom.Vec3{X: into.X, Y: into.Y}.Unit()
		up := geom.Vec3{Z: r.Float64() * 3}
		require.InDelta(t, rf-w, s.j.At(c.Add(up).Add(across.Scale(w))).D, 1e-8, "groove at %v", into)
	}
}

// The corner of land between two drafted channels: the edge ball rests below land and both walls,
// its centre is where three planes meet.
func TestDraftedCrossingInClosedForm(t *testing.T) {
	const re = 3.0
	ms := []sdf.Member{
		{Feature: "a", Outline: rect(t, 200, 40, 12, 0, 0, 0), Wall: sunk(0, -20, 8, re, 4), Host: -1},
		{Feature: "b", Outline: rect(t, 40, 200, 12, 0, 0, 0), Wall: sunk(0, -25, 5, re, 4), Host: -1},
	}
	s := joint(t, ms...)
	// Wall of draft t over x = 20: (x - 20) cos t - z sin t = re at z = -re.
	at := func(draft geom.Angle) float64 { return 20 + (re-re*draft.Sin())/draft.Cos() }
	c := geom.Vec3{X: at(5 * deg), Y: at(8 * deg), Z: -re}
	na := geom.Vec3{Y: -(8 * deg).Cos(), Z: (8 * deg).Sin()}
	nb := geom.Vec3{X: -(5 * deg).Cos(), Z: (5 * deg).Sin()}
	r := rand.New(rand.NewPCG(27, 28))
	for range 5000 {
		n := na.Scale(r.Float64()).Add(nb.Scale(r.Float64())).Add(geom.Vec3{Z: r.Float64()}).Unit()
		w := re + (r.Float64()-0.5)*1.5
		h, sure := s.j.Certain(c.Add(n.Scale(w)))
		require.InDelta(t, w-re, h.D, 1e-8)
		require.Less(t, h.G.Sub(n).Norm(), 1e-7)
		require.True(t, sure)
	}
}

// A lug 2 mm from the edge of a pocket 38 mm deep must not show in the pocket's wall: its drafted
// wall, prolonged, would stand out by 38 (tan 10 deg - tan 6 deg) - 2 = 0.7 mm.
func TestLugBesideAPocketDoesNotShowInItsWall(t *testing.T) {
	ms := scenes(t)["lug near an edge"]
	both, alone := joint(t, ms...), joint(t, ms[0])
	for z := -30.0; z <= -8; z += 0.5 {
		for y := -8.0; y <= 8; y++ {
			p := geom.Vec3{X: 55 + z*(6*deg).Tan(), Y: y, Z: z}
			require.InDelta(t, 0, both.j.At(p).D, 1e-9)
			require.Equal(t, alone.j.At(p).G, both.j.At(p).G)
		}
	}
}

func TestRadiiOfAClusterMustGoTogether(t *testing.T) {
	ms := func(change func([]sdf.Member)) []sdf.Member {
		m := []sdf.Member{
			{Feature: "a", Outline: slot(t, 120, 30, 0, 0, 0), Wall: sunk(0, -15, 6, 3, 4), Host: -1},
			{Feature: "b", Outline: slot(t, 120, 36, 5, 2, 90), Wall: sunk(0, -22, 8, 3, 4), Host: -1},
			{Feature: "lug", Outline: rect(t, 18, 12, 3, 80, 0, 0), Wall: raised(0, 9, 10, 2, 1), Host: -1},
		}
		change(m)
		return m
	}
	for want, change := range map[string]func([]sdf.Member){
		"edge radii 3.000 mm (a) and 2.000 mm (b) meet on one level":     func(m []sdf.Member) { m[1].Wall.HostR = 2 },
		"floor radii 4.000 mm (a) and 2.500 mm (b) meet in one cluster":  func(m []sdf.Member) { m[1].Wall.EndR = 2.5 },
		"lug: root radius 5.000 mm is larger than 4.000 mm":              func(m []sdf.Member) { m[2].Wall.HostR = 5 },
		"a: radius 0.000 mm is below 0.300 mm":                           func(m []sdf.Member) { m[0].Wall.HostR = 0 },
		"lug: radius 0.050 mm is below 0.100 mm":                         func(m []sdf.Member) { m[2].Wall.EndR = 0.05 },
		"lug: starts at height 0.0000 mm, its host's level is at -15.00": func(m []sdf.Member) { m[2].Host = 0 },
		"b: the sum of both roundings":                                   func(m []sdf.Member) { m[1].Wall.End = -3 },
		"lug: host 7 is no member":                                       func(m []sdf.Member) { m[2].Host = 7 },
		"lug: stands on itself":                                          func(m []sdf.Member) { m[2].Host = 2 },
	} {
		_, err := newJoint(ms(change))
		require.ErrorContains(t, err, want)
	}
	_, err := newJoint(ms(func([]sdf.Member) {}))
	require.NoError(t, err)
}

// In the groove of two ridges of about one height the ball rolls over both crowns at once and has two places
// to rest. No ball that clears both ridges, each by itself, lies nearer than the one that was found.
func TestNoLegalBallIsNearer(t *testing.T) {
	for _, c := range []struct{ turn, height float64 }{{50.4, 4.5}, {50.4, 4.9}, {62, 4.5}, {76, 4.5}} {
		const r = 1.5
		a := sdf.Member{Feature: "a", Outline: rect(t, 60, 14, 6.9, 0, 0, 0), Wall: raised(0, 4.5, 6, r, 0.8), Host: -1}
		b := sdf.Member{Feature: "b", Outline: rect(t, 60, 14, 6.9, 2, 0, c.turn), Wall: raised(0, c.height, 6, r, 0.8), Host: -1}
		both, one, two := joint(t, a, b).j, joint(t, a).j, joint(t, b).j
		rng := rand.New(rand.NewPCG(19, 20))
		tried := 0
		for tried < 2000 {
			p := geom.Vec3{X: 6 + 14*rng.Float64(), Y: 6 + 3*rng.Float64(), Z: 3 + 3*rng.Float64()}
			for range 4 {
				s := both.At(p)
				p = p.Sub(s.G.Scale(s.D))
			}
			s := both.At(p)
			clear := func(x geom.Vec3) (sdf.Sample, float64) {
				u, v := one.At(x), two.At(x)
				if v.D < u.D {
					u, v = v, u
				}
				return u, v.D
			}
			x := p.Add(s.G.Scale(r - s.D)).Add(geom.Vec3{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Scale(0.2))
			other := 0.0
			for range 60 { // out of the nearer ridge, in turn
				var u sdf.Sample
				u, other = clear(x)
				x = x.Add(u.G.Scale(max(0, r-u.D)))
			}
			if u, _ := clear(x); u.D < r-1e-9 || other > r+0.1 {
				continue // no groove, or not out yet
			}
			tried++
			require.Greater(t, s.D, r-x.Sub(p).Norm()-1e-6, "turn %g, height %g, at %v", c.turn, c.height, p)
		}
	}
}
