package form

import (
	"math"
	"slices"

	"platen/toolgen/geom"
)

// Finder finds the formed sheet at points of the tool. It may be used from several goroutines.
type Finder struct {
	sh    *Sheet
	tris  []int32        // in the order of the leaves
	at    [][3]geom.Vec3 // their corners, side by side in memory as they are searched
	boxes []geom.Box3
	size  int // number of leaves, a power of two
}

// leafTriangles is how many triangles share a box.
const leafTriangles = 4

// Finder returns the finder of the sheet.
//
// SHAPE: a balanced tree of boxes over the triangles in the order of a space-filling curve.
func (sh *Sheet) Finder() *Finder {
	f := &Finder{sh: sh, tris: make([]int32, len(sh.Triangles)), size: 1}
	span := geom.EmptyBox3()
	for i := range sh.Nodes {
		span = span.Hold(sh.Nodes[i].At)
	}
	size := span.Size()
	scale := curveCells / max(size.X, size.Y, size.Z, 1e-9)
	keys := make([]uint64, len(f.tris))
	for k := range keys {
		q := sh.Middle(k).Sub(span.Min).Scale(scale)
		keys[k] = (spread(q.X)|spread(q.Y)<<1|spread(q.Z)<<2)<<32 | uint64(k)
	}
	slices.Sort(keys)
	for k, key := range keys {
		f.tris[k] = int32(key & math.MaxUint32)
	}
	for f.size*leafTriangles < len(f.tris) {
		f.size *= 2
	}
	f.at = make([][3]geom.Vec3, len(f.tris))
	for k, t := range f.tris {
		n := &sh.Triangles[t].N
		f.at[k] = [3]geom.Vec3{sh.Nodes[n[0]].At, sh.Nodes[n[1]].At, sh.Nodes[n[2]].At}
	}
	f.boxes = make([]geom.Box3, 2*f.size)
	f.build(1, f.at)
	return f
}

// curveCells is the number of steps of the space-filling curve along each axis.
const curveCells = 1023

// spread puts two zero bits between the bits of a coordinate from 0 to 1023.
func spread(x float64) uint64 {
	v := uint64(max(0, min(curveCells, x)))
	v = (v | v<<16) & 0x030000ff
	v = (v | v<<8) & 0x0300f00f
	v = (v | v<<4) & 0x030c30c3
	return (v | v<<2) & 0x09249249
}

// part returns how many of n triangles go to the first half of a node.
func part(n int) int { return (n + 1) / 2 }

func (f *Finder) build(node int, at [][3]geom.Vec3) {
	box := geom.EmptyBox3()
	if node >= f.size {
		for k := range at {
			box = box.Hold(at[k][0]).Hold(at[k][1]).Hold(at[k][2])
		}
		f.boxes[node] = box
		return
	}
	h := part(len(at))
	f.build(2*node, at[:h])
	f.build(2*node+1, at[h:])
	for _, b := range f.boxes[2*node : 2*node+2] {
		box.Min = geom.Vec3{X: min(box.Min.X, b.Min.X), Y: min(box.Min.Y, b.Min.Y), Z: min(box.Min.Z, b.Min.Z)}
		box.Max = geom.Vec3{X: max(box.Max.X, b.Max.X), Y: max(box.Max.Y, b.Max.Y), Z: max(box.Max.Z, b.Max.Z)}
	}
	f.boxes[node] = box
}

// Hit is the place of the formed sheet nearest to a point.
type Hit struct {
	Triangle  int
	At        geom.Vec3 // on the sheet
	Distance  float64   // from the point, mm
	Thickness float64   // of the sheet there, mm
	Webbing   bool      // a corner is webbing: the thickness means nothing
	Bridged   bool      // a corner is held off the tool
}

// Nearest returns the place of the formed sheet nearest to p.
func (f *Finder) Nearest(p geom.Vec3) Hit {
	q := search{p: p, far2: math.Inf(1)}
	f.search(&q, 1, 0, len(f.tris))
	best := Hit{Triangle: int(f.tris[q.leaf]), At: q.at, Distance: math.Sqrt(q.far2)}
	t := &f.sh.Triangles[best.Triangle]
	best.Thickness = t.Thickness
	for _, i := range t.N {
		best.Webbing = best.Webbing || f.sh.Nodes[i].Status == Webbing
		best.Bridged = best.Bridged || f.sh.Nodes[i].Status == Bridged
	}
	return best
}

// search is a search in progress.
type search struct {
	p    geom.Vec3
	at   geom.Vec3 // nearest so far
	far2 float64   // its distance, squared
	leaf int       // its triangle's place in the order of the leaves
}

// search looks through the triangles lo to hi, which are those of a node whose box is near enough.
func (f *Finder) search(q *search, node, lo, hi int) {
	if node >= f.size {
		for k := lo; k < hi; k++ {
			t := &f.at[k]
			at := foot(q.p, &t[0], &t[1], &t[2])
			d := at.Sub(q.p)
			if d2 := d.Dot(d); d2 < q.far2 {
				q.at, q.far2, q.leaf = at, d2, k
			}
		}
		return
	}
	mid := lo + part(hi-lo)
	a, b := off2(&f.boxes[2*node], &q.p), off2(&f.boxes[2*node+1], &q.p)
	if a <= b {
		if a < q.far2 {
			f.search(q, 2*node, lo, mid)
		}
		if b < q.far2 {
			f.search(q, 2*node+1, mid, hi)
		}
		return
	}
	if b < q.far2 {
		f.search(q, 2*node+1, mid, hi)
	}
	if a < q.far2 {
		f.search(q, 2*node, lo, mid)
	}
}

// off2 returns the squared distance of a point from a box, 0 inside.
func off2(b *geom.Box3, p *geom.Vec3) float64 {
	return over2(b.Min.X, p.X, b.Max.X) + over2(b.Min.Y, p.Y, b.Max.Y) + over2(b.Min.Z, p.Z, b.Max.Z)
}

// over2 returns the square of how far x lies outside lo to hi.
func over2(lo, x, hi float64) float64 {
	d := 0.0
	if x < lo {
		d = lo - x
	} else if x > hi {
		d = x - hi
	}
	return d * d
}

// foot returns the point of triangle abc nearest to p.
//
// SOURCE: C. Ericson, Real-Time Collision Detection, 2005, 5.1.5 (from memory, unverified): the signs of
// the products of the edges with the ways from the corners tell over which corner, edge or face p lies.
func foot(p geom.Vec3, a, b, c *geom.Vec3) geom.Vec3 {
	ab, ac, ap := b.Sub(*a), c.Sub(*a), p.Sub(*a)
	d1, d2 := ab.Dot(ap), ac.Dot(ap)
	if d1 <= 0 && d2 <= 0 {
		return *a
	}
	bp := p.Sub(*b)
	d3, d4 := ab.Dot(bp), ac.Dot(bp)
	if d3 >= 0 && d4 <= d3 {
		return *b
	}
	vc := d1*d4 - d3*d2
	if vc <= 0 && d1 >= 0 && d3 <= 0 && d1 > d3 {
		return a.Add(ab.Scale(d1 / (d1 - d3)))
	}
	cp := p.Sub(*c)
	d5, d6 := ab.Dot(cp), ac.Dot(cp)
	if d6 >= 0 && d5 <= d6 {
		return *c
	}
	vb := d5*d2 - d1*d6
	if vb <= 0 && d2 >= 0 && d6 <= 0 && d2 > d6 {
		return a.Add(ac.Scale(d2 / (d2 - d6)))
	}
	va := d3*d6 - d5*d4
	e, g := d4-d3, d5-d6
	if va <= 0 && e >= 0 && g >= 0 && e+g > 0 {
		return b.Add(c.Sub(*b).Scale(e / (e + g)))
	}
	if sum := va + vb + vc; sum > 0 {
		return a.Add(ab.Scale(vb / sum)).Add(ac.Scale(vc / sum))
	}
	return *a // no area and no length either
}

// Range says what the wall is over a set of points.
type Range struct {
	Low, Mean float64   // first percentile and mean of the thickness, mm
	At        geom.Vec3 // where the low one is, on the sheet
	Points    int       // that met sound sheet
	Webbing   int       // that met webbing and were left out
}

// lowShare is the share of the points that may be thinner than Range.Low: the very least is one
// triangle's noise.
const lowShare = 0.01

// Over returns the thickness over points of the tool that stand for equal areas.
func (f *Finder) Over(points []geom.Vec3) Range {
	var r Range
	var hits []Hit
	for _, p := range points {
		h := f.Nearest(p)
		if h.Webbing {
			r.Webbing++
			continue
		}
		hits = append(hits, h)
		r.Mean += h.Thickness
	}
	if r.Points = len(hits); r.Points == 0 {
		return r
	}
	r.Mean /= float64(r.Points)
	slices.SortStableFunc(hits, func(a, b Hit) int {
		switch {
		case a.Thickness < b.Thickness:
			return -1
		case a.Thickness > b.Thickness:
			return 1
		}
		return 0
	})
	low := hits[int(lowShare*float64(len(hits)))]
	r.Low, r.At = low.Thickness, low.At
	return r
}
