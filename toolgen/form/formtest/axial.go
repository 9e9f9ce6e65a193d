package formtest

import (
	"math"

	"platen/toolgen/form"
	"platen/toolgen/geom"
)

// Axial is a round sheet reduced to its meridian: line elements with a stretch along and one around,
// stuck where they land. It shares the law's constants with the sheet in space and nothing else.
type Axial struct {
	Radius   float64 // of the clamp, mm
	Gauge    float64
	Law      form.Law
	Pressure float64
	Section  Section
	Elements int
	Steps    int
}

// Ring is an element of the formed meridian.
type Ring struct {
	At        geom.Vec2 // its middle: radius and height
	Thickness float64
}

// Form forms the sheet on the section.
//
// SOURCE: derived: W(l1, l2) per volume with l1 along and l2 around; the forces on the ends of an
// element are -A0 t0 dW/dl times the change of the stretch, and the pressure on its cone.
func (a Axial) Form() []Ring {
	n := a.Elements
	h := a.Radius / float64(n)
	x, v, old := make([]geom.Vec2, n+1), make([]geom.Vec2, n+1), make([]geom.Vec2, n+1)
	f, m := make([]geom.Vec2, n+1), make([]float64, n+1)
	held := make([]bool, n+1)
	for i := range x {
		x[i] = geom.Vec2{X: float64(i) * h}
	}
	held[n] = true
	c := 0.05
	for step, k := 0, 0; k < a.Steps && step < 4*a.Steps; step++ {
		u := min(1, 1.25*float64(k+1)/float64(a.Steps)) // the last fifth holds the pressure
		a.forces(x, f, m, a.Pressure*u*u)
		work, mass, fast := 0.0, 0.0, 0.0
		for i := range n {
			if held[i] {
				continue
			}
			work += v[i].Dot(old[i].Sub(f[i]))
			mass += m[i] * v[i].Dot(v[i])
			old[i] = f[i]
			v[i] = v[i].Scale(1 - c/2).Add(f[i].Scale(1 / m[i])).Scale(1 / (1 + c/2))
			if i == 0 {
				v[i].X = 0
			}
			if s := v[i].Norm(); s > 0.3*h {
				v[i] = v[i].Scale(0.3 * h / s)
			}
			x[i] = x[i].Add(v[i])
			if a.Section != nil {
				if d, dir := a.Section.at(x[i]); d <= 0 {
					x[i], held[i] = x[i].Sub(dir.Scale(d)), true
					continue
				}
			}
			fast = max(fast, v[i].Norm())
		}
		if mass > 0 {
			c = 0.95*c + 0.05*max(0.002, min(1.5, 2*math.Sqrt(max(0, work/mass))))
		}
		if fast <= 0.2*h {
			k++
		}
	}
	rings := make([]Ring, n)
	for i := range rings {
		l1, l2 := a.stretches(x, i)
		rings[i] = Ring{x[i].Add(x[i+1]).Scale(0.5), a.Gauge / (l1 * l2)}
	}
	return rings
}

// stretches returns the stretches of element i along and around.
func (a Axial) stretches(x []geom.Vec2, i int) (along, around float64) {
	h := a.Radius / float64(a.Elements)
	return x[i+1].Sub(x[i]).Norm() / h, (x[i].X + x[i+1].X) / (float64(2*i+1) * h)
}

// forces sets the forces and fictitious masses of the nodes.
func (a Axial) forces(x, f []geom.Vec2, m []float64, p float64) {
	for i := range f {
		f[i], m[i] = geom.Vec2{}, 0
	}
	h := a.Radius / float64(a.Elements)
	for i := range a.Elements {
		along, around := a.stretches(x, i)
		e := x[i+1].Sub(x[i])
		length := e.Norm()
		dir := e.Scale(1 / length)
		vol := math.Pi * float64(2*i+1) * h * h * a.Gauge
		w := a.Law
		j2 := along * along * around * around
		da := 2*w.C1*(along-1/(along*j2)) + 2*w.C2*(along*around*around-1/(along*along*along)) + 2*w.A*along*around*around
		db := 2*w.C1*(around-1/(around*j2)) + 2*w.C2*(around*along*along-1/(around*around*around)) + 2*w.A*around*along*along
		pull := dir.Scale(vol * da / h)
		hoop := vol * db / (float64(2*i+1) * h)
		press := dir.Left().Scale(-p * math.Pi * (x[i].X + x[i+1].X) * length / 2)
		f[i] = f[i].Add(pull).Add(press)
		f[i+1] = f[i+1].Sub(pull).Add(press)
		f[i].X -= hoop
		f[i+1].X -= hoop
		stiff := vol * (w.C1 + w.C2*(1+around*around+along*along) + w.A*j2) * (1/(h*h) + 1/(float64((2*i+1)*(2*i+1))*h*h)) * 8
		m[i] += stiff
		m[i+1] += stiff
	}
}
