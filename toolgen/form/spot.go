package form

import (
	"cmp"
	"slices"

	"platen/toolgen/geom"
)

// Spot is a place where the sheet lands last: where air is caught, so where a hole belongs.
type Spot struct {
	Node   int32     // the node there
	At     geom.Vec3 // its place
	Step   float64   // when it lands: the mean step over the sheet within SpotBall of it; past the run's end where it hangs
	Joined float64   // the same where the part around it was cut off from one that lands later still; 0 for the last of all
	Area   float64   // of that part then, mm2
	Gap    float64   // the largest left within SpotBall at the end, mm; over Bridge the sheet does not land
}

// SpotBall is the radius around a node over which the time of landing is taken, mm: about what a
// hole serves. Single nodes between landed ones come down late and say nothing.
const SpotBall = 5.0

// leastLater is how much later than where it was cut off a spot must land, as a share of the run:
// less is noise of the mesh.
const leastLater = 0.01

// Spots returns the places where the sheet lands last, the last one first. A part of the sheet
// counts when it and what it was cut off from are larger than least, mm2. Places on platen and
// walls are left out, and the land that the flat sheet lies on from the start.
//
// SOURCE: derived: the nodes are laid out in the reverse order of landing; the parts that form and
// then grow together are the islands of air running backwards (a merge tree).
func (sh *Sheet) Spots(least float64) []Spot {
	w := spotWalk{sh: sh, least: least, sets: newUnion(len(sh.Nodes)), area: sh.nodeAreas(), parts: make([]landing, len(sh.Nodes))}
	w.step, w.gap = sh.landings(w.area)
	order := make([]int32, len(sh.Nodes))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int { return cmp.Or(cmp.Compare(w.step[b], w.step[a]), cmp.Compare(a, b)) })
	first, beside := sh.neighbours()
	for _, i := range order {
		w.parts[i] = landing{laid: true, top: i, area: w.area[i]}
		for _, j := range beside[first[i]:first[i+1]] {
			if w.parts[j].laid && w.sets.find(i) != w.sets.find(j) {
				w.join(i, j)
			}
		}
	}
	for i := range order {
		if w.sets.find(int32(i)) == int32(i) {
			w.keep(&w.parts[i], 0)
		}
	}
	slices.SortStableFunc(w.spots, func(a, b Spot) int {
		return cmp.Or(cmp.Compare(b.open(), a.open()), cmp.Compare(b.Step, a.Step), cmp.Compare(a.Node, b.Node))
	})
	return w.spots
}

// open returns the gap of a spot that does not land, 0 of one that does.
func (s *Spot) open() float64 {
	if s.Gap > Bridge {
		return s.Gap
	}
	return 0
}

// landing is a part of the sheet while the nodes are laid out.
type landing struct {
	laid bool
	top  int32 // its last node
	area float64
}

// spotWalk lays the nodes out one by one.
type spotWalk struct {
	sh    *Sheet
	least float64
	sets  union
	area  []float64 // by node
	step  []float64 // by node, over the ball
	gap   []float64 // by node, over the ball
	parts []landing // by name of the set
	spots []Spot
}

// join puts the part of node j to that of node i, which is being laid.
func (w *spotWalk) join(i, j int32) {
	a, b := w.sets.find(i), w.sets.find(j)
	young, old := &w.parts[a], &w.parts[b]
	if w.step[young.top] > w.step[old.top] {
		young, old = old, young
	}
	if young.area > w.least && old.area > w.least {
		w.keep(young, w.step[i])
	}
	sum := landing{laid: true, top: old.top, area: old.area + young.area}
	w.sets.join(a, b)
	w.parts[w.sets.find(a)] = sum
}

// keep records a part as a spot.
func (w *spotWalk) keep(p *landing, joined float64) {
	n := &w.sh.Nodes[p.top]
	if w.step[p.top]-joined < max(1, leastLater*float64(w.sh.Steps)) || n.Off || n.Status == Webbing || n.Status == Clamped {
		return
	}
	w.spots = append(w.spots, Spot{Node: p.top, At: n.At, Step: w.step[p.top], Joined: joined, Area: p.area, Gap: w.gap[p.top]})
}

// gapLater is the gap at which a node that never lands counts as a whole run later than the last one
// that does, mm: where the sheet hangs farther off, air is caught longer.
const gapLater = 10.0

// lateness returns the step of landing, or for a node that never lands one past the run's end.
func (sh *Sheet) lateness(n *Node) float64 {
	if n.Step < Never {
		return float64(n.Step)
	}
	return float64(sh.Steps) * (1 + n.Gap/gapLater)
}

// landings returns, for each node, the mean lateness and the largest gap within SpotBall of it. What
// did not land on the tool does not count.
func (sh *Sheet) landings(area []float64) (step, gap []float64) {
	box := geom.EmptyBox3()
	for i := range sh.Nodes {
		box = box.Hold(sh.Nodes[i].At)
	}
	size := box.Size()
	cell := max(SpotBall, max(size.X, size.Y, size.Z)/500)
	nx, ny, nz := int(size.X/cell)+1, int(size.Y/cell)+1, int(size.Z/cell)+1
	at := func(p geom.Vec3) (x, y, z int) {
		q := p.Sub(box.Min).Scale(1 / cell)
		return int(q.X), int(q.Y), int(q.Z)
	}
	key := func(x, y, z int) int { return (z*ny+y)*nx + x }
	first := make([]int32, nx*ny*nz+2)
	for i := range sh.Nodes {
		first[key(at(sh.Nodes[i].At))+2]++
	}
	for k := 2; k < len(first); k++ {
		first[k] += first[k-1]
	}
	list := make([]int32, len(sh.Nodes))
	for i := range sh.Nodes {
		k := key(at(sh.Nodes[i].At)) + 1
		list[first[k]] = int32(i)
		first[k]++
	}
	step, gap = make([]float64, len(sh.Nodes)), make([]float64, len(sh.Nodes))
	for i := range sh.Nodes {
		p := sh.Nodes[i].At
		x, y, z := at(p)
		sum, weight := 0.0, 0.0
		for c := max(z-1, 0); c <= min(z+1, nz-1); c++ {
			for b := max(y-1, 0); b <= min(y+1, ny-1); b++ {
				for _, j := range list[first[key(max(x-1, 0), b, c)]:first[key(min(x+1, nx-1), b, c)+1]] {
					n := &sh.Nodes[j]
					if d := n.At.Sub(p); n.Off || d.Dot(d) > SpotBall*SpotBall {
						continue
					}
					sum += area[j] * sh.lateness(n)
					weight += area[j]
					if n.Status == Bridged {
						gap[i] = max(gap[i], n.Gap)
					}
				}
			}
		}
		if weight > 0 {
			step[i] = sum / weight
		}
	}
	return step, gap
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
