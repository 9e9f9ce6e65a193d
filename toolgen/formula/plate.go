package formula

import "math"

// PlateStiffness returns E t^3 / (12 (1 - nu^2)), the bending stiffness of a plate, N mm.
func PlateStiffness(modulus, wall, poisson float64) float64 {
	return modulus * wall * wall * wall / (12 * (1 - poisson*poisson))
}

// DiscUnderForce returns how far the middle of a round plate goes down under a force there, mm: with an edge
// that is held from turning, or only carried.
//
// SOURCE: S. Timoshenko, S. Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed., art. 19; Roark's Formulas for
// Stress and Strain, table of round plates (both from memory): F r^2 / (16 pi D), and (3 + nu) / (1 + nu) times
// that.
func DiscUnderForce(force, radius, stiffness, poisson float64, held bool) float64 {
	w := force * radius * radius / (16 * math.Pi * stiffness)
	if held {
		return w
	}
	return w * (3 + poisson) / (1 + poisson)
}

// DiscBuckles returns the strain, even in all directions of its plane, at which a round plate leaves its plane:
// k / (12 (1 + nu)) (t / r)^2, with the k of the edge thrust at which it buckles, k D / r^2.
//
// SOURCE: S. Timoshenko, J. Gere, Theory of Elastic Stability, 2nd ed., art. 7.3 (from memory): sqrt k is the least
// root of J1(x) = 0 where the edge is held from turning, 3.832, and of x J0(x) = (1 - nu) J1(x) where it is
// carried; the strain is that of the thrust, derived.
func DiscBuckles(wall, radius, poisson float64, held bool) float64 {
	edge := func(x float64) float64 { return x*math.J0(x) - (1-poisson)*math.J1(x) }
	lo, hi := 1.0, 3.0
	if held {
		edge, lo, hi = math.J1, 3, 4.5
	}
	for range 60 {
		mid := (lo + hi) / 2
		if edge(mid) > 0 == (edge(lo) > 0) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo * lo / (12 * (1 + poisson)) * (wall / radius) * (wall / radius)
}

// Crown returns the rise of a panel that is domed over a width, mm, so that a strain of its edge against its
// middle, taken away or added, changes the rise by no more than half: sqrt(strain / 2) of the width.
//
// SOURCE: derived: a flat arch of width b and rise h is 8 h^2 / (3 b) longer than its width, so that a strain e
// taken away leaves a rise k with h^2 - k^2 = 3 e b^2 / 8, and k = h / 2. At 0.87 of this rise none is left.
func Crown(width, strain float64) float64 { return width * math.Sqrt(strain/2) }
