package mesh

import (
	"cmp"
	"context"
	"slices"

	"platen/toolgen/geom"
)

// Crossing is a pair of triangles that meet where they should not; A < B.
type Crossing struct{ A, B int }

// Crossings returns the number of pairs of triangles that have a point in common beyond the corners
// they share by number, and the first few pairs in order, at most keep. Touching counts: a corner
// that lies on a foreign triangle, or two corners with the same coordinates and different numbers.
// Triangles of one plane that share a side count when they fold over each other, and two triangles
// with the same three corners always count. Triangles without area are left out.
//
// ERROR: none in the count; it is decided exactly on the coordinates as given (package exact).
// Returns an error only when ctx is done or the mesh has unreadable numbers.
func (m *Mesh) Crossings(ctx context.Context, keep int) (int, []Crossing, error) {
	if err := m.valid(); err != nil {
		return 0, nil, err
	}
	views, err := m.views(ctx)
	if err != nil {
		return 0, nil, err
	}
	return m.crossings(ctx, views, keep)
}

// view is how a triangle is best seen along an axis. The zero view is that of a triangle whose
// corners lie exactly on one line: it has no area.
type view struct {
	along flat
	turn  int8 // 1 counter-clockwise, -1 clockwise
}

func (m *Mesh) views(ctx context.Context) ([]view, error) {
	v := make([]view, len(m.T))
	err := each(ctx, chunks(len(m.T)), func(_, c int) {
		from, to := chunkAt(c, len(m.T))
		for t := from; t < to; t++ {
			v[t] = m.view(t)
		}
	})
	return v, err
}

func (m *Mesh) view(t int) view {
	switch f, o := flatten(m.corners(t)); {
	case o > 0:
		return view{f, 1}
	case o < 0:
		return view{f, -1}
	}
	return view{}
}

// degenerate reports whether triangle t has no area.
func (m *Mesh) degenerate(t int) bool { return m.view(t).turn == 0 }

// couple is a pair of nodes whose triangles are to be compared; with itself when they are equal.
type couple struct{ a, b int32 }

// tasks is the number of couples the work is cut into; fixed, so that it does not depend on the
// number of cores.
const tasks = 1024

// harvest is what one task found.
type harvest struct {
	keep  int // how many to list
	count int
	first []Crossing // at least the first keep
}

func (m *Mesh) crossings(ctx context.Context, views []view, keep int) (int, []Crossing, error) {
	tr, err := newTree(ctx, m, func(t int) bool { return views[t].turn != 0 })
	if err != nil || len(tr.nodes) == 0 {
		return 0, nil, err
	}
	work := tr.couples()
	found := make([]harvest, len(work))
	for i := range found {
		found[i].keep = keep
	}
	stacks := make([][]couple, workers())
	err = each(ctx, len(work), func(w, i int) {
		stacks[w] = m.compare(ctx, tr, views, work[i], stacks[w][:0], &found[i])
	})
	if err != nil {
		return 0, nil, err
	}
	count := 0
	var first []Crossing
	for _, h := range found {
		count += h.count
		first = lowest(append(first, h.first...), keep)
	}
	return count, first, nil
}

// lowest sorts the pairs and drops all but the first keep.
func lowest(c []Crossing, keep int) []Crossing {
	slices.SortFunc(c, func(x, y Crossing) int { return cmp.Or(cmp.Compare(x.A, y.A), cmp.Compare(x.B, y.B)) })
	return c[:min(len(c), keep)]
}

// couples cuts the comparison of the tree with itself into about the wanted number of tasks.
func (t *tree) couples() []couple {
	work := []couple{{0, 0}}
	for len(work) < tasks {
		var next []couple
		for _, c := range work {
			next = t.refine(c, next)
		}
		if slices.Equal(next, work) {
			break
		}
		work = next
	}
	return work
}

// refine appends the couples that c consists of, less those whose boxes lie apart; c itself when
// both nodes are leaves.
func (t *tree) refine(c couple, out []couple) []couple {
	a, b := &t.nodes[c.a], &t.nodes[c.b]
	switch {
	case c.a == c.b:
		if a.count > 0 {
			return append(out, c)
		}
		l, r := c.a+1, a.first
		out = append(out, couple{l, l}, couple{r, r})
		if t.nodes[l].overlaps(&t.nodes[r].span) {
			out = append(out, couple{l, r})
		}
		return out
	case a.count > 0 && b.count > 0:
		return append(out, c)
	case b.count > 0 || a.count == 0 && a.half() >= b.half():
		for _, k := range [2]int32{c.a + 1, a.first} {
			if t.nodes[k].overlaps(&b.span) {
				out = append(out, couple{k, c.b})
			}
		}
	default:
		for _, k := range [2]int32{c.b + 1, b.first} {
			if t.nodes[k].overlaps(&a.span) {
				out = append(out, couple{c.a, k})
			}
		}
	}
	return out
}

// compare runs through the triangles of a couple and returns the stack for the next one. It gives up
// when ctx is done.
func (m *Mesh) compare(ctx context.Context, t *tree, views []view, c couple, stack []couple, h *harvest) []couple {
	stack = append(stack, c)
	for steps := 1; len(stack) > 0; steps++ {
		if steps%4096 == 0 && ctx.Err() != nil {
			return stack
		}
		c := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		a, b := &t.nodes[c.a], &t.nodes[c.b]
		if a.count == 0 || b.count == 0 {
			stack = t.refine(c, stack)
			continue
		}
		for i := a.first; i < a.first+a.count; i++ {
			from := b.first
			if c.a == c.b {
				from = i + 1
			}
			for j := from; j < b.first+b.count; j++ {
				if !t.boxes[i].overlaps(&t.boxes[j]) {
					continue
				}
				if p, q := int(t.order[i]), int(t.order[j]); m.cross(p, q, views[p]) {
					h.note(p, q)
				}
			}
		}
	}
	return stack
}

func (h *harvest) note(a, b int) {
	h.count++
	h.first = append(h.first, Crossing{min(a, b), max(a, b)})
	if len(h.first) >= 2*h.keep+16 {
		h.first = lowest(h.first, h.keep)
	}
}

// cross reports whether two triangles with an area meet beyond their common corners; v is the view
// of the first.
func (m *Mesh) cross(t, u int, v view) bool {
	p, q := m.T[t], m.T[u]
	if v.turn < 0 {
		p[1], p[2] = p[2], p[1]
	}
	common, pi, qi := 0, 0, 0 // sums of the places of common corners
	for i, a := range p {
		for j, b := range q {
			if a == b {
				common++
				pi += i
				qi += j
			}
		}
	}
	at := func(t [3]int32, i int) geom.Vec3 { return m.V[t[i%3]] }
	switch common {
	case 0:
		return meet(v.along, [3]geom.Vec3{m.V[p[0]], m.V[p[1]], m.V[p[2]]}, [3]geom.Vec3{m.V[q[0]], m.V[q[1]], m.V[q[2]]})
	case 1:
		return meetBeyond(v.along, at(p, pi), at(p, pi+1), at(p, pi+2), at(q, qi+1), at(q, qi+2))
	case 2:
		a, b := 3-pi, 3-qi // places of the corners not in common
		return foldOver(v.along, at(p, a+1), at(p, a+2), at(p, a), at(q, b))
	}
	return true
}
