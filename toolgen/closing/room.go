package closing

import (
	"math"

	"platen/toolgen/body"
	"platen/toolgen/flat"
	"platen/toolgen/geom"
	"platen/toolgen/part"
)

// Room is what is left between a floor and the closed other half.
type Room struct {
	Solid   *body.Solid
	Free    float64   // over the highest place of the floor, below the lowest of the other half over it, mm
	At      geom.Vec3 // on the other half where it is lowest, part frame, as it lies flat
	Over    string    // feature there; "" the flange
	Product float64   // height of the product, mm; 0 not told
}

// rooms measures the free height over the floor of every recess that takes a product.
func (l *laid) rooms() []Room {
	var out []Room
	for _, s := range l.in.Body.Solids {
		if s.Impression > 0 || s.Use != part.Product || !l.inside(s.Feature) {
			continue
		}
		if r, ok := l.room(s); ok {
			out = append(out, r)
		}
	}
	return out
}

// room measures over one floor, as for a product with a flat bottom and a flat top.
func (l *laid) room(s *body.Solid) (Room, bool) {
	own := l.side(s.Feature)
	other := 1 - own
	halves := [...]*half{l.base, l.lid}
	low := math.Inf(1)
	r := Room{Solid: s}
	floor := l.floor(s, func(i, j int, a, b float64) {
		d := l.up[other].top[i*l.up[other].nb+j]
		if !math.IsInf(d, -1) && -d < low {
			low = -d
			r.At = halves[other].out(geom.Vec3{X: a, Y: b, Z: d}, other == 1)
			r.Over = l.feature(halves[other], a, b)
		}
	})
	r.Free = low - floor
	for _, p := range l.in.Products {
		if p.Solid == s.Feature {
			r.Product = p.Height
		}
	}
	return r, r.Free-r.Free == 0
}

// inside reports whether a recess opens to the inside of the closed pack.
func (l *laid) inside(f *part.Feature) bool { return f.Sunk == (l.in.Line.Meets == part.Upper) }

// side returns 0 for a feature of the base, 1 for one of the lid.
func (l *laid) side(f *part.Feature) int {
	if l.in.Line.Beyond(f.Middle) > 0 {
		return 1
	}
	return 0
}

// floor returns the highest place of a recess's floor and calls each with every place over it; -Inf where
// the lattice has none.
func (l *laid) floor(s *body.Solid, each func(i, j int, a, b float64)) float64 {
	own := l.side(s.Feature)
	h := [...]*half{l.base, l.lid}[own]
	edge, box := floorEdge(s), s.Feature.Outline.Bounds()
	g := l.up[own]
	top := math.Inf(-1)
	for i := range g.na {
		for j := range g.nb {
			a, b := float64(i+g.a0)*g.step, float64(j)*g.step
			q := h.out(geom.Vec3{X: a, Y: b}, own == 1).Plan()
			if c := g.top[i*g.nb+j]; !math.IsInf(c, -1) && !l.out(a, b) && box.Holds(q) && s.Feature.Outline.At(q).D <= edge {
				top = max(top, c)
				each(i, j, a, b)
			}
		}
	}
	return top
}

// fill stands the products on their floors.
func (l *laid) fill() error {
	for _, p := range l.in.Products {
		if !l.inside(p.Solid) {
			continue
		}
		var s *body.Solid
		for _, o := range l.in.Body.Solids {
			if o.Feature == p.Solid {
				s = o
			}
		}
		floor := math.Inf(-1)
		if s != nil {
			floor = l.floor(s, func(int, int, float64, float64) {})
		}
		if math.IsInf(floor, -1) {
			return because("the product of %s has no floor to stand on", p.Solid.ID)
		}
		if err := [...]*half{l.base, l.lid}[l.side(p.Solid)].stand(p, floor); err != nil {
			return err
		}
	}
	return nil
}

// chord is the longest side of a product's polygon, mm.
const chord = 1.0

// stand adds the sides and the top of a product that stands at c.
func (h *half) stand(p Product, c float64) error {
	var pts []geom.Vec2
	var edges [][2]int32
	for i := range p.Outline.Loops {
		first := int32(len(pts))
		for _, e := range p.Outline.Loop(i) {
			n := 1
			if e.IsArc() {
				n = max(1, int(math.Ceil(e.Length()/chord)))
			}
			for k := range n {
				pts = append(pts, e.Point(float64(k)/float64(n)))
				edges = append(edges, [2]int32{int32(len(pts) - 1), int32(len(pts))})
			}
		}
		edges[len(edges)-1][1] = first
	}
	top, err := flat.Triangulate(pts, edges)
	if err != nil {
		return because("the product of %s: %v", p.Solid.ID, err)
	}
	for i, q := range pts { // triangulated as seen from above, before the frame may mirror it
		pts[i] = h.in(q.At(h.o.Z), h.lid).Plan()
	}
	n := len(h.tri)
	for _, t := range top {
		h.add(pts[t[0]].At(c+p.Height), pts[t[1]].At(c+p.Height), pts[t[2]].At(c+p.Height))
	}
	for _, e := range edges {
		a, b := pts[e[0]], pts[e[1]]
		h.add(a.At(c), b.At(c), b.At(c+p.Height))
		h.add(a.At(c), b.At(c+p.Height), a.At(c+p.Height))
	}
	for range h.tri[n:] {
		h.products = append(h.products, p.Solid.ID)
	}
	return nil
}

// floorEdge returns the distance from a recess's outline at which its floor begins to be level.
func floorEdge(s *body.Solid) float64 {
	e := -s.EndR
	if s.Holds == part.AtHost {
		e -= s.Height * s.Draft.Tan()
	}
	return e
}
