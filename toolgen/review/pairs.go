package review

import (
	"cmp"
	"slices"

	"platen/toolgen/body"
	"platen/toolgen/outline"
)

// pairs calls visit with every two of the kept solids that stand on the same level and whose outlines
// may come closer than their reaches together: the later one of the part first, in the part's order.
func (p *Pass) pairs(keep func(*body.Solid) bool, reach func(*body.Solid) float64, visit func(later, earlier *body.Solid)) {
	var order []int
	reaches := make([]float64, len(p.boxes))
	for i, s := range p.Body.Solids {
		if keep(s) {
			order = append(order, i)
			reaches[i] = reach(s)
		}
	}
	left := func(i int) float64 { return p.boxes[i].Min.X - reaches[i] }
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(left(i), left(j)) })
	var found [][2]int
	var open []int // those that the sweep from left to right has not left yet
	for _, i := range order {
		open = slices.DeleteFunc(open, func(j int) bool { return p.boxes[j].Max.X+reaches[j] < left(i) })
		for _, j := range open {
			if p.Body.Solids[i].Parent == p.Body.Solids[j].Parent && p.boxes[i].Grow(reaches[i]).Overlaps(p.boxes[j].Grow(reaches[j])) {
				found = append(found, [2]int{max(i, j), min(i, j)})
			}
		}
		open = append(open, i)
	}
	slices.SortFunc(found, func(a, b [2]int) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	for _, f := range found {
		visit(p.Body.Solids[f[0]], p.Body.Solids[f[1]])
	}
}

// between returns the clear distance of two solids at the height of their host level, before rounding,
// and where: not positive where their walls have met there. apart is false where they cross all the way up, or lie
// farther apart than far.
func between(s, t *body.Solid, far float64) (gap float64, where outline.Neck, apart bool) {
	run := s.Wall.D(s.Wall.Host) + t.Wall.D(t.Wall.Host)
	where = outline.Between(s.Outline, t.Outline, far+run)
	if where.Width == 0 || where.Width-where.Width != 0 || s.Outline.At(t.Outline.Elems[0].A).D < 0 || t.Outline.At(s.Outline.Elems[0].A).D < 0 {
		return 0, where, false
	}
	return where.Width - run, where, true
}
