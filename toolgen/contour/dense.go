package contour

import (
	"math"

	"platen/toolgen/geom"
)

// denseOrder is the order of the barycentric grid of the promised measure: 91 points a triangle.
const denseOrder = 12

// worst is the largest deviation found on a triangle and its place.
type worst struct {
	d  float64
	at geom.Vec3
	w  [3]int // barycentric, in twelfths
}

// dense measures a triangle at all points of the grid.
func (r *run) dense(p *probe, t int32) worst {
	v := r.s.t[t]
	a, b, c := r.s.p[v[0]], r.s.p[v[1]], r.s.p[v[2]]
	var w worst
	for i := 0; i <= denseOrder; i++ {
		for j := 0; i+j <= denseOrder; j++ {
			k := denseOrder - i - j
			q := a.Scale(float64(i) / denseOrder).Add(b.Scale(float64(j) / denseOrder)).Add(c.Scale(float64(k) / denseOrder))
			if d := math.Abs(p.at(q).D); !(d <= w.d) {
				w = worst{d, q, [3]int{i, j, k}}
			}
		}
	}
	return w
}

func (r *run) mend() error { return nil }
