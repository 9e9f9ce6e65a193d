package air

import (
	"math"

	"platen/toolgen/geom"
)

// mouth is a hole as the sheet sees it.
type mouth struct {
	area   float64 // effective, m2
	under  []int   // triangles of the sheet over its middle and its rim
	closes int     // step at which the last of them has landed
}

// rims are the points of the rim at which the sheet over a hole is looked up.
const rims = 8

// mouths finds the sheet over the holes.
func (b *builder) mouths(holes []Hole) {
	if len(holes) == 0 {
		return
	}
	finder := b.sh.Finder()
	for _, h := range holes {
		m := mouth{area: HoleArea(h.Dia, h.Back)}
		for k := range rims + 1 {
			at := h.At
			if k > 0 {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / rims)
				at = at.Add(geom.Vec3{X: cos, Y: sin}.Scale(h.Dia / 2))
			}
			t := finder.Nearest(at).Triangle
			m.under = append(m.under, t)
			for _, n := range b.sh.Triangles[t].N {
				m.closes = max(m.closes, int(b.sh.Nodes[n].Step))
			}
		}
		b.holes = append(b.holes, m)
	}
}

// group returns the group that a hole is open to, -1 for a covered one.
func (m *mouth) group(label []int32) int32 {
	for _, t := range m.under {
		if label[t] >= 0 {
			return label[t]
		}
	}
	return -1
}
