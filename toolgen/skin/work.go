package skin

import (
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// work is a mesh in the making.
type work struct {
	body *sdf.Body
	o    Options
	m    mesh.Mesh
	from []origin // of each triangle
	step origin   // of the triangles being added

	planes    []plane
	byPiece   map[piece.ID]int     // planes of swept levels
	clusterOf map[piece.ID]int     // clusters by their level pieces
	joints    map[clusterPlane]int // planes of clusters
	local     []int32              // scratch of fill: by vertex, its number in the plane
	same      map[int32]int32      // vertices that fell together, and the one that stands for them

	fit  fitter
	grid []int32 // scratch of a strip: vertices by row and column
}

// origin says what a triangle belongs to.
type origin uint8

const (
	ofStrip origin = iota
	ofPlane
	ofContour
)

// clusterPlane names a level plane of a cluster.
type clusterPlane struct {
	patch int
	z     float64
}

func newWork(b *sdf.Body, o Options) *work {
	return &work{
		body:      b,
		o:         o,
		byPiece:   map[piece.ID]int{},
		clusterOf: map[piece.ID]int{},
		joints:    map[clusterPlane]int{},
		same:      map[int32]int32{},
		fit:       fitter{tol: o.Tol - rounded},
	}
}

func quantise(z float64) float64 { return mesh.Quantise(geom.Vec3{Z: z}).Z }

// vertex adds a vertex that is on the grid already.
func (w *work) vertex(p geom.Vec3) int32 {
	w.m.V = append(w.m.V, p)
	return int32(len(w.m.V) - 1)
}

// tri adds a triangle unless two corners fell together.
func (w *work) tri(a, b, c int32, id piece.ID) {
	if a == b || b == c || c == a {
		return
	}
	w.m.T = append(w.m.T, [3]int32{a, b, c})
	w.m.P = append(w.m.P, id)
	w.from = append(w.from, w.step)
}

// report counts the triangles by origin.
func (w *work) report() Report {
	r := Report{Bound: w.fit.worst + rounded}
	for _, o := range w.from {
		switch o {
		case ofStrip:
			r.Strips++
		case ofPlane:
			r.Planes++
		case ofContour:
			r.Contours++
		}
	}
	return r
}

// find returns the vertex that stands for v.
func (w *work) find(v int32) int32 {
	for {
		s, ok := w.same[v]
		if !ok {
			return v
		}
		v = s
	}
}

// unite makes one vertex of two that have the same place.
func (w *work) unite(a, b int32) {
	if a, b = w.find(a), w.find(b); a != b {
		w.same[max(a, b)] = min(a, b)
	}
}

// finish puts vertices that fell together in one, drops what that flattens and parts fans that then
// meet in a point only.
func (w *work) finish() {
	if len(w.same) == 0 {
		return
	}
	n := 0
	for i, t := range w.m.T {
		for k := range t {
			t[k] = w.find(t[k])
		}
		if t[0] == t[1] || t[1] == t[2] || t[2] == t[0] {
			continue
		}
		w.m.T[n], w.m.P[n], w.from[n] = t, w.m.P[i], w.from[i]
		n++
	}
	w.m.T, w.m.P, w.from = w.m.T[:n], w.m.P[:n], w.from[:n]
	w.part()
	w.compact()
}

// part gives every fan of triangles round a vertex a vertex of its own.
func (w *work) part() {
	type edge [2]int32
	out := make(map[edge]int32, 3*len(w.m.T)) // corner (3 triangle + place) an edge starts from
	for i, t := range w.m.T {
		for k := range int32(3) {
			out[edge{t[k], t[(k+1)%3]}] = int32(3*i) + k
		}
	}
	old := make([][3]int32, len(w.m.T))
	copy(old, w.m.T)
	seen := make([]bool, 3*len(w.m.T))
	used := make([]bool, len(w.m.V))
	for c := range int32(len(seen)) {
		if seen[c] {
			continue
		}
		v := old[c/3][c%3]
		as := v
		if used[v] {
			as = w.vertex(w.m.V[v])
		} else {
			used[v] = true
		}
		for at, ok := c, true; ok && !seen[at]; {
			seen[at] = true
			w.m.T[at/3][at%3] = as
			// The next triangle of the fan starts with the edge that this one ends with.
			at, ok = out[edge{v, old[at/3][(at%3+2)%3]}]
		}
	}
}

// compact drops vertices without triangle.
func (w *work) compact() {
	to := make([]int32, len(w.m.V))
	for _, t := range w.m.T {
		for _, v := range t {
			to[v] = 1
		}
	}
	n := int32(0)
	for i, used := range to {
		if used == 1 {
			w.m.V[n] = w.m.V[i]
			to[i] = n
			n++
		}
	}
	w.m.V = w.m.V[:n]
	for i := range w.m.T {
		for k := range 3 {
			w.m.T[i][k] = to[w.m.T[i][k]]
		}
	}
}
