package form

import "math"

// buckling is the strain at which a plate folds, times the square of its width over its thickness: 4 pi^2/(12 (1 - nu^2)),
// for a long strip pressed along its sides, or pressed across them and clamped there, with nu = 1/2. Source: Timoshenko and
// Gere, Theory of Elastic Stability, 2nd ed., 1961, sections 7.1 and 9.2.
const buckling = 4 * math.Pi * math.Pi / 9

// Folding reports, by triangle, whether the sheet is pressed together there and may fold. Two things must hold. Pressed
// together is what is left of it in the mean round the corners: single triangles that are so beside others that are not
// are the mesh's noise. And the patch that is pressed together must be wide enough to buckle, its width taken as the
// square root of its area: a narrower one is held flat by the sheet's own thickness, and only grows thicker.
// In webbing, where means mean nothing, the triangles speak for themselves.
func (sh *Sheet) Folding() []bool {
	share := sh.across()
	patch := newUnion(len(sh.Nodes))
	pressed := func(k int) bool { return share[k] < wrinkleShare && !sh.Webs(k) }
	for k := range sh.Triangles {
		if n := sh.Triangles[k].N; pressed(k) {
			patch.join(n[0], n[1])
			patch.join(n[0], n[2])
		}
	}
	area, strain := make([]float64, len(sh.Nodes)), make([]float64, len(sh.Nodes))
	for k := range sh.Triangles {
		if pressed(k) {
			i, a := patch.find(sh.Triangles[k].N[0]), sh.Area(k)
			area[i] += a
			strain[i] += a * (1 - share[k])
		}
	}
	out := make([]bool, len(sh.Triangles))
	for k := range out {
		if sh.Webs(k) {
			out[k] = sh.Triangles[k].Wrinkled
			continue
		}
		// mean strain x area / gauge^2 against the strain that buckles it
		out[k] = pressed(k) && strain[patch.find(sh.Triangles[k].N[0])] > buckling*sh.Gauge*sh.Gauge
	}
	return out
}

// across returns how wide the sheet is across, by triangle, over what plain tension along would leave it: from the mean
// of the squared stretches round the corners, weighed by flat area.
func (sh *Sheet) across() []float64 {
	type tensor struct{ xx, xy, yy, w float64 }
	around := make([]tensor, len(sh.Nodes))
	for k := range sh.Triangles {
		if sh.Webs(k) {
			continue
		}
		t := sh.Triangles[k].N
		a, b, c := &sh.Nodes[t[0]], &sh.Nodes[t[1]], &sh.Nodes[t[2]]
		u, v := b.Flat.Sub(a.Flat), c.Flat.Sub(a.Flat)
		det := u.Cross(v)
		g11, g12, g22 := metric(a.At, b.At, c.At)
		// rows of the inverse of the flat edges: a step (x, y) is p u + q v
		px, py, qx, qy := v.Y/det, -v.X/det, -u.Y/det, u.X/det
		xx := g11*px*px + 2*g12*px*qx + g22*qx*qx
		xy := g11*px*py + g12*(px*qy+qx*py) + g22*qx*qy
		yy := g11*py*py + 2*g12*py*qy + g22*qy*qy
		for _, i := range t {
			m := &around[i]
			m.xx, m.xy, m.yy, m.w = m.xx+det*xx, m.xy+det*xy, m.yy+det*yy, m.w+det
		}
	}
	out := make([]float64, len(sh.Triangles))
	for k := range out {
		var m tensor
		for _, i := range sh.Triangles[k].N {
			if n := &around[i]; n.w > 0 {
				m.xx, m.xy, m.yy, m.w = m.xx+n.xx/n.w, m.xy+n.xy/n.w, m.yy+n.yy/n.w, m.w+1
			}
		}
		if m.w == 0 {
			continue
		}
		tr, root := (m.xx+m.yy)/m.w, math.Hypot(m.xx-m.yy, 2*m.xy)/m.w
		large, small := (tr+root)/2, (tr-root)/2
		out[k] = math.Sqrt(max(0, small) * math.Sqrt(large))
	}
	return out
}
