package skin

import (
	"context"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// shorten halves every edge longer than most, longest first within each round, until none is left.
// Both triangles at an edge are halved with it, so the surface stays where it is but for the grid of
// vertices. most 0 leaves all edges.
func (w *work) shorten(ctx context.Context, most float64) error {
	if most == 0 {
		return nil
	}
	type edge = [2]int32
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		// A triangle is halved at its longest edge; an edge is taken when it is the longest of
		// both its triangles, ties going to the smaller numbers.
		choice := make([]edge, len(w.m.T))
		votes := map[edge]int{}
		any := false
		for i, t := range w.m.T {
			best, l := edge{}, -1.0
			for k := range 3 {
				e := edge{min(t[k], t[(k+1)%3]), max(t[k], t[(k+1)%3])}
				d := w.m.V[e[0]].Sub(w.m.V[e[1]])
				if n := d.Dot(d); n > l || n == l && slices.Compare(e[:], best[:]) < 0 {
					best, l = e, n
				}
			}
			if l > most*most {
				choice[i] = best
				votes[best]++
				any = true
			}
		}
		if !any {
			return nil
		}
		mid := map[edge]int32{}
		for i := range choice {
			e := choice[i]
			if e == (edge{}) || votes[e] != 2 {
				continue
			}
			m, ok := mid[e]
			if !ok {
				m = w.vertex(middle(w.m.V[e[0]], w.m.V[e[1]]))
				mid[e] = m
			}
			t := w.m.T[i]
			for k := range 3 {
				a, b, c := t[k], t[(k+1)%3], t[(k+2)%3]
				if min(a, b) == e[0] && max(a, b) == e[1] {
					w.m.T[i] = [3]int32{a, m, c}
					w.m.T = append(w.m.T, [3]int32{m, b, c})
					w.m.P = append(w.m.P, w.m.P[i])
					w.from = append(w.from, w.from[i])
					break
				}
			}
		}
	}
}

// middle returns the grid point nearest to the middle of a and b.
func middle(a, b geom.Vec3) geom.Vec3 { return mesh.Quantise(a.Add(b).Scale(0.5)) }
