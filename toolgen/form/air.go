package form

import (
	"cmp"
	"context"
	"slices"
)

// State is the air under the sheet at one pressure. What has not landed falls into islands; each
// holds its air by itself.
type State struct {
	Step     int
	Pressure float64  // MPa
	Islands  []Island // by falling volume

	free  []stretch // free triangles of that moment, ascending
	known int32     // triangles the mesh had
}

// stretch is a run of free triangles, one after another in the mesh, of one island. Triangles beside each
// other mostly follow each other, so a state is a small fraction of the mesh.
type stretch struct{ from, to, island int32 } // to is one past the last

// Island is a connected part of the sheet that is still free.
type Island struct {
	Volume float64 // of air the sheet still has to drive out before it ends as it does, mm3
	Area   float64 // of the part on the flat sheet, mm2
	Over   int     // the island of the state before that it was part of; -1 in the first state
	Last   int32   // the node of it that lands last, or ends farthest from the tool
}

// keepState records this moment. What is free is found by fillState, at the latest beside the forces of the
// next step.
func (s *sim) keepState() {
	s.fillState()
	s.states = append(s.states, State{Step: int(s.step), Pressure: s.pressure, known: int32(len(s.tris))})
	s.due = true
}

// fillState records the free triangles of the state kept last, the islands they fall into and the volume between
// them and the plane z = 0.
func (s *sim) fillState() {
	if !s.due {
		return
	}
	s.due = false
	st := &s.states[len(s.states)-1]
	sets := newUnion(len(s.nodes))
	one := func(t *triangle) int32 { // a free corner, -1 if there is none
		for _, i := range t.n {
			if s.nodes[i].state.loose() {
				return i
			}
		}
		return -1
	}
	for k := range s.tris {
		t := &s.tris[k]
		if !t.listed {
			continue
		}
		for _, i := range t.n {
			if s.nodes[i].state.loose() {
				sets.join(i, one(t))
			}
		}
	}
	name := map[int32]int32{}
	for k := range s.tris {
		t := &s.tris[k]
		corner := int32(-1)
		if t.listed {
			corner = one(t)
		}
		if corner < 0 {
			continue
		}
		set := sets.find(corner)
		id, ok := name[set]
		if !ok {
			id = int32(len(st.Islands))
			name[set] = id
			st.Islands = append(st.Islands, Island{Last: -1, Over: -1})
		}
		st.extend(int32(k), id)
		st.Islands[id].Volume += s.volume(t)
		st.Islands[id].Area += s.flatArea(t)
	}
	st.free = slices.Clip(st.free)
}

// extend adds a free triangle behind those there are.
func (st *State) extend(t, island int32) {
	if n := len(st.free); n > 0 && st.free[n-1].to == t && st.free[n-1].island == island {
		st.free[n-1].to++
		return
	}
	st.free = append(st.free, stretch{t, t + 1, island})
}

// trapped completes the states: the air under an island is the volume its triangles still travel
// through until the end of the run, since its rim has landed and stays.
func (s *sim) trapped(ctx context.Context, out *Sheet) error {
	volume, last := make([]float64, len(s.tris)), make([]int32, len(s.tris))
	at, label := make([]int32, len(s.tris)), make([]int32, len(s.tris))
	for t := range s.tris {
		n := &s.tris[t].n
		volume[t], last[t], at[t] = s.volume(&s.tris[t]), n[0], int32(t)
		for _, i := range n[1:] {
			if later(&out.Nodes[i], &out.Nodes[last[t]]) {
				last[t] = i
			}
		}
	}
	for k := len(s.states) - 1; k >= 0; k-- {
		if err := ctx.Err(); err != nil {
			return err
		}
		st := &s.states[k]
		fill(label, st)
		for t := range s.tris {
			at[t] = out.known(at[t], st.known) // what t was part of then: only ever earlier
			id := label[at[t]]
			if id < 0 {
				continue
			}
			isle := &st.Islands[id]
			isle.Volume -= volume[t]
			if isle.Last < 0 || last[t] != isle.Last && later(&out.Nodes[last[t]], &out.Nodes[isle.Last]) {
				isle.Last = last[t]
			}
		}
		st.sort()
	}
	for k := 1; k < len(s.states); k++ {
		s.states[k].descend(out, &s.states[k-1])
	}
	out.States = s.states
	return nil
}

// fill labels the triangles the mesh had with their islands, -1 for landed ones.
func fill(label []int32, st *State) {
	for i := range label {
		label[i] = -1
	}
	for _, r := range st.free {
		for t := r.from; t < r.to; t++ {
			label[t] = r.island
		}
	}
}

// sort orders the islands by falling volume.
func (st *State) sort() {
	order := make([]int32, len(st.Islands))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(st.Islands[b].Volume, st.Islands[a].Volume) })
	sorted, place := make([]Island, len(order)), make([]int32, len(order))
	for to, from := range order {
		sorted[to], place[from] = st.Islands[from], int32(to)
	}
	st.Islands = sorted
	for j := range st.free {
		st.free[j].island = place[st.free[j].island]
	}
}

// descend finds the islands of the state before that these were part of.
func (st *State) descend(out *Sheet, before *State) {
	for _, r := range st.free {
		for t := r.from; t < r.to && st.Islands[r.island].Over < 0; t++ {
			st.Islands[r.island].Over = before.find(out.known(t, before.known))
		}
	}
}

// find returns the island of a triangle of that moment's mesh, -1 if it had landed.
func (st *State) find(t int32) int {
	j, ok := slices.BinarySearchFunc(st.free, t, func(r stretch, t int32) int {
		switch {
		case r.to <= t:
			return -1
		case r.from > t:
			return 1
		}
		return 0
	})
	if !ok {
		return -1
	}
	return int(st.free[j].island)
}

// known returns the triangle that t was part of when the mesh had n triangles.
func (sh *Sheet) known(t, n int32) int32 {
	for t >= n {
		t = sh.parents[t]
	}
	return t
}

// IslandOf returns the island of a state in which a triangle of the formed sheet was, -1 if it had
// landed: so a hole under that triangle was covered, or not yet.
func (sh *Sheet) IslandOf(state, triangle int) int {
	st := &sh.States[state]
	return st.find(sh.known(int32(triangle), st.known))
}

// Labels returns the island of a state for every triangle of the formed sheet, -1 for what had
// landed: IslandOf for all of them at once.
func (sh *Sheet) Labels(state int) []int32 {
	st := &sh.States[state]
	then := make([]int32, st.known)
	fill(then, st)
	out := make([]int32, len(sh.Triangles))
	for t := range out {
		out[t] = then[sh.known(int32(t), st.known)]
	}
	return out
}

// later reports whether a lands after b; among those that never land, whether it ends farther off.
func later(a, b *Node) bool {
	if a.Step != b.Step {
		return a.Step > b.Step
	}
	return a.Gap > b.Gap
}
