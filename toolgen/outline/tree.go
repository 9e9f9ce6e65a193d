package outline

import (
	"slices"

	"platen/toolgen/geom"
)

// leafSize is the number of elements below which a list beats a tree.
const leafSize = 8

// tree is a box hierarchy over the elements of a long outline (lettering has hundreds).
type tree struct{ nodes []treeNode }

type treeNode struct {
	box         geom.Box2
	left, right int32   // children, 0 for a leaf
	elems       []int32 // of a leaf
}

func newTree(es []Elem) *tree {
	if len(es) <= 2*leafSize {
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
	t.nodes = append(t.nodes, treeNode{box: box})
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

func (t *tree) search(es []Elem, p geom.Vec2, best *Nearest) {
	var stack [48]int32
	n := 1
	for n > 0 {
		n--
		node := &t.nodes[stack[n]]
		if d := node.box.Dist(p); best.any && d*d > best.d2*(1+1e-12)+2*best.slack {
			continue
		}
		if node.elems != nil {
			for _, i := range node.elems {
				best.Try(es[i], p, int(i))
			}
			continue
		}
		l, r := node.left, node.right
		if t.nodes[l].box.Dist(p) < t.nodes[r].box.Dist(p) {
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
	if n.box.Dist(p) > rho {
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
