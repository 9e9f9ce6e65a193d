package skin

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"platen/toolgen/flat"
	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// plane is a level plane and the rims of all that borders it.
type plane struct {
	id     piece.ID
	shared bool    // by several levels of a cluster, id being one of them
	z      float64 // on the grid, mm
	down   bool    // the air is below
	edges  [][2]int32
	joints []int // clusters that border it
}

// rim takes the edge a-b of the surface next to the plane; the plane runs along it the other way.
func (p *plane) rim(a, b int32) {
	if a != b {
		p.edges = append(p.edges, [2]int32{b, a})
	}
}

// hostPlane returns the plane a patch stands on.
func (w *work) hostPlane(p *sdf.Patch) (int, error) {
	if c, ok := w.clusterOf[p.Host]; ok && p.Sweep != nil {
		return w.clusterLevel(c, quantise(p.Sweep.Profile[0].A.Y)), nil
	}
	if c, ok := w.clusterOf[p.Host]; ok {
		return w.clusterLevel(c, quantise(hostHeight(p.Joint))), nil
	}
	if i, ok := w.byPiece[p.Host]; ok {
		return i, nil
	}
	return 0, fmt.Errorf("it stands on no level of the body")
}

// fill triangulates the plane between its rims.
func (w *work) fill(p *plane) error {
	edges := cancel(p.edges)
	tris, at, err := w.triangulate(edges, p.down)
	var fault *flat.Fault
	if errors.As(err, &fault) && fault.Kind == flat.Coincident {
		w.uniteRims(edges)
		for i := range edges {
			edges[i] = [2]int32{w.find(edges[i][0]), w.find(edges[i][1])}
		}
		edges = slices.DeleteFunc(edges, func(e [2]int32) bool { return e[0] == e[1] })
		tris, at, err = w.triangulate(cancel(edges), p.down)
	}
	if err != nil {
		return err
	}
	w.step = ofPlane
	for _, t := range tris {
		a, b, c := at[t[0]], at[t[1]], at[t[2]]
		if p.down {
			b, c = c, b
		}
		w.tri(a, b, c, p.id)
	}
	w.namePieces(p, len(w.m.T)-len(tris))
	return nil
}

// triangulate returns the triangles between the edges, counter-clockwise from above, as numbers
// into the list of vertices it returns too.
func (w *work) triangulate(edges [][2]int32, down bool) (tris [][3]int32, at []int32, err error) {
	for len(w.local) < len(w.m.V) {
		w.local = append(w.local, -1)
	}
	defer func() {
		for _, v := range at {
			w.local[v] = -1
		}
	}()
	var pts []geom.Vec2
	own := make([][2]int32, len(edges))
	for i, e := range edges {
		for k, v := range e {
			if w.local[v] < 0 {
				w.local[v] = int32(len(at))
				at = append(at, v)
				pts = append(pts, w.m.V[v].Plan())
			}
			if down {
				k = 1 - k
			}
			own[i][k] = w.local[v]
		}
	}
	tris, err = flat.Triangulate(pts, own)
	return tris, at, err
}

// cancel drops edges that two neighbours of the plane share with each other: there is no plane
// between them.
func cancel(edges [][2]int32) [][2]int32 {
	key := func(e [2]int32) [2]int32 { return [2]int32{min(e[0], e[1]), max(e[0], e[1])} }
	order := make([]int32, len(edges))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int {
		ka, kb := key(edges[a]), key(edges[b])
		return cmp.Or(cmp.Compare(ka[0], kb[0]), cmp.Compare(ka[1], kb[1]), cmp.Compare(a, b))
	})
	drop := make([]bool, len(edges))
	any := false
	for i := 0; i+1 < len(order); i++ {
		a, b := order[i], order[i+1]
		if edges[a][0] == edges[b][1] && edges[a][1] == edges[b][0] {
			drop[a], drop[b], any = true, true, true
			i++
		}
	}
	if !any {
		return edges
	}
	var out [][2]int32
	for i, e := range edges {
		if !drop[i] {
			out = append(out, e)
		}
	}
	return out
}

// uniteRims makes one vertex of those that touch on the plane.
func (w *work) uniteRims(edges [][2]int32) {
	var vs []int32
	for _, e := range edges {
		vs = append(vs, e[0], e[1])
	}
	slices.SortFunc(vs, func(a, b int32) int {
		p, q := w.m.V[a], w.m.V[b]
		return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y), cmp.Compare(a, b))
	})
	for i := 1; i < len(vs); i++ {
		if w.m.V[vs[i-1]] == w.m.V[vs[i]] {
			w.unite(vs[i-1], vs[i])
		}
	}
}
