package mesh

import (
	"context"
	"math"

	"platen/toolgen/geom"
)

// span is an axis-parallel box in 32-bit numbers, rounded outward: it holds at least what it says.
type span struct{ lo, hi [3]float32 }

func emptySpan() span {
	i := float32(math.Inf(1))
	return span{[3]float32{i, i, i}, [3]float32{-i, -i, -i}}
}

func (s *span) join(o *span) {
	for k := range 3 {
		s.lo[k], s.hi[k] = min(s.lo[k], o.lo[k]), max(s.hi[k], o.hi[k])
	}
}

func (s *span) overlaps(o *span) bool {
	return s.lo[0] <= o.hi[0] && o.lo[0] <= s.hi[0] &&
		s.lo[1] <= o.hi[1] && o.lo[1] <= s.hi[1] &&
		s.lo[2] <= o.hi[2] && o.lo[2] <= s.hi[2]
}

// half returns half the surface of the box, what the tree is balanced by.
func (s *span) half() float32 {
	x, y, z := s.hi[0]-s.lo[0], s.hi[1]-s.lo[1], s.hi[2]-s.lo[2]
	return x*y + y*z + z*x
}

// dist2 returns the square of a lower bound of the distance from p.
func (s *span) dist2(p geom.Vec3) float64 {
	x := max(float64(s.lo[0])-p.X, 0, p.X-float64(s.hi[0]))
	y := max(float64(s.lo[1])-p.Y, 0, p.Y-float64(s.hi[1]))
	z := max(float64(s.lo[2])-p.Z, 0, p.Z-float64(s.hi[2]))
	return float64(x*x) + float64(y*y) + float64(z*z)
}

// below and above round to 32 bits, down and up.
func below(x float64) float32 {
	f := float32(x)
	if float64(f) > x {
		return math.Nextafter32(f, float32(math.Inf(-1)))
	}
	return f
}

func above(x float64) float32 { return -below(-x) }

// node is a box of the tree: an inner node when count is 0, its children being the next node and
// the one at first; otherwise a leaf with count triangles of the order from first on.
type node struct {
	span
	first, count int32
}

// tree is a hierarchy of boxes over the triangles of a mesh. How it is built does not depend on the
// number of cores.
type tree struct {
	nodes []node
	order []int32 // triangles, leaf by leaf
	boxes []span  // by place in order
}

const (
	leafSize = 4  // triangles in a leaf; 2 and 8 measured slower on level meshes
	bins     = 16 // candidate cuts per node
)

// newTree builds the tree over the triangles that take accepts.
func newTree(ctx context.Context, m *Mesh, take func(t int) bool) (*tree, error) {
	t := &tree{}
	for i := range m.T {
		if i%4096 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if take(i) {
			t.order = append(t.order, int32(i))
			t.boxes = append(t.boxes, m.span(i))
		}
	}
	if len(t.order) == 0 {
		return t, ctx.Err()
	}
	t.nodes = make([]node, 0, 2*len(t.order)/leafSize*2+1)
	t.build(ctx, 0, len(t.order))
	return t, ctx.Err()
}

// span returns the box of a triangle.
func (m *Mesh) span(t int) span {
	a, b, c := m.corners(t)
	return span{
		[3]float32{below(min(a.X, b.X, c.X)), below(min(a.Y, b.Y, c.Y)), below(min(a.Z, b.Z, c.Z))},
		[3]float32{above(max(a.X, b.X, c.X)), above(max(a.Y, b.Y, c.Y)), above(max(a.Z, b.Z, c.Z))},
	}
}

// build appends the node over order[from:to] and all below it.
func (t *tree) build(ctx context.Context, from, to int) {
	at := len(t.nodes)
	n := node{span: emptySpan()}
	mid := emptySpan() // of the middles, doubled
	for i := from; i < to; i++ {
		b := &t.boxes[i]
		n.join(b)
		for k := range 3 {
			c := b.lo[k] + b.hi[k]
			mid.lo[k], mid.hi[k] = min(mid.lo[k], c), max(mid.hi[k], c)
		}
	}
	t.nodes = append(t.nodes, n)
	cut := from
	if to-from > leafSize && ctx.Err() == nil {
		cut = t.split(from, to, &mid)
	}
	if cut == from || cut == to {
		if to-from > leafSize && ctx.Err() == nil {
			cut = (from + to) / 2 // all middles coincide: any halves will do
		} else {
			t.nodes[at].first, t.nodes[at].count = int32(from), int32(to-from)
			return
		}
	}
	t.build(ctx, from, cut)
	t.nodes[at].first = int32(len(t.nodes))
	t.build(ctx, cut, to)
}

// split sorts order[from:to] into two parts and returns where the second begins. It cuts the longest
// axis of the middles where the sum of box surface times triangles is least, the usual estimate of
// the work a query has with them.
func (t *tree) split(from, to int, mid *span) int {
	axis, length := 0, mid.hi[0]-mid.lo[0]
	for k := 1; k < 3; k++ {
		if l := mid.hi[k] - mid.lo[k]; l > length {
			axis, length = k, l
		}
	}
	if length <= 0 {
		return from
	}
	scale := bins * (1 - 1e-6) / length
	bin := func(i int) int {
		b := &t.boxes[i]
		return min(int((b.lo[axis]+b.hi[axis]-mid.lo[axis])*scale), bins-1)
	}
	var count [bins]int
	var box [bins]span
	for i := range box {
		box[i] = emptySpan()
	}
	for i := from; i < to; i++ {
		k := bin(i)
		count[k]++
		box[k].join(&t.boxes[i])
	}
	var cost [bins]float32 // of cutting before bin k
	left, n := emptySpan(), 0
	for k := 1; k < bins; k++ {
		left.join(&box[k-1])
		n += count[k-1]
		cost[k] = weigh(&left, n)
	}
	right, n := emptySpan(), 0
	best, least := 0, float32(math.Inf(1))
	for k := bins - 1; k > 0; k-- {
		right.join(&box[k])
		n += count[k]
		if c := cost[k] + weigh(&right, n); c < least && n > 0 && n < to-from {
			best, least = k, c
		}
	}
	i, j := from, to
	for i < j {
		if bin(i) < best {
			i++
			continue
		}
		j--
		t.order[i], t.order[j] = t.order[j], t.order[i]
		t.boxes[i], t.boxes[j] = t.boxes[j], t.boxes[i]
	}
	return i
}

func weigh(s *span, n int) float32 {
	if n == 0 {
		return 0
	}
	return s.half() * float32(n)
}
