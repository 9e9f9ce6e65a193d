// Package exact owns the predicates a mesher may not get wrong: on which side of a line or plane a
// point lies, and whether it lies in a circle.
//
// The sign of every result is that of the determinant of the coordinates as given, and zero is
// returned only for an exact zero. The magnitude is approximate. This holds while every coordinate
// is 0 or between 2^-190 and 2^190 in magnitude (6e-58 to 1e57 mm), so that no product of four
// under- or overflows; beyond that range, and for NaN or infinite coordinates, nothing is promised.
//
// Each predicate first computes the determinant in plain floating point and trusts its sign when it
// exceeds a bound of the rounding error; otherwise it sums the determinant exactly, as an expansion.
// The bound: with e = 2^-53, a term of the determinant that goes through m roundings comes out as
// the exact term times a product of m factors in [1-e, 1+e]. So the determinant is wrong by at most
// m e/(1 - m e) times the sum of the absolute terms. That sum is computed with no more roundings,
// hence is at least (1-e)^m of its true value. For m < 2^20 both effects together stay under
// (m+1) e times the computed sum, with room for the rounding of the bound itself.
//
// SOURCE: the scheme is that of J. R. Shewchuk, "Adaptive precision floating-point arithmetic and
// fast robust geometric predicates", Discrete & Computational Geometry 18, 1997, pp. 305-363, with
// plainer bounds (derived above) and one exact stage instead of several.
package exact

import (
	"math"

	"platen/toolgen/geom"
)

const (
	// unit is the largest relative error of one rounding to nearest, 2^-53.
	unit = 1.0 / (1 << 53)
	// orient2Bound: two differences, a product and a sum: m = 4.
	orient2Bound = 5 * unit
	// orient3Bound: three differences, a product, a sum, a product and two sums: m = 8.
	orient3Bound = 9 * unit
	// circleBound: two differences, a product and a sum for the square of the distance, the same
	// for the cross product, their product and two sums: m = 11.
	circleBound = 12 * unit
)

// Orient2D returns twice the signed area of the triangle a, b, c: positive when they run
// counter-clockwise, negative when clockwise, zero when they lie on one line.
func Orient2D(a, b, c geom.Vec2) float64 {
	l := (a.X - c.X) * (b.Y - c.Y)
	r := (a.Y - c.Y) * (b.X - c.X)
	det := float64(l) - float64(r)
	if bound := orient2Bound * (math.Abs(l) + math.Abs(r)); det > bound || -det > bound {
		return det
	}
	return orient2Exact(a, b, c)
}

func orient2Exact(a, b, c geom.Vec2) float64 {
	var s scratch
	acx, acy := diff(s[0][:0], a.X, c.X), diff(s[1][:0], a.Y, c.Y)
	bcx, bcy := diff(s[2][:0], b.X, c.X), diff(s[3][:0], b.Y, c.Y)
	var det [16]float64
	return cross(det[:0], acx, acy, bcx, bcy).value()
}

// InCircle is positive when d lies inside the circle through a, b, c run counter-clockwise, negative
// outside, zero on it; the sign turns when a, b, c run clockwise. For points on one line it stands
// for the half plane to their left.
func InCircle(a, b, c, d geom.Vec2) float64 {
	adx, ady := a.X-d.X, a.Y-d.Y
	bdx, bdy := b.X-d.X, b.Y-d.Y
	cdx, cdy := c.X-d.X, c.Y-d.Y
	bc1, bc2 := float64(bdx*cdy), float64(bdy*cdx)
	ca1, ca2 := float64(cdx*ady), float64(cdy*adx)
	ab1, ab2 := float64(adx*bdy), float64(ady*bdx)
	la := float64(adx*adx) + float64(ady*ady)
	lb := float64(bdx*bdx) + float64(bdy*bdy)
	lc := float64(cdx*cdx) + float64(cdy*cdy)
	det := float64(la*(bc1-bc2)) + float64(lb*(ca1-ca2)) + float64(lc*(ab1-ab2))
	bound := circleBound * (float64(la*(math.Abs(bc1)+math.Abs(bc2))) +
		float64(lb*(math.Abs(ca1)+math.Abs(ca2))) +
		float64(lc*(math.Abs(ab1)+math.Abs(ab2))))
	if det > bound || -det > bound {
		return det
	}
	return circleExact(a, b, c, d)
}

func circleExact(a, b, c, d geom.Vec2) float64 {
	var s scratch
	adx, ady := diff(s[0][:0], a.X, d.X), diff(s[1][:0], a.Y, d.Y)
	bdx, bdy := diff(s[2][:0], b.X, d.X), diff(s[3][:0], b.Y, d.Y)
	cdx, cdy := diff(s[4][:0], c.X, d.X), diff(s[5][:0], c.Y, d.Y)
	var sq, cr [16]float64
	var ta, tb, tc, ab, all [32]float64 // room for points on a grid; longer ones go to the heap
	a3 := product(ta[:0], square(sq[:0], adx, ady), cross(cr[:0], bdx, bdy, cdx, cdy))
	b3 := product(tb[:0], square(sq[:0], bdx, bdy), cross(cr[:0], cdx, cdy, adx, ady))
	c3 := product(tc[:0], square(sq[:0], cdx, cdy), cross(cr[:0], adx, ady, bdx, bdy))
	return sum(all[:0], sum(ab[:0], a3, b3), c3).value()
}

// Orient3D returns six times the signed volume of the tetrahedron a, b, c, d: positive when d lies
// on the side from which a, b, c run counter-clockwise, negative on the other side, zero when all
// four lie in one plane.
func Orient3D(a, b, c, d geom.Vec3) float64 {
	if a.Z == b.Z && a.Z == c.Z && a.Z == d.Z || a.X == b.X && a.X == c.X && a.X == d.X ||
		a.Y == b.Y && a.Y == c.Y && a.Y == d.Y {
		return 0 // level and upright planes are common and would always fail the filter
	}
	adx, ady, adz := a.X-d.X, a.Y-d.Y, a.Z-d.Z
	bdx, bdy, bdz := b.X-d.X, b.Y-d.Y, b.Z-d.Z
	cdx, cdy, cdz := c.X-d.X, c.Y-d.Y, c.Z-d.Z
	bc1, bc2 := float64(bdx*cdy), float64(bdy*cdx)
	ca1, ca2 := float64(cdx*ady), float64(cdy*adx)
	ab1, ab2 := float64(adx*bdy), float64(ady*bdx)
	det := float64(adz*(bc1-bc2)) + float64(bdz*(ca1-ca2)) + float64(cdz*(ab1-ab2))
	bound := orient3Bound * (float64(math.Abs(adz)*(math.Abs(bc1)+math.Abs(bc2))) +
		float64(math.Abs(bdz)*(math.Abs(ca1)+math.Abs(ca2))) +
		float64(math.Abs(cdz)*(math.Abs(ab1)+math.Abs(ab2))))
	if det > bound || -det > bound {
		return -det // the determinant is positive for d below, seen counter-clockwise
	}
	return orient3Exact(a, b, c, d)
}

func orient3Exact(a, b, c, d geom.Vec3) float64 {
	var s scratch
	adx, ady, adz := diff(s[0][:0], a.X, d.X), diff(s[1][:0], a.Y, d.Y), diff(s[2][:0], a.Z, d.Z)
	bdx, bdy, bdz := diff(s[3][:0], b.X, d.X), diff(s[4][:0], b.Y, d.Y), diff(s[5][:0], b.Z, d.Z)
	cdx, cdy, cdz := diff(s[6][:0], c.X, d.X), diff(s[7][:0], c.Y, d.Y), diff(s[8][:0], c.Z, d.Z)
	var cr [16]float64
	var ta, tb, tc, ab, all [32]float64 // room for points on a grid; longer ones go to the heap
	a3 := product(ta[:0], cross(cr[:0], bdx, bdy, cdx, cdy), adz)
	b3 := product(tb[:0], cross(cr[:0], cdx, cdy, adx, ady), bdz)
	c3 := product(tc[:0], cross(cr[:0], adx, ady, bdx, bdy), cdz)
	return -sum(all[:0], sum(ab[:0], a3, b3), c3).value()
}
