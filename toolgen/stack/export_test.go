package stack

// Blocked returns how many of the places looked at lie within the other part's sheet by more than a
// hundredth of a millimetre when the upper part is lifted by z.
func (r *Rest) Blocked(z float64) int {
	pr := &pair{r.Lower, r.Upper, r.Place}
	n := 0
	for _, of := range [...]Side{Upper, Under} {
		pts := r.Lower.points[Upper]
		if of == Under {
			pts = r.Upper.points[Under]
		}
		for i := range pts {
			if g, _, ok := pr.gap(of, pts[i].At, z); ok && g < -0.01 {
				n++
			}
		}
	}
	return n
}
