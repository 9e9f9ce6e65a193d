package mesh

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
)

// valid refuses meshes whose numbers cannot be read: corners that are no vertices, coordinates that
// are not finite, too small for package exact or too large for boxes in 32-bit numbers, and a list of pieces of the wrong length.
func (m *Mesh) valid() error {
	if len(m.P) != 0 && len(m.P) != len(m.T) {
		return fmt.Errorf("mesh: %d pieces for %d triangles; there must be one for each, or none", len(m.P), len(m.T))
	}
	if len(m.T) > math.MaxInt32/3 {
		return fmt.Errorf("mesh: %d triangles; at most %d can be handled", len(m.T), math.MaxInt32/3)
	}
	for i, v := range m.V {
		for _, x := range [3]float64{v.X, v.Y, v.Z} {
			if a := math.Abs(x); !(a == 0 || a >= 0x1p-190 && a <= 0x1p40) {
				return fmt.Errorf("mesh: vertex %d has the coordinate %g; it must be 0 or between 6e-58 and 1e12 mm in size", i, x)
			}
		}
	}
	for t, c := range m.T {
		for _, v := range c {
			if v < 0 || int(v) >= len(m.V) {
				return fmt.Errorf("mesh: triangle %d has the corner %d; there are %d vertices", t, v, len(m.V))
			}
		}
	}
	return nil
}

// use is the use of an edge by a triangle: the edge from corner half%3 of triangle half/3 to the
// next corner.
type use struct {
	far  int32 // the end of the edge with the larger number
	half int32
}

// triangle and corner say where the edge starts.
func (u use) triangle() int { return int(u.half / 3) }
func (u use) corner() int   { return int(u.half % 3) }

// next returns the half of the next corner of the same triangle.
func (u use) next() int32 { return u.half - u.half%3 + (u.half+1)%3 }

// halves returns the halves that start at the edge's smaller and larger end.
func (m *Mesh) halves(u use) (near, far int32) {
	if m.forward(u) {
		return u.half, u.next()
	}
	return u.next(), u.half
}

// forward reports whether the triangle runs along the edge from the smaller number to the larger.
func (m *Mesh) forward(u use) bool { return m.T[u.triangle()][u.corner()] != u.far }

// edges calls visit once for each edge of the accepted triangles, in order of the numbers of its
// ends, near < far, with its uses in order of triangles. It stops when ctx is done.
func (m *Mesh) edges(ctx context.Context, accept func(t int) bool, visit func(near int32, uses []use)) error {
	start := make([]int32, len(m.V)+1)
	for t, c := range m.T {
		if accept(t) {
			start[min(c[0], c[1])]++
			start[min(c[1], c[2])]++
			start[min(c[2], c[0])]++
		}
	}
	sum := int32(0)
	for i, n := range start {
		start[i] = sum
		sum += n
	}
	uses := make([]use, sum)
	fill := slices.Clone(start)
	for t, c := range m.T {
		if !accept(t) {
			continue
		}
		for k := range 3 {
			a, b := c[k], c[(k+1)%3]
			near := min(a, b)
			uses[fill[near]] = use{max(a, b), int32(3*t + k)}
			fill[near]++
		}
	}
	for v := range m.V {
		if v%4096 == 0 && ctx.Err() != nil {
			break
		}
		at := uses[start[v]:start[v+1]]
		slices.SortFunc(at, func(a, b use) int { return cmp.Or(cmp.Compare(a.far, b.far), cmp.Compare(a.half, b.half)) })
		for len(at) > 0 {
			n := 1
			for n < len(at) && at[n].far == at[0].far {
				n++
			}
			visit(int32(v), at[:n])
			at = at[n:]
		}
	}
	return ctx.Err()
}

// sets is a partition of numbers into sets; the least number stands for its set.
type sets []int32

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

func (s sets) find(i int32) int32 {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

func (s sets) join(a, b int32) {
	a, b = s.find(a), s.find(b)
	s[max(a, b)] = min(a, b)
}
