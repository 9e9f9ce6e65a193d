package closing

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/part"
)

// axes is the frame of a half about the line: a along it, b away from it, c the way the meeting faces
// look. Closed, the point (a, b, c) of the lid lies at (a, b, -c) of the base.
type axes struct {
	o       geom.Vec3 // on the line
	along   geom.Vec3
	away    geom.Vec3 // of the base
	rise    float64   // +1: c is up in the part frame
	halfway float64   // of the beads
}

func frameOf(l Line, z float64) axes {
	f := axes{o: l.At.At(z), along: l.Dir.At(0), away: l.Dir.Right().At(0), rise: 1, halfway: l.Half}
	if l.Meets == part.Underside {
		f.rise = -1
	}
	return f
}

// in returns the coordinates of a part point as one of the base, or of the lid.
func (f axes) in(p geom.Vec3, lid bool) geom.Vec3 {
	v := p.Sub(f.o)
	b := v.Dot(f.away)
	if lid {
		b = -b
	}
	return geom.Vec3{X: v.Dot(f.along), Y: b, Z: f.rise * v.Z}
}

// out returns the part point of coordinates of the base, or of the lid.
func (f axes) out(q geom.Vec3, lid bool) geom.Vec3 {
	b := q.Y
	if lid {
		b = -b
	}
	p := f.o.Add(f.along.Scale(q.X)).Add(f.away.Scale(b))
	p.Z += f.rise * q.Z
	return p
}

// half is one half of the pack as triangles in its frame.
type half struct {
	axes
	lid bool
	tri [][3]geom.Vec3
	box geom.Box3

	sheet    int      // triangles of the sheet; those behind it are of products
	products []string // the features that hold them, by triangle from there on
}

func newHalf(f axes, lid bool) *half { return &half{axes: f, lid: lid, box: geom.EmptyBox3()} }

// take adds the triangles of a mesh, in the part frame, that reach beyond the beads on this side.
func (h *half) take(m *mesh.Mesh) {
	v := make([]geom.Vec3, len(m.V))
	for i, p := range m.V {
		v[i] = h.in(p, h.lid)
	}
	for _, t := range m.T {
		h.add(v[t[0]], v[t[1]], v[t[2]])
	}
	h.sheet = len(h.tri)
}

func (h *half) add(a, b, c geom.Vec3) {
	if max(a.Y, b.Y, c.Y) <= h.halfway {
		return
	}
	h.tri = append(h.tri, [3]geom.Vec3{a, b, c})
	h.box = h.box.Hold(a).Hold(b).Hold(c)
}

// grid is a lattice over the half: lines across the fold line at ia = a / step, and along each either
// places b = ib step, or circles about the fold line of radius b.
type grid struct {
	step   float64
	a0     int // of the first line
	na, nb int
	top    []float64 // greatest c at the place, or greatest angle from the flange plane; -Inf nothing there
	tri    []int32
}

func newGrid(step float64, box geom.Box3, reach float64) *grid {
	g := &grid{step: step, a0: int(math.Floor(box.Min.X / step)), nb: int(math.Ceil(reach/step)) + 1}
	g.na = int(math.Ceil(box.Max.X/step)) - g.a0 + 1
	g.top, g.tri = make([]float64, g.na*g.nb), make([]int32, g.na*g.nb)
	for i := range g.top {
		g.top[i], g.tri[i] = math.Inf(-1), -1
	}
	return g
}

func (g *grid) put(i, j int, v float64, k int32) {
	if at := i*g.nb + j; v > g.top[at] {
		g.top[at], g.tri[at] = v, k
	}
}

// each calls visit with the sections of all triangles of a half by the lines of the lattice.
func (g *grid) each(h *half, visit func(i int, k int32, p, q geom.Vec2)) {
	for k, t := range h.tri {
		lo := int(math.Ceil(min(t[0].X, t[1].X, t[2].X) / g.step))
		hi := int(math.Floor(max(t[0].X, t[1].X, t[2].X) / g.step))
		for i := lo; i <= hi; i++ {
			if p, q, ok := section(t, float64(i)*g.step); ok {
				visit(i-g.a0, int32(k), p, q)
			}
		}
	}
}

// section returns the stretch of a triangle at a, as points (b, c).
func section(t [3]geom.Vec3, a float64) (p, q geom.Vec2, ok bool) {
	var pts [3]geom.Vec2
	n := 0
	for e := range 3 {
		u, v := t[e], t[(e+1)%3]
		if (u.X < a) == (v.X < a) {
			continue
		}
		s := (a - u.X) / (v.X - u.X)
		pts[n] = geom.Vec2{X: u.Y + s*(v.Y-u.Y), Y: u.Z + s*(v.Z-u.Z)}
		n++
	}
	return pts[0], pts[1], n == 2
}

// columns fills the lattice with the greatest c over every place.
func (g *grid) columns(h *half) {
	g.each(h, func(i int, k int32, p, q geom.Vec2) {
		if p.X > q.X {
			p, q = q, p
		}
		for j := max(0, int(math.Ceil(p.X/g.step))); float64(j)*g.step <= q.X && j < g.nb; j++ {
			c := max(p.Y, q.Y)
			if q.X > p.X {
				c = p.Y + (q.Y-p.Y)*(float64(j)*g.step-p.X)/(q.X-p.X)
			}
			g.put(i, j, c, k)
		}
	})
}

// arcs fills the lattice with the greatest angle from the flange plane on every circle about the line.
func (g *grid) arcs(h *half) {
	g.each(h, func(i int, k int32, p, q geom.Vec2) {
		d := q.Sub(p)
		dd := d.Dot(d)
		least := 0.0 // parameter of the point nearest to the line
		if dd > 0 {
			least = max(0, min(1, -p.Dot(d)/dd))
		}
		lo := p.Add(d.Scale(least)).Norm()
		hi := max(p.Norm(), q.Norm())
		for j := int(math.Ceil(lo / g.step)); float64(j)*g.step <= hi && j < g.nb; j++ {
			r := float64(j) * g.step
			// |p + u d|^2 = r^2
			half, rest := p.Dot(d), p.Dot(p)-r*r
			root := half*half - dd*rest
			if dd == 0 || root < 0 {
				continue
			}
			for _, u := range [...]float64{(-half - math.Sqrt(root)) / dd, (-half + math.Sqrt(root)) / dd} {
				if u < 0 || u > 1 {
					continue
				}
				x := p.Add(d.Scale(u))
				g.put(i, j, math.Atan2(x.Y, x.X), k)
			}
		}
	})
}
