package form

import (
	"math"
	"slices"

	"platen/toolgen/geom"
)

// Finder finds the formed sheet at points of the tool. It may be used from several goroutines.
type Finder struct {
	sh    *Sheet
	tris  []int32 // in the order of the leaves
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
	f.boxes = make([]geom.Box3, 2*f.size)
	f.build(1, f.tris)
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

func (f *Finder) build(node int, tris []int32) {
	box := geom.EmptyBox3()
	if node >= f.size {
		for _, k := range tris {
			for _, i := range f.sh.Triangles[k].N {
				box = box.Hold(f.sh.Nodes[i].At)
			}
		}
		f.boxes[node] = box
		return
	}
	h := part(len(tris))
	f.build(2*node, tris[:h])
	f.build(2*node+1, tris[h:])
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
	best := Hit{Distance: math.Inf(1)}
	f.search(1, 0, len(f.tris), p, &best)
	t := &f.sh.Triangles[best.Triangle]
	best.Thickness = t.Thickness
	for _, i := range t.N {
		best.Webbing = best.Webbing || f.sh.Nodes[i].Status == Webbing
		best.Bridged = best.Bridged || f.sh.Nodes[i].Status == Bridged
	}
	return best
}

func (f *Finder) search(node, lo, hi int, p geom.Vec3, best *Hit) {
	if f.boxes[node].Dist(p) >= best.Distance {
		return
	}
	if node >= f.size {
		for _, k := range f.tris[lo:hi] {
			n := &f.sh.Triangles[k].N
			q := foot(p, f.sh.Nodes[n[0]].At, f.sh.Nodes[n[1]].At, f.sh.Nodes[n[2]].At)
			if d := q.Sub(p).Norm(); d < best.Distance {
				best.Triangle, best.At, best.Distance = int(k), q, d
			}
		}
		return
	}
	mid := lo + part(hi-lo)
	a, b := f.boxes[2*node].Dist(p), f.boxes[2*node+1].Dist(p)
	if a <= b {
		f.search(2*node, lo, mid, p, best)
		f.search(2*node+1, mid, hi, p, best)
		return
	}
	f.search(2*node+1, mid, hi, p, best)
	f.search(2*node, lo, mid, p, best)
}

// foot returns the point of triangle abc nearest to p.
//
// SOURCE: derived: inside the three sides the foot in the plane; else the nearest of the feet on the
// sides.
func foot(p, a, b, c geom.Vec3) geom.Vec3 {
	n := b.Sub(a).Cross(c.Sub(a))
	inside := n.Dot(n) > 0
	for _, e := range [...][2]geom.Vec3{{a, b}, {b, c}, {c, a}} {
		inside = inside && n.Cross(e[1].Sub(e[0])).Dot(p.Sub(e[0])) >= 0
	}
	if inside {
		return p.Sub(n.Scale(n.Dot(p.Sub(a)) / n.Dot(n)))
	}
	best, d := a, math.Inf(1)
	for _, e := range [...][2]geom.Vec3{{a, b}, {b, c}, {c, a}} {
		u := e[1].Sub(e[0])
		t := 0.0
		if l := u.Dot(u); l > 0 {
			t = max(0, min(1, p.Sub(e[0]).Dot(u)/l))
		}
		q := e[0].Add(u.Scale(t))
		if x := q.Sub(p).Norm(); x < d {
			best, d = q, x
		}
	}
	return best
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
