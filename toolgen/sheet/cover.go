package sheet

import (
	"platen/toolgen/form"
	"platen/toolgen/geom"
)

// webWall is the wall taken in a web, as a share of the gauge: none is known there.
const webWall = 0.1

// Cover returns the wall of the formed sheet nearest to a point of the tool's face, mm, and how far the
// sheet stands off the face where it bridges; known is false in webbing, whose wall is a guess.
func (f *Formed) Cover(p geom.Vec3) (wall, off float64, known bool) {
	h := f.finder.Nearest(p)
	if h.Webbing {
		return webWall * f.Sheet.Gauge, 0, false
	}
	n := f.Sheet.Triangles[h.Triangle].N
	w, ok := share(h.At, f.Sheet.Nodes[n[0]].At, f.Sheet.Nodes[n[1]].At, f.Sheet.Nodes[n[2]].At)
	if !ok {
		return h.Thickness, 0, true
	}
	for k, i := range n {
		wall += w[k] * f.Nodes[i]
		if node := &f.Sheet.Nodes[i]; node.Status == form.Bridged {
			off += w[k] * node.Gap
		}
	}
	return wall, off, true
}

// MostCover returns the most that Cover returns anywhere: wall and standing off together, and standing
// off alone.
func (f *Formed) MostCover() (cover, off float64) {
	wall := 0.0
	for i, w := range f.Nodes {
		wall = max(wall, w)
		if n := &f.Sheet.Nodes[i]; n.Status == form.Bridged {
			off = max(off, n.Gap)
		}
	}
	for k := range f.Sheet.Triangles {
		wall = max(wall, f.Sheet.Triangles[k].Thickness)
	}
	return wall + off, off
}

// share returns the weights of the corners of a triangle at a point of it; ok is false for one without
// area.
func share(p, a, b, c geom.Vec3) (w [3]float64, ok bool) {
	whole := b.Sub(a).Cross(c.Sub(a))
	size := whole.Dot(whole)
	if size == 0 {
		return w, false
	}
	u := b.Sub(p).Cross(c.Sub(p)).Dot(whole) / size
	v := c.Sub(p).Cross(a.Sub(p)).Dot(whole) / size
	return [3]float64{u, v, 1 - u - v}, true
}
