package mesh

import (
	"math"

	"platen/toolgen/exact"
	"platen/toolgen/geom"
)

// flat is a choice of the axis to drop so that a plane keeps its shape.
type flat uint8

const (
	dropX flat = iota
	dropY
	dropZ
)

func (f flat) of(p geom.Vec3) geom.Vec2 {
	switch f {
	case dropX:
		return geom.Vec2{X: p.Y, Y: p.Z}
	case dropY:
		return geom.Vec2{X: p.Z, Y: p.X}
	}
	return geom.Vec2{X: p.X, Y: p.Y}
}

// all returns t seen along the dropped axis.
func (f flat) all(t [3]geom.Vec3) [3]geom.Vec2 {
	return [3]geom.Vec2{f.of(t[0]), f.of(t[1]), f.of(t[2])}
}

// flatten returns the axis to drop for the plane through a, b, c and how they then run: positive
// counter-clockwise. It returns zero only for points on one line.
func flatten(a, b, c geom.Vec3) (flat, float64) {
	n := b.Sub(a).Cross(c.Sub(a))
	x, y, z := math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)
	best := dropZ
	if x > y && x > z {
		best = dropX
	} else if y > z {
		best = dropY
	}
	for i := range flat(3) {
		f := (best + i) % 3
		if o := exact.Orient2D(f.of(a), f.of(b), f.of(c)); o != 0 {
			return f, o
		}
	}
	return dropZ, 0
}

// apart reports whether both signs are the same and not zero.
func apart(a, b float64) bool { return a > 0 && b > 0 || a < 0 && b < 0 }

// alike reports whether no two of the three signs differ; zero goes with either.
func alike(a, b, c float64) bool {
	return a >= 0 && b >= 0 && c >= 0 || a <= 0 && b <= 0 && c <= 0
}

// foldOver reports whether the triangles u, v, a and u, v, b meet beyond their common edge u, v:
// they then lie in one plane, on the same side of it. Seen along f, u, v, a run counter-clockwise.
func foldOver(f flat, u, v, a, b geom.Vec3) bool {
	return exact.Orient2D(f.of(u), f.of(v), f.of(b)) > 0 && exact.Orient3D(u, v, a, b) == 0
}

// meetBeyond reports whether the triangles s, a, b and s, c, d meet beyond their common corner s.
// If they do, the side opposite s of one of them meets the other: follow a common point away from s
// until one of the triangles ends. Seen along f, s, a, b run counter-clockwise.
func meetBeyond(f flat, s, a, b, c, d geom.Vec3) bool {
	s2, a2, b2, c2, d2 := f.of(s), f.of(a), f.of(b), f.of(c), f.of(d)
	ac, ad := exact.Orient2D(s2, a2, c2), exact.Orient2D(s2, a2, d2)
	if ac < 0 && ad < 0 {
		return false // beyond the side s, a as seen along f; so are most neighbours
	}
	bc, bd := exact.Orient2D(s2, b2, c2), exact.Orient2D(s2, b2, d2)
	if bc > 0 && bd > 0 {
		return false // beyond the side s, b
	}
	oc, od := exact.Orient3D(s, a, b, c), exact.Orient3D(s, a, b, d)
	if apart(oc, od) {
		return false
	}
	if oc == 0 && od == 0 {
		if exact.Orient2D(s2, c2, d2) < 0 {
			ac, ad, bc, bd = ad, ac, bd, bc
		}
		// In one plane they share more than s if a side of one runs inside the other.
		return ac >= 0 && bc <= 0 || ad >= 0 && bd <= 0 || ac <= 0 && ad >= 0
	}
	oa, ob := exact.Orient3D(s, c, d, a), exact.Orient3D(s, c, d, b)
	if apart(oa, ob) {
		return false
	}
	// The line c, d passes the sides s-a, a-b, b-s of the first triangle with the signs oa, w, -ob;
	// the line a, b those of the second with oc, w, -od.
	w := exact.Orient3D(c, d, a, b)
	return alike(oa, w, -ob) || alike(oc, w, -od)
}

// meet reports whether two triangles have a point in common. Seen along f, p runs counter-clockwise.
func meet(f flat, p, q [3]geom.Vec3) bool {
	p2, q2 := f.all(p), f.all(q)
	if beyondSide(p2, q2) {
		return false
	}
	var sp, sq [3]float64 // sides of the other's plane
	for i := range q {
		sq[i] = exact.Orient3D(p[0], p[1], p[2], q[i])
	}
	if apart(sq[0], sq[1]) && apart(sq[1], sq[2]) {
		return false
	}
	if sq == [3]float64{} {
		if exact.Orient2D(q2[0], q2[1], q2[2]) < 0 {
			q2[1], q2[2] = q2[2], q2[1]
		}
		return !beyondSide(q2, p2)
	}
	for i := range p {
		sp[i] = exact.Orient3D(q[0], q[1], q[2], p[i])
	}
	if apart(sp[0], sp[1]) && apart(sp[1], sp[2]) {
		return false
	}
	// Where planes cross, a side of one triangle meets the other. Its line passes the sides of that
	// triangle with like signs when it pierces it.
	var w [3][3]float64
	for i := range 3 {
		for j := range 3 {
			w[i][j] = exact.Orient3D(p[i], p[(i+1)%3], q[j], q[(j+1)%3])
		}
	}
	for i := range 3 {
		k := (i + 1) % 3
		if pierces(sp[i], sp[k], w[i]) || pierces(sq[i], sq[k], [3]float64{w[0][i], w[1][i], w[2][i]}) {
			return true
		}
	}
	return false
}

// beyondSide reports whether a side of p, which runs counter-clockwise, has all of q strictly beyond
// it. Two triangles of one plane lie apart only if that holds for one of them.
func beyondSide(p, q [3]geom.Vec2) bool {
	for i := range 3 {
		a, b := p[i], p[(i+1)%3]
		if exact.Orient2D(a, b, q[0]) < 0 && exact.Orient2D(a, b, q[1]) < 0 && exact.Orient2D(a, b, q[2]) < 0 {
			return true
		}
	}
	return false
}

// pierces reports whether a segment whose ends lie on the sides sa and sb of a triangle's plane, and
// whose line passes the triangle's sides with the signs w, meets the triangle. A segment that lies in
// the plane counts as missing it: where it meets the triangle, so does another side, one that leaves
// the plane from an end of it, or one of the triangle's own.
func pierces(sa, sb float64, w [3]float64) bool {
	return !apart(sa, sb) && (sa != 0 || sb != 0) && alike(w[0], w[1], w[2])
}
