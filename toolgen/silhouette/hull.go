package silhouette

import (
	"cmp"
	"slices"

	"platen/toolgen/geom"
)

// hull returns the convex hull of points, counter-clockwise. Corners that stand less than eps off the line
// of their neighbours are left out.
//
// SOURCE: A. M. Andrew, Another efficient algorithm for convex hulls in two dimensions, Information Processing
// Letters 9(5), 1979 (from memory).
func hull(points []geom.Vec2, eps float64) []geom.Vec2 {
	p := slices.Clone(points)
	slices.SortFunc(p, func(a, b geom.Vec2) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	half := func(p []geom.Vec2) []geom.Vec2 {
		var h []geom.Vec2
		for _, q := range p {
			for len(h) > 1 {
				a, b := h[len(h)-2], h[len(h)-1]
				if b.Sub(a).Cross(q.Sub(a)) > eps*q.Sub(a).Norm() {
					break
				}
				h = h[:len(h)-1]
			}
			h = append(h, q)
		}
		return h[:len(h)-1]
	}
	lower := half(p)
	slices.Reverse(p)
	return append(lower, half(p)...)
}
