package form

import (
	"math"

	"platen/toolgen/geom"
)

// element is what the force loop needs of a triangle, in one cache line.
//
// With e1, e2 the edges from corner 0, G their products and B the inverse of the flat edges, the
// stretch tensor is C = B'GB. The force needs it only in the products M = BB' and G, since
// B S B' = 2 (w M + q G^-1) for the stress S = 2 (w 1 + q C^-1).
type element struct {
	n             [3]int32
	m11, m12, m22 float64 // M = B B'
	w             float64 // 2 gauge A0
	k             float64 // 1/(2 A0)^2: J^2 = det G k
}

// newElement returns the element of a flat triangle, counter-clockwise.
func newElement(n [3]int32, a, b, c geom.Vec2, gauge float64) element {
	d1, d2 := b.Sub(a), c.Sub(a)
	det := d1.Cross(d2)
	k := 1 / (det * det)
	return element{
		n:   n,
		m11: d2.Dot(d2) * k, m12: -d1.Dot(d2) * k, m22: d1.Dot(d1) * k,
		w: gauge * det,
		k: k,
	}
}

// leastJ2 is where the squared area ratio is cut off below, so that a crushed triangle gives a
// finite force.
const leastJ2 = 1e-4

// stretch returns trace and determinant of the stretch tensor.
func (e *element) stretch(g11, g12, g22 float64) (tr, j2 float64) {
	tr = float64(e.m11*g11) + float64(2*e.m12*g12) + float64(e.m22*g22)
	return tr, max(leastJ2, (float64(g11*g22)-float64(g12*g12))*e.k)
}

// forces returns the forces of sheet and pressure on the corners. The pressure acts against the
// normal and follows the sheet.
func (e *element) forces(l *Law, a, b, c *geom.Vec3, p float64) (f0, f1, f2 geom.Vec3) {
	ux, uy, uz := b.X-a.X, b.Y-a.Y, b.Z-a.Z
	vx, vy, vz := c.X-a.X, c.Y-a.Y, c.Z-a.Z
	g11 := float64(ux*ux) + float64(uy*uy) + float64(uz*uz)
	g12 := float64(ux*vx) + float64(uy*vy) + float64(uz*vz)
	g22 := float64(vx*vx) + float64(vy*vy) + float64(vz*vz)
	tr, j2 := e.stretch(g11, g12, g22)
	i := 1 / j2
	w := -e.w * (l.C1 + float64(l.C2*i))
	q := -e.w * i * e.k * (float64(l.A*j2) - float64(l.C1*i) + float64(l.C2*(j2-float64(tr*i))))
	p11 := float64(w*e.m11) + float64(q*g22)
	p12 := float64(w*e.m12) - float64(q*g12)
	p22 := float64(w*e.m22) + float64(q*g11)
	if l.A == 0 && (float64(i*i)-float64(tr*i)+j2 < 0 || j2 < 1) {
		r11, r12, r22 := e.slack(l, g11, g12, g22, tr, j2)
		p11 = r11 + float64(keptPush*(p11-r11))
		p12 = r12 + float64(keptPush*(p12-r12))
		p22 = r22 + float64(keptPush*(p22-r22))
	}
	s := -p / 6
	px := s * (float64(uy*vz) - float64(uz*vy))
	py := s * (float64(uz*vx) - float64(ux*vz))
	pz := s * (float64(ux*vy) - float64(uy*vx))
	f1 = geom.Vec3{X: float64(p11*ux) + float64(p12*vx), Y: float64(p11*uy) + float64(p12*vy), Z: float64(p11*uz) + float64(p12*vz)}
	f2 = geom.Vec3{X: float64(p12*ux) + float64(p22*vx), Y: float64(p12*uy) + float64(p22*vy), Z: float64(p12*uz) + float64(p22*vz)}
	f0 = geom.Vec3{X: px - f1.X - f2.X, Y: py - f1.Y - f2.Y, Z: pz - f1.Z - f2.Z}
	f1.X += px
	f1.Y += py
	f1.Z += pz
	f2.X += px
	f2.Y += py
	f2.Z += pz
	return f0, f1, f2
}

// keptPush is the share of a compression that is kept: a membrane folds at once under any, and how
// it folds means nothing; with none its triangles would have nothing to keep them apart.
const keptPush = 0.02

// slack returns the force factors of an element under compression: across the folds it carries
// nothing and along them it is in plain tension, so its energy is that of the larger stretch alone.
//
// SOURCE: A. C. Pipkin, The relaxed energy density for isotropic elastic membranes, IMA J. Appl.
// Math. 36, 1986 (from memory, unverified). With the larger squared stretch c = l^2 the energy is
// C1 (l^2 + 2/l - 3) + C2 (2 l + 1/l^2 - 3), dW/dc = (C1 + C2/l)(1 - l^-3), and dc/dC is the
// projection (C - d)/(c - d), d the smaller one.
func (e *element) slack(l *Law, g11, g12, g22, tr, j2 float64) (p11, p12, p22 float64) {
	root := math.Sqrt(max(0, float64(tr*tr)-4*j2))
	c, d := (tr+root)/2, (tr-root)/2
	if c <= 1 || root == 0 {
		return 0, 0, 0
	}
	s := math.Sqrt(c)
	w := -e.w * (l.C1 + l.C2/s) * (1 - 1/(c*s)) / root
	// M G M
	a11, a12 := float64(e.m11*g11)+float64(e.m12*g12), float64(e.m11*g12)+float64(e.m12*g22)
	a21, a22 := float64(e.m12*g11)+float64(e.m22*g12), float64(e.m12*g12)+float64(e.m22*g22)
	p11 = w * (float64(a11*e.m11) + float64(a12*e.m12) - float64(d*e.m11))
	p12 = w * (float64(a11*e.m12) + float64(a12*e.m22) - float64(d*e.m12))
	p22 = w * (float64(a21*e.m12) + float64(a22*e.m22) - float64(d*e.m22))
	return p11, p12, p22
}

// metric returns the products of the edges from corner 0.
func metric(a, b, c geom.Vec3) (g11, g12, g22 float64) {
	u, v := b.Sub(a), c.Sub(a)
	return u.Dot(u), u.Dot(v), v.Dot(v)
}

// masses returns the fictitious masses the element gives its corners.
func (e *element) masses(l *Law, gauge float64, a, b, c geom.Vec3) (m0, m1, m2 float64) {
	tr, j2 := e.stretch(metric(a, b, c))
	s := massShare * l.stiffness(gauge, tr, j2) * e.w / (2 * gauge)
	return s * (e.m11 + 2*e.m12 + e.m22), s * e.m11, s * e.m22
}

// massShare makes the unit step stable: it needs a quarter of the largest eigenvalue, which is at most
// twice the diagonal, and a tenth to spare.
const massShare = 0.55
