package form

import (
	"slices"

	"platen/toolgen/geom"
)

// Spot is a place where the sheet lands last: where air is caught, so where a hole belongs.
type Spot struct {
	Node   int32     // the last node to land there, or the one that ends farthest from the tool
	At     geom.Vec3 // its place
	Step   int32     // when it landed; Never if it did not
	Joined int32     // step at which the part around it lost touch with a part that landed later still; 0 for the last of all
	Area   float64   // of that part then, mm2
	Gap    float64   // left at the end, mm
}

// Spots returns the places where the sheet lands last, the last one first. A part of the sheet
// counts when it and what it was cut off from are larger than least, mm2. Places on platen and
// walls are left out, and the land that the flat sheet lies on from the start.
//
// SOURCE: derived: the nodes are laid out in the reverse order of landing; the parts that form and
// then grow together are the islands of air running backwards (a merge tree).
func (sh *Sheet) Spots(least float64) []Spot {
	order := make([]int32, len(sh.Nodes))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int {
		switch na, nb := &sh.Nodes[a], &sh.Nodes[b]; {
		case later(na, nb):
			return -1
		case later(nb, na):
			return 1
		}
		return int(a - b)
	})
	w := spotWalk{sh: sh, least: least, sets: newUnion(len(order)), area: sh.nodeAreas(), top: make([]int32, len(order)), laid: make([]bool, len(order))}
	first, beside := sh.neighbours()
	for _, i := range order {
		w.laid[i], w.top[i] = true, i
		for _, j := range beside[first[i]:first[i+1]] {
			if w.laid[j] {
				w.join(i, j)
			}
		}
	}
	for i := range order {
		if w.sets.find(int32(i)) == int32(i) {
			w.keep(int32(i), 0)
		}
	}
	slices.SortStableFunc(w.spots, func(a, b Spot) int {
		switch na, nb := &sh.Nodes[a.Node], &sh.Nodes[b.Node]; {
		case later(na, nb):
			return -1
		case later(nb, na):
			return 1
		}
		return int(a.Node - b.Node)
	})
	return w.spots
}

// spotWalk lays the nodes out one by one.
type spotWalk struct {
	sh    *Sheet
	least float64
	sets  union
	area  []float64 // by set
	top   []int32   // by set: its last node
	laid  []bool
	spots []Spot
}

// join puts the part of node j to that of node i, which is being laid.
func (w *spotWalk) join(i, j int32) {
	a, b := w.sets.find(i), w.sets.find(j)
	if a == b {
		return
	}
	young, old := a, b
	if later(&w.sh.Nodes[w.top[a]], &w.sh.Nodes[w.top[b]]) {
		young, old = b, a
	}
	if w.area[young] > w.least && w.area[old] > w.least {
		w.keep(young, w.sh.Nodes[i].Step)
	}
	top, area := w.top[old], w.area[a]+w.area[b]
	w.sets.join(a, b)
	c := w.sets.find(a)
	w.top[c], w.area[c] = top, area
}

func (w *spotWalk) keep(set, joined int32) {
	n := &w.sh.Nodes[w.top[set]]
	if n.Step == 0 || n.Step == joined || n.Off || n.Status == Webbing || n.Status == Clamped {
		return
	}
	w.spots = append(w.spots, Spot{Node: w.top[set], At: n.At, Step: n.Step, Joined: joined, Area: w.area[set], Gap: n.Gap})
}

// nodeAreas returns a third of the area of the triangles around each node.
func (sh *Sheet) nodeAreas() []float64 {
	out := make([]float64, len(sh.Nodes))
	for k := range sh.Triangles {
		a := sh.Area(k) / 3
		for _, i := range sh.Triangles[k].N {
			out[i] += a
		}
	}
	return out
}

// neighbours returns the nodes beside each node; some may be listed twice.
func (sh *Sheet) neighbours() (first, beside []int32) {
	first = make([]int32, len(sh.Nodes)+2)
	for _, t := range sh.Triangles {
		for _, i := range t.N {
			first[i+2] += 2
		}
	}
	for i := range sh.Nodes {
		first[i+2] += first[i+1]
	}
	beside = make([]int32, first[len(sh.Nodes)+1])
	for _, t := range sh.Triangles {
		for c, i := range t.N {
			beside[first[i+1]], beside[first[i+1]+1] = t.N[(c+1)%3], t.N[(c+2)%3]
			first[i+1] += 2
		}
	}
	return first[:len(sh.Nodes)+1], beside
}
