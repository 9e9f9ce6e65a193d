package formtest

import (
	"fmt"
	"math"

	"platen/toolgen/form"
	"platen/toolgen/geom"
)

// Problem is a forming problem with known answers.
type Problem struct {
	Name    string
	Source  string // of the answers
	Long    bool   // takes more than a second or two
	Tool    form.Tool
	Setup   form.Setup
	Options form.Options
	Checks  []Check
}

// Check is one known answer.
type Check struct {
	Name string
	Want float64
	Rel  float64 // allowed error, as a share of Want
	Get  func(*form.Sheet, *form.Finder) float64
}

// Problems returns the corpus.
func Problems() []Problem {
	var ps []Problem
	ps = append(ps, bubbles()...)
	ps = append(ps, squares()...)
	ps = append(ps, cones()...)
	ps = append(ps, troughs()...)
	ps = append(ps, vessels()...)
	ps = append(ps, elasticCones()...)
	ps = append(ps, elasticCups()...)
	return append(ps, box())
}

// round returns the setup of a sheet clamped on a ring of the given radius at z = 0.
func round(radius float64) form.Setup {
	s := form.LevelFrame(Box2(2*radius, 2*radius), 0, 0)
	s.Round = true
	return s
}

// settle are steps enough for a free bubble to come to rest.
var settle = form.Options{Steps: 1500, Hold: 6000, Levels: -1}

// height returns how deep the sheet hangs.
func height(sh *form.Sheet, _ *form.Finder) float64 {
	z := 0.0
	for _, n := range sh.Nodes {
		z = min(z, n.At.Z)
	}
	return -z
}

func bubbles() []Problem {
	const a, mu, t0 = 50.0, 0.1, 1.0
	var ps []Problem
	for _, c := range []struct{ k, pole float64 }{{0, 1.2}, {0, 1.3}, {0, 1.5}, {0.1, 1.3}, {0.1, 1.5}} {
		b := Blow(form.Rubber(1, c.k), c.pole)
		s := round(a)
		s.Gauge, s.Law, s.Pressure = t0, form.Rubber(mu, c.k), b.Pressure*mu*t0/a
		o := settle
		o.Mesh = a / 20
		ps = append(ps, Problem{
			Name:   fmt.Sprintf("bubble k %g pole %g", c.k, c.pole),
			Source: "derived: shooting integration of the membrane of revolution, Blow",
			Tool:   Nothing{}, Setup: s, Options: o,
			Checks: []Check{
				{"height", b.Height * a, 0.003, height},
				{"pole stretch", b.Pole, 0.005, func(sh *form.Sheet, _ *form.Finder) float64 {
					t, _ := sh.Mean(func(m geom.Vec3) bool { return m.Plan().Norm() < 0.1*a })
					return math.Sqrt(t0 / t)
				}},
			},
		})
	}
	return ps
}

func squares() []Problem {
	const a, mu, t0 = 50.0, 0.1, 1.0
	var ps []Problem
	for _, c := range []struct{ p, h float64 }{{0.5, 0.4181}, {1.0, 0.6007}, {1.25, 0.7036}, {1.5, 0.8378}} {
		s := form.LevelFrame(Box2(2*a, 2*a), 0, 0)
		s.Gauge, s.Law, s.Pressure = t0, form.Rubber(mu, 0), c.p*mu*t0/a
		o := settle
		o.Mesh = a / 20
		source := "CalculiX 2.20, quarter model, 12 x 12 S8R shells, t0/a = 0.01, nearly incompressible neo-Hookean, pinned rim"
		if c.p > 1 {
			source = "derived: an earlier program of the same method, h = a/40"
		}
		ps = append(ps, Problem{
			Name: fmt.Sprintf("square p %g", c.p), Source: source, Long: c.p == 1.25,
			Tool: Nothing{}, Setup: s, Options: o,
			Checks: []Check{{"height", c.h * a, 0.005, height}},
		})
	}
	return ps
}

// wallOf returns a check of t/t0 at the share u of the slant height of a wall from (half, 0) to
// (0, -half tan a): the mean over a band of 0.04 of it, around the axis or along the middle of a
// trough.
func wallOf(name string, half float64, a geom.Angle, u, want, rel float64, turned bool) Check {
	return Check{name, want, rel, func(sh *form.Sheet, f *form.Finder) float64 {
		var ps []geom.Vec3
		for i := range 20 {
			v := u + 0.04*((float64(i)+0.5)/20-0.5)
			d, z := half*(1-v), -half*a.Tan()*v
			for j := range 120 {
				if turned {
					ps = append(ps, geom.Vec2{X: d}.Turn(geom.Angle(j)*3*geom.Degree).At(z))
					continue
				}
				side := math.Copysign(d, float64(j%2)-0.5)
				ps = append(ps, geom.Vec3{X: side, Y: float64(j) - 59.5, Z: z})
			}
		}
		return f.Over(ps).Mean / sh.Gauge
	}}
}

var slants = [...]float64{0.25, 0.5, 0.75}

func cones() []Problem {
	const r = 50.0
	var ps []Problem
	for _, deg := range []float64{30, 45, 60} {
		a := geom.Angle(deg) * geom.Degree
		s := round(r)
		s.Gauge, s.Law, s.Pressure = 1, form.EvenBubble(0.02), 0.09
		p := Problem{
			Name:   fmt.Sprintf("even bubble cone %g", deg),
			Source: "University of California, Berkeley, ME 221, Thermoforming: theoretical considerations: t/t0 = (1 + cos a)/2 (1 - s/S)^(1/cos a - 1)",
			Tool:   Turned{Vee(r, a)}, Setup: s, Options: form.Options{Mesh: r / 20, Steps: 3000},
		}
		for i, u := range slants {
			want := (1 + a.Cos()) / 2 * math.Pow(1-u, 1/a.Cos()-1)
			rel := [...]float64{0.01, 0.01, 0.03}[i]
			if deg == 60 {
				rel = 0.03
			}
			p.Checks = append(p.Checks, wallOf(fmt.Sprintf("s/S %g", u), r, a, u, want, rel, true))
		}
		ps = append(ps, p)
	}
	return ps
}

func troughs() []Problem {
	const w = 50.0
	var ps []Problem
	for _, deg := range []float64{45, 60} {
		for _, fine := range []bool{false, true} {
			a := geom.Angle(deg) * geom.Degree
			s := form.LevelFrame(Box2(2*w, 400), 0, 0)
			s.Gauge, s.Law, s.Pressure = 1, form.EvenBubble(0.02), 0.09
			p := Problem{
				Name:   fmt.Sprintf("even bubble trough %g", deg),
				Source: "derived: cylindrical bubble tangent to both walls, t/t0 = sin a / a (1 - s/S)^(tan a / a - 1)",
				Tool:   Long{Vee(w, a), 200}, Setup: s, Options: form.Options{Mesh: 2.5, Steps: 3000},
			}
			rel := [...]float64{0.03, 0.03, 0.05}
			if fine {
				p.Name, p.Long, p.Options, rel = p.Name+" fine", true, form.Options{Mesh: 1.25, Steps: 6000}, [...]float64{0.02, 0.02, 0.02}
			}
			for i, u := range slants {
				want := a.Sin() / float64(a) * math.Pow(1-u, a.Tan()/float64(a)-1)
				p.Checks = append(p.Checks, wallOf(fmt.Sprintf("s/S %g", u), w, a, u, want, rel[i], false))
			}
			ps = append(ps, p)
		}
	}
	return ps
}

// vessels are tools whose floor the even bubble meets before the wall is full.
func vessels() []Problem {
	even := func(name, source string, t form.Tool, r, mesh float64, checks ...Check) Problem {
		s := round(r)
		s.Gauge, s.Law, s.Pressure = 1, form.EvenBubble(0.02), 0.09
		return Problem{Name: name, Source: source, Tool: t, Setup: s, Options: form.Options{Mesh: mesh, Steps: 6000}, Checks: checks}
	}
	ball := Section{{A: geom.Vec2{X: far}, B: geom.Vec2{X: 50}}, {A: geom.Vec2{X: 50}, B: geom.Vec2{Y: -50}, C: geom.Vec2{}, R: -50}}
	a := math.Atan2(60, 10)
	at := func(s float64) (r, z float64) { return 30 - s*math.Cos(a), -s * math.Sin(a) }
	r35, z35 := at(35)
	return []Problem{
		even("even bubble hemisphere", "R. J. Crawford, Plastics Engineering, 3rd ed., 1998, Problem 4.10; derived: half the gauge everywhere",
			Turned{ball}, 50, 2.5,
			ringOf("pole", 1, -50, 0.5, 0.02), ringOf("45 degrees", 50*math.Sqrt2/2, -50*math.Sqrt2/2, 0.5, 0.02)),
		even("even bubble cup", "derived: dome, then 0.5 exp(-(L - R)/R) at the floor's centre; 0.5 exp(-z/R) on the wall",
			Turned{Cup(50, 75, 0)}, 50, 2.5,
			ringOf("floor centre", 1, -75, 0.5*math.Exp(-0.5), 0.03), ringOf("wall z/R 0.25", 50, -12.5, 0.5*math.Exp(-0.25), 0.03)),
		even("even bubble tumbler", "R. J. Crawford, Plastics Engineering, 3rd ed., 1998, Problem 4.11 (inputs); derived: cone law to the moment the pole meets the base",
			Turned{Lines(geom.Vec2{X: far}, geom.Vec2{X: 30}, geom.Vec2{X: 20, Y: -60}, geom.Vec2{Y: -60})}, 30, 1.25,
			ringOf("35 along the wall", r35, z35, 0.592/3, 0.03), ringOf("base centre", 0.5, -60, 0.482/3, 0.03)),
	}
}

// elasticCones are cones of a sheet with the law of rubber: far from the textbook's even bubble. The
// answers are those of 800 line elements on the meridian; Axial gives them again.
func elasticCones() []Problem {
	const r = 50.0
	var ps []Problem
	for _, c := range []struct {
		deg, k float64
		want   [3]float64
	}{
		{60, 0, [3]float64{0.585, 0.2985, 0.0765}},
		{60, 0.1, [3]float64{0.578, 0.3025, 0.0968}},
		{60, 0.3, [3]float64{0.571, 0.311, 0.132}},
		{45, 0.1, [3]float64{0.769, 0.6035, 0.385}},
	} {
		a := geom.Angle(c.deg) * geom.Degree
		s := round(r)
		s.Gauge, s.Law, s.Pressure = 1, form.Rubber(0.3, c.k), 0.09
		p := Problem{
			Name: fmt.Sprintf("cone %g k %g", c.deg, c.k), Source: "derived: meridian of 800 line elements",
			Tool: Turned{Vee(r, a)}, Setup: s, Options: form.Options{Mesh: 1.25, Steps: 1500},
		}
		for i, u := range slants {
			p.Checks = append(p.Checks, wallOf(fmt.Sprintf("s/S %g", u), r, a, u, c.want[i], [...]float64{0.03, 0.03, 0.05}[i], true))
		}
		ps = append(ps, p)
	}
	return ps
}

// ringOf returns a check of t/t0 around the axis at a radius and height.
func ringOf(name string, radius, z, want, rel float64) Check {
	return Check{name, want, rel, func(sh *form.Sheet, f *form.Finder) float64 {
		var ps []geom.Vec3
		for j := range 360 {
			ps = append(ps, geom.Vec2{X: radius}.Turn(geom.Angle(j)*geom.Degree).At(z))
		}
		return f.Over(ps).Mean / sh.Gauge
	}}
}

// elasticCups are straight cups 50 in radius and depth with a floor fillet of 5 and a sharp rim. The
// answers are those of Axial with a ramp so slow that a slower one changes nothing; faster ones, here
// or in space, bring the bubble down by inertia and leave up to 3 % more on the floor.
func elasticCups() []Problem {
	const r, depth = 50.0, 50.0
	var ps []Problem
	for _, c := range []struct {
		k           float64
		wall        [5]float64
		floor, half float64
		source      string
		rel, low    float64
		steps       int
	}{
		{0, [5]float64{0.6859, 0.5755, 0.3914, 0.2310, 0.1488}, 0.2982, 0.2342, "derived: Axial, 400 elements, 320000 steps", 0.015, 0.02, 6000},
		{0.1, [5]float64{0.6599, 0.5460, 0.3783, 0.2385, 0.1611}, 0.3256, 0.2592, "derived: Axial, 400 elements, 320000 steps", 0.015, 0.02, 6000},
		{0, [5]float64{0.688, 0.566, 0.388, 0.231, 0.149}, 0.3065, 0.242, "derived: another meridian of 800 line elements, ramp not slow", 0.02, 0.04, 2600},
		{0.1, [5]float64{0.6735, 0.547, 0.374, 0.236, 0.1595}, 0.321, 0.258, "derived: another meridian of 800 line elements, ramp not slow", 0.02, 0.04, 3000},
	} {
		s := round(r)
		s.Gauge, s.Law, s.Pressure = 1, form.Rubber(0.05, c.k), 0.09
		p := Problem{
			Name: fmt.Sprintf("cup k %g steps %d", c.k, c.steps), Source: c.source, Long: c.steps == 6000,
			Tool: Turned{Cup(r, depth, 5)}, Setup: s, Options: form.Options{Mesh: 1.25, Steps: c.steps, Alpha: 0.4, Least: 0.7},
		}
		for i, u := range [...]float64{0.1, 0.25, 0.5, 0.75, 0.9} {
			rel := c.rel
			if u == 0.9 {
				rel = c.low
			}
			p.Checks = append(p.Checks, ringOf(fmt.Sprintf("wall z/H %g", u), r, -u*depth, c.wall[i], rel))
		}
		p.Checks = append(p.Checks, ringOf("floor centre", 0.02*r, -depth, c.floor, c.rel), ringOf("floor r/R 0.5", 0.5*r, -depth, c.half, c.rel))
		ps = append(ps, p)
	}
	return ps
}

// box is a box with sharp edges: a soft sheet fills it but for its edges.
func box() Problem {
	s := form.LevelFrame(Box2(150, 100), 0, 0)
	s.Gauge, s.Law, s.Pressure = 2, form.Rubber(0.005, 0.3), 0.09
	return Problem{
		Name:   "box",
		Source: "R. J. Crawford, Plastics Engineering, 3rd ed., 1998, Example 4.7: 150 x 100 x 60 from 2 mm, mean wall 0.67 mm",
		Tool:   Box{150, 100, 60}, Setup: s,
		Checks: []Check{{"mean wall", 2.0 / 3, 0.0075, func(sh *form.Sheet, _ *form.Finder) float64 {
			t, _ := sh.Mean(func(geom.Vec3) bool { return true })
			return t
		}}},
	}
}
