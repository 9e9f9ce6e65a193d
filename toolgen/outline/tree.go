package outline

import (
	"slices"

	"platen/toolgen/geom"
)

// Sizes found by measurement: a list of up to shortList elements beats a tree.
const (
	shortList = 12
	leafSize  = 2
)

// tree is a box hierarchy over the elements of a long outline (lettering has hundreds).
type tree struct{ nodes []treeNode }

// rect is a box whose squared distance is cheap.
type rect geom.Box2

func (b *rect) dist2(p geom.Vec2) float64 {
	dx := max(b.Min.X-p.X, 0, p.X-b.Max.X)
	dy := max(b.Min.Y-p.Y, 0, p.Y-b.Max.Y)
	return float64(dx*dx) + float64(dy*dy)
}

type treeNode struct {
	box         rect
	left, right int32   // children, 0 for a leaf
	elems       []int32 // of a leaf
}

func newTree(es []Elem) *tree {
	if len(es) <= shortList {
		return nil
	}
	ids := make([]int32, len(es))
	for i := range ids {
		ids[i] = int32(i)
	}
	t := &tree{}
	t.build(es, ids)
	return t
}

func (t *tree) build(es []Elem, ids []int32) int32 {
	box := geom.EmptyBox2()
	for _, i := range ids {
		box = box.Join(es[i].Bounds())
	}
	at := int32(len(t.nodes))
	t.nodes = append(t.nodes, treeNode{box: rect(box)})
	if len(ids) <= leafSize {
		t.nodes[at].elems = ids
		return at
	}
	s := box.Size()
	slices.SortStableFunc(ids, func(a, b int32) int {
		ca, cb := es[a].A.Add(es[a].B), es[b].A.Add(es[b].B)
		d := ca.X - cb.X
		if s.Y > s.X {
			d = ca.Y - cb.Y
		}
		switch {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	half := len(ids) / 2
	l := t.build(es, ids[:half:half])
	r := t.build(es, ids[half:])
	t.nodes[at].left, t.nodes[at].right = l, r
	return at
}

// waiting is a node to visit and its squared distance.
type waiting struct {
	node int32
	d2   float64
}

func (t *tree) search(es []Elem, p geom.Vec2, best *Nearest) {
	var stack [48]waiting
	stack[0] = waiting{0, t.nodes[0].box.dist2(p)}
	for n := 1; n > 0; {
		n--
		w := stack[n]
		if best.any && w.d2 > best.d2*(1+1e-12)+2*best.slack {
			continue
		}
		node := &t.nodes[w.node]
		if node.elems != nil {
			for _, i := range node.elems {
				best.Try(es[i], p, int(i))
			}
			continue
		}
		l := waiting{node.left, t.nodes[node.left].box.dist2(p)}
		r := waiting{node.right, t.nodes[node.right].box.dist2(p)}
		if l.d2 < r.d2 {
			l, r = r, l
		}
		stack[n], stack[n+1] = l, r
		n += 2
	}
}

// Near calls visit with the index of every element within rho of p, in no fixed order.
func (o *Outline) Near(p geom.Vec2, rho float64, visit func(i int)) {
	try := func(i int) {
		if _, d2, _ := o.Elems[i].foot(p); d2 <= rho*rho {
			visit(i)
		}
	}
	if o.tree == nil {
		for i := range o.Elems {
			try(i)
		}
		return
	}
	o.tree.near(p, rho, 0, try)
}

func (t *tree) near(p geom.Vec2, rho float64, at int32, try func(i int)) {
	n := &t.nodes[at]
	if n.box.dist2(p) > rho*rho {
		return
	}
	if n.elems == nil {
		t.near(p, rho, n.left, try)
		t.near(p, rho, n.right, try)
		return
	}
	for _, i := range n.elems {
		try(int(i))
	}
}

// overlapping calls visit with the index of every element whose box, grown by joined, shares a point with
// box, until visit returns false.
func (o *Outline) overlapping(box geom.Box2, visit func(i int) bool) {
	if o.tree != nil {
		o.tree.overlapping(o.Elems, box, 0, visit)
		return
	}
	for i := range o.Elems {
		if o.Elems[i].Bounds().Grow(joined).Overlaps(box) && !visit(i) {
			return
		}
	}
}

func (t *tree) overlapping(es []Elem, box geom.Box2, at int32, visit func(i int) bool) bool {
	n := &t.nodes[at]
	if !geom.Box2(n.box).Grow(joined).Overlaps(box) {
		return true
	}
	if n.elems == nil {
		return t.overlapping(es, box, n.left, visit) && t.overlapping(es, box, n.right, visit)
	}
	for _, i := range n.elems {
		if es[i].Bounds().Grow(joined).Overlaps(box) && !visit(int(i)) {
			return false
		}
	}
	return true
}

// Crowded reports whether more than most pairs of elements have boxes that share a point: the pairs that
// Simple looks at one by one.
func (o *Outline) Crowded(most int) bool {
	n := 0
	for i := range o.Elems {
		o.overlapping(o.Elems[i].Bounds().Grow(joined), func(j int) bool {
			if j > i {
				n++
			}
			return n <= most
		})
		if n > most {
			return true
		}
	}
	return false
}
