package stack

import (
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// Section is a vertical cut through two parts that rest on each other, where they first touch.
type Section struct {
	At    geom.Vec3 // where they touch, lower part's frame
	Along geom.Vec2 // unit, of the cut in plan
	Lower [][2]geom.Vec2
	Upper [][2]geom.Vec2 // edges of the sections, X along the cut from At, Y the height
}

// Cut cuts two shells, each in the frame of its part, as the parts rest: square to the sides that touch,
// or along X where they touch on a level.
func (r *Rest) Cut(lower, upper *mesh.Mesh) Section {
	p := r.Peaks[0]
	s := Section{At: p.At}
	q := r.Lower.m.Point(p.At)
	s.Along = across(r.Lower.normal(r.Lower.field.Face(q).G))
	s.Lower = cut(lower, s.At.Plan(), s.Along, func(v geom.Vec3) geom.Vec3 { return v })
	s.Upper = cut(upper, s.At.Plan(), s.Along, r.Placed)
	return s
}

// offLevel is the slope from the level up to which sides touch on a level: with less, which way they lean is
// that of the ridges of the walls.
const offLevel = geom.Degree

// across returns the direction in plan square to a side with a unit normal, or X where it is level.
func across(n geom.Vec3) geom.Vec2 {
	if plan := n.Plan(); plan.Norm() > offLevel.Sin() {
		return plan.Unit()
	}
	return geom.Vec2{X: 1}
}

// Placed returns where a place of the upper part, in its own frame, comes to lie in that of the lower one.
func (r *Rest) Placed(v geom.Vec3) geom.Vec3 { return r.Place.Plan(v.Plan()).At(v.Z + r.Lift) }

// cut returns the edges in which a vertical plane cuts a closed mesh, the material on their left.
func cut(m *mesh.Mesh, at, along geom.Vec2, to func(geom.Vec3) geom.Vec3) [][2]geom.Vec2 {
	v := make([]geom.Vec3, len(m.V))
	off := make([]float64, len(m.V))
	for i := range m.V {
		v[i] = to(m.V[i])
		off[i] = along.Cross(v[i].Plan().Sub(at))
	}
	flat := func(p geom.Vec3) geom.Vec2 { return geom.Vec2{X: p.Plan().Sub(at).Dot(along), Y: p.Z} }
	var out [][2]geom.Vec2
	for _, t := range m.T {
		var from, into geom.Vec2
		n := 0
		for k := range 3 {
			a, b := t[k], t[(k+1)%3]
			if (off[a] >= 0) == (off[b] >= 0) {
				continue
			}
			u := off[a] / (off[a] - off[b])
			p := flat(v[a].Add(v[b].Sub(v[a]).Scale(u)))
			if off[a] >= 0 { // leaves the far side
				from = p
			} else {
				into = p
			}
			n++
		}
		if n == 2 {
			out = append(out, [2]geom.Vec2{into, from})
		}
	}
	return out
}
