package outline

import (
	"fmt"
	"math"
	"slices"

	"platen/toolgen/geom"
)

// ellipseTol is how far, mm, the arcs that stand for an ellipse may lie from it.
const ellipseTol = 1e-6

// Map returns the image of the outline under m. A map that mirrors reverses every loop, so that the
// inside stays on the left. Where m scales alike in every direction arcs stay arcs, exactly; under
// unlike scales an arc becomes a tangent chain of arcs within 1e-6 mm of its ellipse.
//
// ERROR: a map without area, or one that leaves an element without length.
func (o *Outline) Map(m geom.Affine) (*Outline, error) {
	if d := m.Det(); d == 0 || d-d != 0 {
		return nil, fmt.Errorf("the map of the outline has no area")
	}
	loops := make([][]Elem, len(o.Loops))
	for i := range o.Loops {
		l, err := mapLoop(o.Loop(i), m)
		if err != nil {
			return nil, err
		}
		loops[i] = l
	}
	return New(loops...)
}

func mapLoop(l []Elem, m geom.Affine) ([]Elem, error) {
	s, similar := m.Similar()
	out := make([]Elem, 0, len(l))
	for _, e := range l {
		f := Elem{A: m.Point(e.A), B: m.Point(e.B)}
		switch {
		case e.R == 0:
			out = append(out, f)
		case similar:
			f.C, f.R = m.Point(e.C), s*e.R
			out = append(out, f)
		default:
			arcs, err := Fit(ellipse(e, m), ellipseTol)
			if err != nil {
				return nil, err
			}
			arcs[0].A, arcs[len(arcs)-1].B = f.A, f.B
			out = append(out, arcs...)
		}
	}
	if m.Det() < 0 {
		slices.Reverse(out)
		for i, e := range out {
			out[i].A, out[i].B = e.B, e.A
			// Mirroring alone turns a left arc into a right one, running it backwards turns it back;
			// a fitted arc has been mirrored by its curve already.
			if !similar {
				out[i].R = -e.R
			}
		}
	}
	return out, nil
}

// ellipse returns the image of an arc as a curve.
func ellipse(e Elem, m geom.Affine) Curve {
	turn := float64(e.Sweep())
	if e.R < 0 {
		turn = -turn
	}
	a := e.A.Sub(e.C)
	sense := math.Copysign(1, e.R)
	return func(t float64) (p, dir geom.Vec2) {
		v := a.Turn(geom.Angle(t * turn))
		if t == 1 {
			v = e.B.Sub(e.C)
		}
		return m.Point(e.C.Add(v)), m.Dir(v.Left().Scale(sense)).Unit()
	}
}
