package formtest

import (
	"math"

	"platen/toolgen/form"
)

// Bubble is a free round membrane on a rim of radius 1, gauge 1 and modulus 1.
type Bubble struct {
	Pressure float64 // p a / (mu t0)
	Pole     float64 // stretch at the pole
	Height   float64 // of the pole over the rim, in radii
	Rim      float64 // stretch along the meridian at the rim
}

// Blow returns the bubble with a given stretch at its pole, by shooting from the pole to the rim with
// the pressure as the unknown.
//
// SOURCE: J. E. Adkins and R. S. Rivlin, Large elastic deformations of isotropic materials IX, Phil.
// Trans. A 244, 1952, equilibrium of a membrane of revolution (from memory, unverified): with the
// flat radius R, formed radius r, slope angle phi and tensions T1 along, T2 around,
// dr/dR = l1 cos phi, dz/dR = -l1 sin phi, dphi/dR = l1 (p - T2 sin phi / r) / T1,
// dT1/dR = (T2 - T1) l1 cos phi / r. phi runs on past the hemisphere.
func Blow(law form.Law, pole float64) Bubble {
	lo, hi := 0.0, 40.0
	for range 45 {
		p := (lo + hi) / 2
		if r, _, _ := shoot(law, pole, p); r > 1 { // more pressure curls the bubble in
			lo = p
		} else {
			hi = p
		}
	}
	p := (lo + hi) / 2
	_, height, rim := shoot(law, pole, p)
	mu := 2 * (law.C1 + law.C2)
	return Bubble{p / mu, pole, height, rim}
}

// tensions returns the tensions along and around at the stretches l1, l2, gauge 1.
func tensions(w form.Law, l1, l2 float64) (t1, t2 float64) {
	j := l1 * l2
	t := func(l, m float64) float64 {
		return 2 / j * ((l*l-1/(j*j))*(w.C1+w.C2*m*m) + w.A*j*j)
	}
	return t(l1, l2), t(l2, l1)
}

// along returns the stretch l1 that gives the tension t1 at l2. The tension rises with l1.
func along(w form.Law, t1, l2 float64) float64 {
	lo, hi := 1e-3, 50.0
	for range 48 {
		l := (lo + hi) / 2
		if t, _ := tensions(w, l, l2); t < t1 {
			lo = l
		} else {
			hi = l
		}
	}
	return (lo + hi) / 2
}

// shoot integrates from the pole to R = 1 and returns the radius there, the height and the stretch
// along the meridian.
func shoot(w form.Law, pole, p float64) (r, height, l1 float64) {
	const steps = 400
	h := 1.0 / steps
	t0, _ := tensions(w, pole, pole)
	// Near the pole the bubble is a sphere of curvature p / (2 T).
	eps := h / 10
	y := [4]float64{pole * eps, 0, t0, pole * eps * p / (2 * t0)} // r, depth, T1, phi
	rate := func(R float64, y [4]float64) [4]float64 {
		l2 := y[0] / R
		l1 := along(w, y[2], l2)
		_, t2 := tensions(w, l1, l2)
		sin, cos := math.Sincos(y[3])
		return [4]float64{l1 * cos, l1 * sin, (t2 - y[2]) * l1 * cos / y[0], l1 * (p - t2*sin/y[0]) / y[2]}
	}
	step := func(R, h float64, y [4]float64) [4]float64 {
		add := func(a, b [4]float64, s float64) [4]float64 {
			for i := range a {
				a[i] += s * b[i]
			}
			return a
		}
		k1 := rate(R, y)
		k2 := rate(R+h/2, add(y, k1, h/2))
		k3 := rate(R+h/2, add(y, k2, h/2))
		k4 := rate(R+h, add(y, k3, h))
		y = add(y, k1, h/6)
		y = add(y, k2, h/3)
		y = add(y, k3, h/3)
		return add(y, k4, h/6)
	}
	R := eps
	y = step(R, h-eps, y)
	R = h
	for i := 1; i < steps; i++ {
		y = step(R, h, y)
		R = float64(i+1) * h
		if y[0] <= 0 {
			return 0, y[1], 0
		}
	}
	return y[0], y[1], along(w, y[2], y[0])
}
