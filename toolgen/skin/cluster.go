package skin

import (
	"context"
	"fmt"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// cluster adds the contour of a cluster that stands on the plane host, and hands its border to the
// level planes.
func (w *work) cluster(ctx context.Context, i int, j *sdf.Joint, host int) error {
	if w.o.Contour == nil {
		return fmt.Errorf("a cluster needs a contour")
	}
	levels, err := heights(j)
	if err != nil {
		return err
	}
	if z := quantise(hostHeight(j)); z != w.planes[host].z {
		return fmt.Errorf("it stands at z = %.4f mm on a level at %.4f mm", z, w.planes[host].z)
	}
	for _, id := range j.Level()[1:] {
		w.clusterOf[id] = i
	}
	w.joints[clusterPlane{i, w.planes[host].z}] = host
	open, err := w.o.Contour(ctx, i, j, levels)
	if err != nil {
		return err
	}
	at := w.take(open)
	onLevel := map[float64]bool{}
	for _, z := range levels {
		onLevel[quantise(z)] = true
	}
	for _, e := range border(open.T) {
		a, b := at[e[0]], at[e[1]]
		za, zb := w.m.V[a].Z, w.m.V[b].Z
		if za != zb || !onLevel[za] {
			v := w.m.V[a]
			return fmt.Errorf("its contour is open at (%.4f, %.4f, %.4f), on no level", v.X, v.Y, v.Z)
		}
		p := &w.planes[w.clusterLevel(i, za)]
		p.rim(w.find(a), w.find(b))
		if !slices.Contains(p.joints, i) {
			p.joints = append(p.joints, i)
		}
	}
	return nil
}

// take adds an open mesh and returns by its vertices what they became. Vertices that the grid makes
// fall together become one.
func (w *work) take(open *mesh.Mesh) []int32 {
	at := make([]int32, len(open.V))
	for i := range at {
		at[i] = -1
	}
	w.step = ofContour
	for i, t := range open.T {
		for _, v := range t {
			if at[v] < 0 {
				at[v] = w.vertex(mesh.Quantise(open.V[v]))
			}
		}
		for k := range 3 {
			if a, b := at[t[k]], at[t[(k+1)%3]]; w.m.V[a] == w.m.V[b] {
				w.unite(a, b)
			}
		}
		w.tri(at[t[0]], at[t[1]], at[t[2]], open.P[i])
	}
	return at
}

// clusterLevel returns the plane of cluster i at height z, made if need be.
func (w *work) clusterLevel(i int, z float64) int {
	key := clusterPlane{i, z}
	at, ok := w.joints[key]
	if !ok {
		at = len(w.planes)
		w.joints[key] = at
		j := w.body.Patches[i].Joint
		p := plane{z: z, shared: true}
		for k := len(j.Members) - 1; k >= 0; k-- {
			if quantise(j.Members[k].Wall.End) == z {
				p.id = j.Level()[k+1]
			}
		}
		w.planes = append(w.planes, p)
	}
	return at
}

// heights returns the heights of the cluster's levels by piece.
func heights(j *sdf.Joint) (map[piece.ID]float64, error) {
	ids := j.Level()
	if len(ids) != 1+len(j.Members) {
		return nil, fmt.Errorf("the cluster has %d levels for %d members", len(ids), len(j.Members))
	}
	zs := map[piece.ID]float64{ids[0]: hostHeight(j)}
	for i, m := range j.Members {
		zs[ids[i+1]] = m.Wall.End
	}
	return zs, nil
}

// hostHeight returns the height of the plane a cluster stands on.
func hostHeight(j *sdf.Joint) float64 {
	for _, m := range j.Members {
		if m.Host < 0 {
			return m.Wall.Host
		}
	}
	panic("skin: a cluster without a member on its host plane")
}

// border returns the edges with a triangle on their left only, in order of triangles.
func border(tris [][3]int32) [][2]int32 {
	half := make(map[[2]int32]struct{}, 3*len(tris))
	for _, t := range tris {
		for k := range 3 {
			half[[2]int32{t[k], t[(k+1)%3]}] = struct{}{}
		}
	}
	var out [][2]int32
	for _, t := range tris {
		for k := range 3 {
			e := [2]int32{t[k], t[(k+1)%3]}
			if _, ok := half[[2]int32{e[1], e[0]}]; !ok {
				out = append(out, e)
			}
		}
	}
	return out
}

// namePieces gives the triangles of a plane, from number start on, the level piece of the cluster
// they lie in.
func (w *work) namePieces(p *plane, start int) {
	if p.shared {
		for t := start; t < len(w.m.T); t++ {
			w.m.P[t] = piece.None
		}
	}
	for _, i := range p.joints {
		j := w.body.Patches[i].Joint
		levels, box := j.Level()[1:], j.Box().Plan()
		for t := start; t < len(w.m.T); t++ {
			v := w.m.T[t]
			a, b, c := w.m.V[v[0]].Plan(), w.m.V[v[1]].Plan(), w.m.V[v[2]].Plan()
			for _, q := range [...]geom.Vec2{a.Add(b).Add(c).Scale(1. / 3), middle2(a, b), middle2(b, c), middle2(c, a)} {
				if !p.shared && (box.Dist(q) > 0 || j.Plan(q) >= 0) {
					break // the host plane itself
				}
				if id := j.At(q.At(p.z)).Piece; slices.Contains(levels, id) {
					w.m.P[t] = id
					break
				}
			}
		}
	}
	if p.shared {
		w.nameSlivers(p, start)
	}
}

// nameSlivers names what sees the rounding along its rim only, like the triangle before it.
func (w *work) nameSlivers(p *plane, start int) {
	last := p.id
	for _, id := range w.m.P[start:] {
		if id != piece.None {
			last = id
			break
		}
	}
	for t := start; t < len(w.m.P); t++ {
		if w.m.P[t] == piece.None {
			w.m.P[t] = last
		}
		last = w.m.P[t]
	}
}

func middle2(a, b geom.Vec2) geom.Vec2 { return a.Add(b).Scale(0.5) }
