package contour

import (
	"context"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

const (
	// kappa sizes the finest regular cell against the chord sqrt(8 R tol); leaves are taken up to
	// kappaLeaf. Values between 0.8 and 1.6 gave the same result within a few per cent (measured).
	kappa, kappaLeaf = 1.25, 1.6
	// foldCap is the largest cell against the smallest radius in it: larger ones fold.
	foldCap = 0.7
	// spare is the number of halvings below the finest regular cell: failing cells use fewer than
	// extra of them, the re-mesh rounds the rest.
	spare, extra = 7, 3
	// rootSize is the largest root cell, mm.
	rootSize = 12
	halfDiag = 0.8660254037844388 // sqrt(3)/2, rounded up by the slack in use
)

// lattice places integer corners in space. Every sign is taken at a lattice corner whose
// coordinates come from pos alone, so all cells round a corner agree on it.
type lattice struct {
	o     geom.Vec3
	u     float64 // unit, mm
	shift uint    // a root cell is 1 << shift units
	n     [3]int32
	fine  int32 // finest regular cell, units
}

// cell is a cube of the lattice, units.
type cell struct{ x, y, z, s int32 }

func (l *lattice) pos(x, y, z float64) geom.Vec3 {
	return geom.Vec3{X: l.o.X + float64(x*l.u), Y: l.o.Y + float64(y*l.u), Z: l.o.Z + float64(z*l.u)}
}

func (l *lattice) corner(c cell, i int) geom.Vec3 {
	return l.pos(float64(c.x+c.s*int32(i&1)), float64(c.y+c.s*int32(i>>1&1)), float64(c.z+c.s*int32(i>>2)))
}

func (l *lattice) centre(c cell) geom.Vec3 {
	h := float64(c.s) / 2
	return l.pos(float64(c.x)+h, float64(c.y)+h, float64(c.z)+h)
}

func (l *lattice) box(c cell) geom.Box3 { return geom.Box3{Min: l.corner(c, 0), Max: l.corner(c, 7)} }

// root returns the cube of a root cell.
func (l *lattice) root(i int) cell {
	z := int32(i) % l.n[2]
	y := int32(i) / l.n[2] % l.n[1]
	x := int32(i) / (l.n[2] * l.n[1])
	return cell{x << l.shift, y << l.shift, z << l.shift, 1 << l.shift}
}

// edge reports whether the cell touches the border of the region in plan.
func (l *lattice) edge(c cell) bool {
	return c.x == 0 || c.y == 0 || c.x+c.s == l.n[0]<<l.shift || c.y+c.s == l.n[1]<<l.shift
}

// newLattice fits root cells round the box so that the ladder of halvings hits the finest cell for the
// smallest radius r.
func newLattice(f *field, r, tol float64) lattice {
	b := f.Box()
	d := b.Size()
	h := max(d.X, d.Y, d.Z) / 4
	if r > 0 && !math.IsInf(r, 1) {
		h = min(h, kappa*math.Sqrt(8*r*tol), foldCap*r)
	}
	h = max(h, 4*tol)
	k := uint(0)
	for h*float64(int32(2)<<k) <= rootSize {
		k++
	}
	l := lattice{u: h / (1 << spare), shift: k + spare, fine: 1 << spare}
	size := float64(int32(1)<<l.shift) * l.u
	b = b.Grow(3 * h)
	d = b.Size()
	l.n = [3]int32{int32(d.X/size) + 1, int32(d.Y/size) + 1, int32(d.Z/size) + 1}
	// Centre the region, but keep lattice planes off the level planes: the host plane lies 0.38 of a
	// finest cell above one.
	l.o = geom.Vec3{
		X: b.Centre().X - float64(l.n[0])*size/2 + 0.0137*h,
		Y: b.Centre().Y - float64(l.n[1])*size/2 - 0.0211*h,
	}
	host := f.z[f.host()]
	l.o.Z = host - 0.381966*h - h*math.Ceil((host-b.Min.Z)/h)
	for l.o.Z+float64(l.n[2])*size < b.Max.Z {
		l.n[2]++
	}
	return l
}

// surveyGrid is the number of balls along the longest side of the box in which the smallest radius is
// sought: one ball round all would do, but a source may see more in several.
const surveyGrid = 16

// tightest returns the smallest radius of curvature of the source, mm; +Inf if nothing is curved.
func tightest(f *field) float64 {
	b := f.Box()
	d := b.Size()
	size := max(d.X, d.Y, d.Z) / surveyGrid
	r := math.Inf(1)
	for x := b.Min.X + size/2; x < b.Max.X+size/2; x += size {
		for y := b.Min.Y + size/2; y < b.Max.Y+size/2; y += size {
			for z := b.Min.Z + size/2; z < b.Max.Z+size/2; z += size {
				s := f.Survey(geom.Vec3{X: x, Y: y, Z: z}, size*halfDiag*1.001)
				if s.Curved && s.Radius > 0 {
					r = min(r, s.Radius)
				}
			}
		}
	}
	return r
}

// tree is the octree of one root cell.
type tree struct {
	nodes []node
	cells []placed // leaves with a vertex, in order of descent
}

type node struct {
	kid  int32 // first of eight children; 0: leaf
	vert int32 // index in cells, then of the vertex; -1: none
}

type placed struct {
	cell
	node int32
	mask uint8 // bit i: corner i is in material
	v    vertex
}

// vertex is a point of the surface with the field's word on it.
type vertex struct {
	p  geom.Vec3
	g  geom.Vec3
	id piece.ID
}

// mark asks for cells of at most size near a place.
type mark struct {
	at     geom.Vec3
	within float64
	size   float64
}

// octree builds the trees of all root cells.
func (r *run) octree(marks []mark) error {
	first := r.trees == nil
	if first {
		least := tightest(r.f)
		r.l, r.bend = newLattice(r.f, least, r.tol), 1/least
		if l := &r.l; r.o.Prune != nil {
			r.f.atlas = sdf.NewAtlas(r.o.Prune, l.o, float64(int32(1)<<l.shift)*l.u, l.n)
		}
		r.trees = make([]tree, r.l.n[0]*r.l.n[1]*r.l.n[2])
	}
	return r.each(len(r.trees), 1, func(p *probe, lo, hi int) {
		for i := lo; i < hi; i++ {
			c := r.l.root(i)
			box := r.l.box(c)
			b := builder{ctx: r.ctx, l: &r.l, p: p, tol: r.tol}
			for _, m := range marks {
				if box.Dist(m.at) <= m.within {
					b.marks = append(b.marks, m)
				}
			}
			if !first && len(b.marks) == 0 {
				continue // as it was
			}
			b.t.nodes = append(b.t.nodes, node{vert: -1})
			b.grow(0, c, nil, 0)
			r.trees[i] = b.t
		}
	})
}

// builder grows one tree.
type builder struct {
	ctx   context.Context
	l     *lattice
	p     *probe
	tol   float64
	marks []mark
	t     tree
}

// cube keeps the 27 lattice samples that eight sibling cells share.
type cube struct {
	f   sdf.Surveyor // of their parent
	s   [27]sdf.Sample
	has uint32
}

// at returns the sample at corner i of child kid of c.
func (q *cube) at(b *builder, c cell, kid, i int) sdf.Sample {
	x, y, z := kid&1+i&1, kid>>1&1+i>>1&1, kid>>2+i>>2
	k := x + 3*y + 9*z
	if q.has>>k&1 == 0 {
		h := c.s / 2
		q.s[k] = b.corner1(q.f, b.l.pos(float64(c.x+h*int32(x)), float64(c.y+h*int32(y)), float64(c.z+h*int32(z))))
		q.has |= 1 << k
	}
	return q.s[k]
}

// doubt is the value, mm, up to which the sign at a lattice corner is left to the source itself:
// copies of it agree to rounding only, and all cells round a corner must see the same sign.
const doubt = 1e-7

// corner1 samples a field at a lattice corner.
func (b *builder) corner1(f sdf.Surveyor, q geom.Vec3) sdf.Sample {
	b.p.n++
	s := f.At(q)
	if math.Abs(s.D) < doubt {
		s = b.p.f.At(q)
	}
	return s
}

// grow decides the cell of node n; up holds the samples of its parent's cube, of which it is the
// child kid.
func (b *builder) grow(n int32, c cell, up *cube, kid int) {
	if c.s > b.l.fine && b.ctx.Err() != nil {
		return // the tree is thrown away
	}
	own := cube{f: b.p.f.near(b.l.centre(c), float64(c.s)*b.l.u)}
	b.p.n++
	mid := own.f.At(b.l.centre(c))
	rho := float64(c.s) * b.l.u * halfDiag * (1 + 1e-9)
	if math.Abs(mid.D) > rho && !b.doubted(c, math.Abs(mid.D)-rho) {
		return
	}
	own.s[13], own.has = mid, 1<<13
	corners := func() (s [8]sdf.Sample) {
		parent := cell{c.x - c.s*int32(kid&1), c.y - c.s*int32(kid>>1&1), c.z - c.s*int32(kid>>2), 2 * c.s}
		for i := range s {
			if up != nil {
				s[i] = up.at(b, parent, kid, i)
			} else {
				s[i] = b.corner1(own.f, b.l.corner(c, i))
			}
			k := i&1*2 + i>>1&1*6 + i>>2*18
			own.s[k] = s[i]
			own.has |= 1 << k
		}
		return s
	}
	switch v, mask, verdict := b.judge(c, own.f, rho, mid, corners); verdict {
	case leaf:
		b.t.nodes[n].vert = int32(len(b.t.cells))
		b.t.cells = append(b.t.cells, placed{c, n, mask, v})
	case divide:
		kids := int32(len(b.t.nodes))
		b.t.nodes[n].kid = kids
		for range 8 {
			b.t.nodes = append(b.t.nodes, node{vert: -1})
		}
		h := c.s / 2
		for i := range 8 {
			b.grow(kids+int32(i), cell{c.x + h*int32(i&1), c.y + h*int32(i>>1&1), c.z + h*int32(i>>2), h}, &own, i)
		}
	}
}

type verdict uint8

const (
	empty verdict = iota
	leaf
	divide
)

// judge says whether a cell near the surface is empty, holds one vertex or must be divided.
func (b *builder) judge(c cell, f sdf.Surveyor, rho float64, mid sdf.Sample, corners func() [8]sdf.Sample) (vertex, uint8, verdict) {
	h := float64(c.s) * b.l.u
	if b.marked(c, h) {
		return vertex{}, 0, divide
	}
	sv := f.Survey(b.l.centre(c), rho)
	if sv.Planes == 0 && !sv.Curved {
		if !b.doubted(c, 0) {
			return vertex{}, 0, empty
		}
		sv.Curved, sv.Radius = true, h
	}
	most := math.Inf(1) // largest cell allowed
	if sv.Curved {
		most = min(kappaLeaf*math.Sqrt(8*sv.Radius*b.tol), foldCap*sv.Radius)
		most = max(most, 2*b.tol)
	}
	if h > 2*most && c.s > b.l.fine {
		return vertex{}, 0, divide // whatever the corners say
	}
	s := corners()
	mask, least := uint8(0), math.Abs(mid.D)
	for i := range s {
		if s[i].D < 0 {
			mask |= 1 << i
		}
		least = min(least, math.Abs(s[i].D))
	}
	deeper := c.s > b.l.fine>>extra
	if mask == 0 || mask == 255 {
		switch {
		case sv.Curved && least <= h*h/4/sv.Radius && deeper:
			return vertex{}, 0, divide // the surface may bulge in between the corners
		case !sv.Curved && sv.Planes > 1 && c.s > b.l.fine:
			return vertex{}, 0, divide // a ridge may
		}
		return vertex{}, 0, empty
	}
	if h > most && deeper {
		return vertex{}, 0, divide
	}
	v, inside, left := b.place(c, &s, mid)
	flat := !sv.Curved && sv.Planes == 1
	if deeper && !flat && (!inside || !simple[mask] || (!sv.Curved && left > 2*b.tol)) {
		return vertex{}, 0, divide
	}
	return v, mask, leaf
}

// doubted reports whether a mark doubts that a cell is empty which keeps at least spare away from the
// surface by the word of the field: where balls have two places to rest that may be too much.
func (b *builder) doubted(c cell, spare float64) bool {
	for _, m := range b.marks {
		if spare <= m.within && b.l.box(c).Dist(m.at) <= m.within {
			return true
		}
	}
	return false
}

// marked reports whether a mark asks for smaller cells here.
func (b *builder) marked(c cell, h float64) bool {
	if c.s == 1 {
		return false
	}
	for _, m := range b.marks {
		if h > m.size*1.001 && b.l.box(c).Dist(m.at) <= m.within {
			return true
		}
	}
	return false
}
