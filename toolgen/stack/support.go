package stack

import (
	"cmp"
	"math"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/part"
)

// Support is what a part stands on and how far within it the load over it is centred.
type Support struct {
	Polygon []geom.Vec2 // convex hull of the places that carry, counter-clockwise, lower part's frame
	Layers  []Balance   // one for every part but the lowest, from below
}

// Balance is the load over one part of a stack against what carries it.
type Balance struct {
	Layer  int       // of the lower part, counted from 1
	Centre geom.Vec2 // of all that stands above it, lower part's frame
	Edge   geom.Vec2 // the nearest place of the polygon's edge
	Margin float64   // from the centre to there, mm; negative outside
}

// LoadCentre returns where the middle of a part's load lies: the mean of the pockets that take a product,
// by mass where all of them tell it, or the middle of the trim outline without any.
func (p *Part) LoadCentre() geom.Vec2 {
	var sum geom.Vec2
	n := 0.0
	_, told := p.Load()
	for _, f := range p.products() {
		mass := 1.0
		if told {
			mass = f.Held.Mass
		}
		sum = sum.Add(f.Outline.Bounds().Centre().Scale(mass))
		n += mass
	}
	if n == 0 {
		return p.Centre()
	}
	return sum.Scale(1 / n)
}

// products returns the pockets that take a product.
func (p *Part) products() []*part.Feature {
	var out []*part.Feature
	for _, f := range p.Body.Part.Features {
		if f.Impression == 0 && f.Sunk && f.Use == part.Product && (f.Suffix == "" || f.Carries) {
			out = append(out, f)
		}
	}
	return out
}

// Load returns the mass of the products of a part, g; told is false where not all pockets tell it.
func (p *Part) Load() (mass float64, told bool) {
	list := p.products()
	for _, f := range list {
		if f.Held == nil || f.Held.Mass <= 0 {
			return 0, false
		}
		mass += f.Held.Mass
	}
	return mass, len(list) > 0
}

// Stand returns what n parts stand on, each turned against the one below it as the upper part of r is.
// Each carries the same load.
func (r *Rest) Stand(n int) Support {
	var pts []geom.Vec2
	for _, t := range r.Touch {
		pts = append(pts, t.At.Plan())
	}
	s := Support{Polygon: hull(pts)}
	own := r.Upper.LoadCentre()
	// In the frame of the lower part: the centres of those above, each placed on the one below.
	centres := make([]geom.Vec2, n)
	for k := 1; k < n; k++ {
		at := r.Place.Plan(own)
		for range k - 1 {
			at = r.Place.Plan(at)
		}
		centres[k] = at
	}
	for layer := 1; layer < n; layer++ {
		var sum geom.Vec2
		for k := 1; k <= n-layer; k++ {
			sum = sum.Add(centres[k])
		}
		c := sum.Scale(1 / float64(n-layer))
		edge, margin := inside(s.Polygon, c)
		s.Layers = append(s.Layers, Balance{layer, c, edge, margin})
	}
	return s
}

// Worst returns the balance with the least margin; ok is false for a single part.
func (s Support) Worst() (b Balance, ok bool) {
	if len(s.Layers) == 0 {
		return b, false
	}
	return slices.MinFunc(s.Layers, func(a, b Balance) int { return cmp.Compare(a.Margin, b.Margin) }), true
}

// hull returns the convex hull of points, counter-clockwise from the leftmost.
//
// SOURCE: A. M. Andrew, "Another efficient algorithm for convex hulls in two dimensions", Information
// Processing Letters 9, 1979.
func hull(pts []geom.Vec2) []geom.Vec2 {
	pts = slices.Clone(pts)
	slices.SortFunc(pts, func(a, b geom.Vec2) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	pts = slices.Compact(pts)
	if len(pts) < 3 {
		return pts
	}
	var out []geom.Vec2
	for _, dir := range [...]int{1, -1} {
		base := len(out)
		for i := range pts {
			p := pts[i]
			if dir < 0 {
				p = pts[len(pts)-1-i]
			}
			for len(out) >= base+2 && out[len(out)-1].Sub(out[len(out)-2]).Cross(p.Sub(out[len(out)-1])) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		out = out[:len(out)-1]
	}
	return out
}

// inside returns the nearest place of a convex polygon's edge, and how far a point lies inside it, negative
// outside, mm. A polygon without area holds nothing.
func inside(poly []geom.Vec2, p geom.Vec2) (edge geom.Vec2, margin float64) {
	if len(poly) == 0 {
		return p, math.Inf(-1)
	}
	within, near := len(poly) > 2, math.Inf(1)
	for i, a := range poly {
		b := poly[(i+1)%len(poly)]
		d := b.Sub(a)
		u := 0.0
		if l := d.Dot(d); l > 0 {
			u = max(0, min(1, p.Sub(a).Dot(d)/l))
		}
		if q := a.Add(d.Scale(u)); p.Sub(q).Norm() < near {
			edge, near = q, p.Sub(q).Norm()
		}
		within = within && d.Cross(p.Sub(a)) >= 0
	}
	if within {
		return edge, near
	}
	return edge, -near
}
