package form

// Walls returns the thickness at every node, mm: the mean over the triangles around it, by area, so
// that the noise of single triangles is gone and the volume stays. Webbing is left out; 0 is a node
// that has nothing else around it.
func (sh *Sheet) Walls() []float64 {
	out, area := make([]float64, len(sh.Nodes)), make([]float64, len(sh.Nodes))
	for k := range sh.Triangles {
		t := &sh.Triangles[k]
		if sh.Webs(k) {
			continue
		}
		a := sh.Area(k)
		for _, i := range t.N {
			out[i] += a * t.Thickness
			area[i] += a
		}
	}
	for i := range out {
		if area[i] > 0 {
			out[i] /= area[i]
		}
	}
	return out
}

// Webs reports whether a corner of a triangle is webbing: its thickness means nothing.
func (sh *Sheet) Webs(k int) bool {
	for _, i := range sh.Triangles[k].N {
		if sh.Nodes[i].Status == Webbing {
			return true
		}
	}
	return false
}
