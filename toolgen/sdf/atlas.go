package sdf

import (
	"math"
	"sync/atomic"

	"platen/toolgen/geom"
)

// Atlas answers for a field from copies that are pruned to the cells of an octree, made when first
// asked for. Which copy answers depends on the point alone, so the answers do not depend on who asked
// before. It may be used from several goroutines.
type Atlas struct {
	field Pruner
	o     geom.Vec3
	size  float64
	n     [3]int32
	roots []atomic.Pointer[page]
	shelf *shelf // nil: pages are kept as long as the atlas
}

// shelf bounds the pages of several atlases together: when they are too many all are dropped and made
// again where they are asked for. The answers do not depend on it.
type shelf struct {
	pages   atomic.Int64
	atlases []*Atlas
}

// mostPages is the number of pages on a shelf, of some kilobytes each.
const mostPages = 4096

// note counts a page and empties the shelf when it is full.
func (s *shelf) note() {
	if s == nil || s.pages.Add(1) <= mostPages {
		return
	}
	s.pages.Store(0)
	for _, a := range s.atlases {
		for i := range a.roots {
			a.roots[i].Store(nil)
		}
	}
}

// page is a cube of the octree.
type page struct {
	f    Pruner
	mid  geom.Vec3
	half float64
	kids *[8]atomic.Pointer[page] // nil: not divided
}

const (
	// halfDiagonal of a cube of half side 1, rounded up so that neighbours' balls overlap.
	halfDiagonal = 1.7320508075688774 * (1 + 1e-9)
	// heavyPage and lightPage are the sides, mm, down to which cells are divided whose copy searches
	// for balls, and whose copy has some elements to choose from. Half of either costs more to make
	// than it saves (measured on crossing pockets).
	heavyPage, lightPage = 1, 1.5
	// lightWeight is the weight up to which a copy is left alone.
	lightWeight = 2
)

// NewAtlas returns an atlas with root cells of the given side, n of them along each axis from o on.
// Points outside are answered by the field itself.
func NewAtlas(f Pruner, o geom.Vec3, side float64, n [3]int32) *Atlas {
	return &Atlas{field: f, o: o, size: side, n: n, roots: make([]atomic.Pointer[page], n[0]*n[1]*n[2])}
}

// root returns the root cell of p, nil outside.
func (a *Atlas) root(p geom.Vec3) *page {
	d := p.Sub(a.o).Scale(1 / a.size)
	if !(d.X >= 0 && d.Y >= 0 && d.Z >= 0) {
		return nil
	}
	x, y, z := int32(d.X), int32(d.Y), int32(d.Z)
	if x >= a.n[0] || y >= a.n[1] || z >= a.n[2] {
		return nil
	}
	slot := &a.roots[(x*a.n[1]+y)*a.n[2]+z]
	if g := slot.Load(); g != nil {
		return g
	}
	mid := a.o.Add(geom.Vec3{X: float64(x) + 0.5, Y: float64(y) + 0.5, Z: float64(z) + 0.5}.Scale(a.size))
	a.shelf.note()
	return fill(slot, a.field, mid, a.size/2)
}

// fill makes the page of a slot. Two workers may both make it; either serves.
func fill(slot *atomic.Pointer[page], from Pruner, mid geom.Vec3, half float64) *page {
	g := &page{f: from.Prune(mid, half*halfDiagonal), mid: mid, half: half}
	if w := g.f.Weight(); (w > weightBalls/2 && 2*half > heavyPage) || (w > lightWeight && 2*half > lightPage) {
		g.kids = new([8]atomic.Pointer[page])
	}
	if slot.CompareAndSwap(nil, g) {
		return g
	}
	return slot.Load()
}

// kid returns the child of a divided page that holds p.
func (a *Atlas) kid(g *page, p geom.Vec3) *page {
	i, h := 0, g.half/2
	mid := geom.Vec3{X: g.mid.X - h, Y: g.mid.Y - h, Z: g.mid.Z - h}
	if p.X >= g.mid.X {
		i, mid.X = 1, g.mid.X+h
	}
	if p.Y >= g.mid.Y {
		i, mid.Y = i+2, g.mid.Y+h
	}
	if p.Z >= g.mid.Z {
		i, mid.Z = i+4, g.mid.Z+h
	}
	if k := g.kids[i].Load(); k != nil {
		return k
	}
	a.shelf.note()
	return fill(&g.kids[i], g.f, mid, h)
}

// Cell returns the field for the cell of the given side about c: for a cell of the atlas's own
// octree, or one that lies in a cell that is not divided further, valid all over the cell's ball.
func (a *Atlas) Cell(c geom.Vec3, side float64) Pruner {
	g := a.root(c)
	if g == nil {
		return a.field
	}
	for g.kids != nil && g.half > 0.75*side {
		g = a.kid(g, c)
	}
	return g.f
}

// At returns the sample at p: the same as the field's, to rounding.
func (a *Atlas) At(p geom.Vec3) Sample {
	g := a.over(p)
	if g == nil {
		return a.field.At(p)
	}
	s := g.f.At(p)
	if math.Abs(s.D) > g.reach() {
		return a.field.At(p)
	}
	return s
}

// over returns the undivided page that holds p, nil outside.
func (a *Atlas) over(p geom.Vec3) *page {
	g := a.root(p)
	for g != nil && g.kids != nil {
		g = a.kid(g, p)
	}
	return g
}

// reach returns the magnitude up to which the page's values are the field's, mm.
func (g *page) reach() float64 { return min(g.half*halfDiagonal, LeastRaisedBall) }

// Finder looks fields up for one goroutine; points that lie together are found faster.
type Finder struct {
	a    *Atlas
	last *page
}

// Finder returns a finder.
func (a *Atlas) Finder() *Finder { return &Finder{a: a} }

// Near returns the sample at p from the copy for its place: the same as the field's to rounding where
// that is at most 0.1 mm, and with the right sign elsewhere.
func (f *Finder) Near(p geom.Vec3) Sample {
	g := f.last
	if g == nil || !g.holds(p) {
		if g = f.a.over(p); g == nil {
			return f.a.field.At(p)
		}
		f.last = g
	}
	return g.f.At(p)
}

// holds reports whether p lies well within the page, where no other would be found for it.
func (g *page) holds(p geom.Vec3) bool {
	h := g.half * (1 - 1e-9)
	return math.Abs(p.X-g.mid.X) < h && math.Abs(p.Y-g.mid.Y) < h && math.Abs(p.Z-g.mid.Z) < h
}
