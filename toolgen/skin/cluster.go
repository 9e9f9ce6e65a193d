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
	levels := heights(j)
	if z := quantise(levels[0]); z != w.planes[host].z {
		return fmt.Errorf("it stands at z = %.4f mm on a level at %.4f mm", z, w.planes[host].z)
	}
	for _, id := range j.Level()[1:] {
		w.clusterOf[id] = i
	}
	w.joints[clusterPlane{i, w.planes[host].z}] = host
	open, err := w.o.Contour(ctx, i, j, slices.Clone(levels))
	if err != nil {
		return err
	}
	base := int32(len(w.m.V))
	for _, v := range open.V {
		w.vertex(mesh.Quantise(v))
	}
	w.step = ofContour
	for k, t := range open.T {
		for c := range 3 {
			if a, b := base+t[c], base+t[(c+1)%3]; w.m.V[a] == w.m.V[b] {
				w.unite(a, b)
			}
		}
		w.tri(base+t[0], base+t[1], base+t[2], open.P[k])
	}
	onLevel := make([]float64, len(levels))
	for k, z := range levels {
		onLevel[k] = quantise(z)
	}
	for _, e := range border(open.T) {
		a, b := base+e[0], base+e[1]
		za, zb := w.m.V[a].Z, w.m.V[b].Z
		if za != zb || !slices.Contains(onLevel, za) {
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

// clusterLevel returns the plane of cluster i at height z, made if need be.
func (w *work) clusterLevel(i int, z float64) int {
	key := clusterPlane{i, z}
	at, ok := w.joints[key]
	if !ok {
		at = len(w.planes)
		w.joints[key] = at
		w.planes = append(w.planes, plane{id: piece.None, z: z})
	}
	return at
}

// heights returns the heights of the cluster's levels, host plane first.
func heights(j *sdf.Joint) []float64 {
	zs := []float64{hostHeight(j)}
	for _, m := range j.Members {
		if !slices.Contains(zs, m.Wall.End) {
			zs = append(zs, m.Wall.End)
		}
	}
	return zs
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

// namePieces gives the triangles of a plane from number start on the level piece of the cluster they
// lie in.
func (w *work) namePieces(p *plane, start int) {
	for _, i := range p.joints {
		j := w.body.Patches[i].Joint
		levels := j.Level()
		own := func(q geom.Vec2) (piece.ID, bool) {
			if p.id != piece.None && j.Plan(q) >= 0 {
				return 0, false
			}
			id := j.At(q.At(p.z)).Piece
			return id, slices.Contains(levels[1:], id)
		}
		for t := start; t < len(w.m.T); t++ {
			v := w.m.T[t]
			a, b, c := w.m.V[v[0]].Plan(), w.m.V[v[1]].Plan(), w.m.V[v[2]].Plan()
			for _, q := range []geom.Vec2{a.Add(b).Add(c).Scale(1. / 3), a.Add(b).Scale(0.5), b.Add(c).Scale(0.5), c.Add(a).Scale(0.5)} {
				if id, ok := own(q); ok {
					w.m.P[t] = id
					break
				}
			}
		}
	}
	// Slivers along a rim may see the rounding only: they belong with the rest of their plane.
	last := p.id
	for t := start; t < len(w.m.T) && last == piece.None; t++ {
		last = w.m.P[t]
	}
	for t := start; t < len(w.m.T); t++ {
		if w.m.P[t] == piece.None {
			w.m.P[t] = last
		}
		last = w.m.P[t]
	}
}
