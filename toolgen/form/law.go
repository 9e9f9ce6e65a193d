package form

import "math"

// Law is the strain energy of the hot sheet per volume of flat sheet,
// C1 (I1 - 3) + C2 (I2 - 3) + A J^2, incompressible and in plane stress; J is the area ratio.
//
// SOURCE: M. Mooney, A theory of large elastic deformation, J. Appl. Phys. 11, 1940; R. S. Rivlin,
// Large elastic deformations of isotropic materials, Phil. Trans. A, 1948 (from memory, unverified).
// The third term is our own: its stress is even in every direction and grows with the thinning, so
// a free bubble keeps an even thickness, as the textbook laws of cone and trough assume.
type Law struct{ C1, C2, A float64 } // MPa

// Rubber returns the law with shear modulus mu, MPa, and stiffness ratio k = C2/C1. k = 0 is
// neo-Hookean; a free bubble then has a pressure beyond which it grows by itself.
func Rubber(mu, k float64) Law {
	c1 := mu / 2 / (1 + k)
	return Law{C1: c1, C2: k * c1}
}

// EvenBubble returns the law under which a free bubble keeps an even thickness, with so much rubber
// as keeps the mesh from shearing freely. With full contact the modulus does not matter.
func EvenBubble(mu float64) Law {
	a := mu / 2
	return Law{C1: 0.01 * a, A: a}
}

func (l Law) finite() bool { s := l.C1 + l.C2 + l.A; return s-s == 0 }

// stiff reports whether the law holds a mesh together.
func (l Law) stiff() bool { return l.C1 > 0 && l.C2 >= 0 && l.A >= 0 }

// Tension returns the force per length of the formed sheet, N/mm, in a sheet of the given gauge
// stretched alike in all directions to the area ratio j.
//
// SOURCE: derived: Cauchy stress times formed thickness, 2 t0 ((C1 + C2 J)(1 - J^-3) + A J).
func (l Law) Tension(gauge, j float64) float64 {
	return 2 * gauge * ((l.C1+l.C2*j)*(1-1/(j*j*j)) + l.A*j)
}

// reach returns the tension that rules the size of a bubble: Tension without the term that fades
// once the sheet is stretched.
func (l Law) reach(gauge, j float64) float64 {
	return 2 * gauge * (l.C1 + l.C2*j + l.A*j)
}

// stiffness returns an upper estimate of the element's tangent stiffness per area of flat sheet, for
// an element with trace tr and determinant j2 of the stretch tensor C: it scales the fictitious
// masses so that a time step of 1 is stable. Not proven; found sufficient in all runs.
func (l Law) stiffness(gauge, tr, j2 float64) float64 {
	least := (tr - math.Sqrt(max(0, tr*tr-4*j2))) / 2 // smaller squared stretch
	g := 3.0
	if least > 1.0/3 {
		g = 1 / least
	}
	return 2 * gauge * (l.C1*(1+3*min(1/j2, 2)*g) + l.C2*(3*j2*g+3*g*g+1) + 3*l.A*j2*g)
}
