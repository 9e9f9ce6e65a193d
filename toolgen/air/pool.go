package air

import (
	"context"
	"slices"

	"platen/toolgen/form"
	"platen/toolgen/geom"
)

// Pool is the air under one part of the sheet while the sheet goes from one of its states to the
// next. Pressure and volume go with each other on a straight line.
type Pool struct {
	From, To Rest
	Area     float64   // effective area of the holes that are open, m2
	Holes    int       // of them, at From
	Platen   bool      // it reaches the platen or a wall of the frame, whose gaps let its air out
	Next     []int     // the pools it falls into
	Over     int       // the pool before; -1 for a first one
	State    int       // of the sheet, at From
	Formed   float64   // area of the sheet over it, as formed, m2
	Last     geom.Vec3 // where it lands last, mm
	Feature  string    // of that place
}

// sealed reports whether the air of a pool can not leave.
func (p *Pool) sealed() bool { return p.Area <= 0 && !p.Platen }

// Rest is a state of the sheet at rest.
type Rest struct {
	Vacuum float64 // under the sheet, Pa below the air
	Volume float64 // of air still under it, m3
}

// Hole is a vacuum hole.
type Hole struct {
	At   geom.Vec3 // centre on the face, mm
	Dia  float64   // of the small drill, mm
	Back float64   // of the back drill, mm; 0 none
}

// Pools returns the air under a formed sheet, from state to state, and the holes it leaves through;
// a pool stands after the one it came from. feature names a place of the face.
//
// A hole is open while the sheet over its mouth has not landed. Where it lands between two states it
// counts for its share of the way.
//
// ERROR: the context's error.
func Pools(ctx context.Context, sh *form.Sheet, holes []Hole, feature func(geom.Vec3) string) ([]Pool, error) {
	b := builder{sh: sh, layers: make([]layer, len(sh.States)), beside: beside(sh)}
	b.mouths(holes)
	var label []int32
	for k := len(sh.States) - 1; k >= 0; k-- {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		label = b.layer(k, label)
	}
	return b.pools(feature), nil
}

type builder struct {
	sh     *form.Sheet
	holes  []mouth
	beside [][2]int32 // triangles that share an edge
	layers []layer    // by state
}

// layer is the air at one state.
type layer struct {
	groups []group
	at     []int32 // group of each hole, -1 for a covered one
	over   []int32 // group of the state before that each group was part of, -1 for none
}

// group is a number of islands that are one pool.
type group struct {
	volume, formed float64 // mm3, mm2
	last           int32   // node
	platen         bool
}

// layer finds the groups of islands of state k, given the groups of the next state by triangle, and
// returns its own.
//
// Islands are one group where nothing but an edge of the mesh parts them: two nodes on the rims of a
// groove have landed, the sheet between them has not, and air passes under it. And they are one where
// they grow together later: refining the mesh lifts what had landed between its nodes. So groups
// only ever fall apart.
func (b *builder) layer(k int, next []int32) []int32 {
	l, label := &b.layers[k], b.sh.Labels(k)
	islands := b.sh.States[k].Islands
	sets := make([]int32, len(islands))
	for i := range sets {
		sets[i] = int32(i)
	}
	for _, e := range b.beside {
		if i, j := label[e[0]], label[e[1]]; i >= 0 && j >= 0 && i != j {
			unite(sets, i, j)
		}
	}
	var after *layer
	if next != nil {
		after = &b.layers[k+1]
		join(sets, label, next, len(after.groups))
	}
	name := make([]int32, len(sets))
	for i := range sets {
		r := find(sets, int32(i))
		if r == int32(i) {
			name[i] = int32(len(l.groups))
			l.groups = append(l.groups, group{last: islands[i].Last})
		} else {
			name[i] = name[r]
		}
		g := &l.groups[name[i]]
		g.volume += islands[i].Volume
		if later(b.sh, islands[i].Last, g.last) {
			g.last = islands[i].Last
		}
	}
	for t, i := range label {
		if i < 0 {
			continue
		}
		label[t] = name[i]
		g := &l.groups[name[i]]
		g.formed += b.sh.Area(t)
		for _, n := range b.sh.Triangles[t].N {
			g.platen = g.platen || b.sh.Nodes[n].Off
		}
	}
	for _, h := range b.holes {
		l.at = append(l.at, h.group(label))
	}
	if after != nil {
		after.over = make([]int32, len(after.groups))
		for i := range after.over {
			after.over[i] = -1
		}
		for t, g := range next {
			if g >= 0 && after.over[g] < 0 {
				after.over[g] = label[t]
			}
		}
	}
	return label
}

// join unites the islands that have triangles in one group of the next state.
func join(sets, label, next []int32, groups int) {
	seen := make([]int32, groups)
	for i := range seen {
		seen[i] = -1
	}
	for t, g := range next {
		switch i := label[t]; {
		case g < 0 || i < 0:
		case seen[g] < 0:
			seen[g] = i
		default:
			unite(sets, seen[g], i)
		}
	}
}

// unite makes one set of two.
func unite(sets []int32, i, j int32) {
	a, b := find(sets, i), find(sets, j)
	sets[max(a, b)] = min(a, b)
}

// beside returns the pairs of triangles that share an edge. Edges are kept with their lower node.
func beside(sh *form.Sheet) [][2]int32 {
	type side struct{ hi, tri int32 }
	first := make([]int32, len(sh.Nodes)+1)
	each := func(do func(lo, hi, tri int32)) {
		for t := range sh.Triangles {
			n := &sh.Triangles[t].N
			for c := range n {
				a, b := n[c], n[(c+1)%3]
				do(min(a, b), max(a, b), int32(t))
			}
		}
	}
	each(func(lo, _, _ int32) { first[lo+1]++ })
	for i := range sh.Nodes {
		first[i+1] += first[i]
	}
	all, end := make([]side, 3*len(sh.Triangles)), slices.Clone(first[:len(sh.Nodes)])
	out := make([][2]int32, 0, 3*len(sh.Triangles)/2)
	each(func(lo, hi, tri int32) {
		for _, s := range all[first[lo]:end[lo]] {
			if s.hi == hi {
				out = append(out, [2]int32{s.tri, tri})
			}
		}
		all[end[lo]] = side{hi, tri}
		end[lo]++
	})
	return out
}

// find returns the least member of a set, its name.
func find(sets []int32, i int32) int32 {
	for sets[i] != i {
		sets[i] = sets[sets[i]]
		i = sets[i]
	}
	return i
}

// later reports whether node a lands after b, or ends farther from the tool.
func later(sh *form.Sheet, a, b int32) bool {
	if b < 0 || a < 0 {
		return a >= 0
	}
	x, y := &sh.Nodes[a], &sh.Nodes[b]
	if x.Step != y.Step {
		return x.Step > y.Step
	}
	return x.Gap > y.Gap
}

// pools lays the layers out as pools.
func (b *builder) pools(feature func(geom.Vec3) string) []Pool {
	var out []Pool
	var before []int // pool of each group of the layer before
	for k := 0; k+1 < len(b.layers); k++ {
		l, st := &b.layers[k], &b.sh.States[k]
		now := make([]int, len(l.groups))
		for g := range l.groups {
			from := &l.groups[g]
			p := Pool{Over: -1, State: k, Platen: from.platen, Formed: from.formed * 1e-6}
			p.From = Rest{st.Pressure * 1e6, max(0, from.volume) * 1e-9}
			p.To.Vacuum = b.sh.States[k+1].Pressure * 1e6
			if from.last >= 0 {
				p.Last = b.sh.Nodes[from.last].At
				p.Feature = feature(p.Last)
			}
			if k > 0 && l.over[g] >= 0 {
				p.Over = before[l.over[g]]
				out[p.Over].Next = append(out[p.Over].Next, len(out))
				out[p.Over].To.Volume += p.From.Volume
			}
			now[g] = len(out)
			out = append(out, p)
		}
		span := float64(b.sh.States[k+1].Step - st.Step)
		for i, g := range l.at {
			if g < 0 {
				continue
			}
			p := &out[now[g]]
			p.Holes++
			p.Area += b.holes[i].area * min(1, float64(max(1, b.holes[i].closes-st.Step))/span)
		}
		before = now
	}
	return out
}
