package sdf

import (
	"math"

	"platen/toolgen/geom"
)

// grid finds the patches whose boxes lie near a plan point, so that the cost of a sample does not
// grow with the number of patches.
type grid struct {
	origin geom.Vec2
	cell   float64
	nx, ny int
	lists  [][]int32 // patches by cell, ascending
	all    []int32
}

// maxRing is how many rings of cells a search looks through before it takes all patches.
const maxRing = 3

func newGrid(boxes []geom.Box3) grid {
	g := grid{nx: 1, ny: 1, cell: 1}
	plan := geom.EmptyBox2()
	for i, b := range boxes {
		plan = plan.Join(b.Plan())
		g.all = append(g.all, int32(i))
	}
	if len(boxes) == 0 {
		g.lists = make([][]int32, 1)
		return g
	}
	s := plan.Size()
	g.origin = plan.Min
	g.cell = max(math.Sqrt(s.X*s.Y/float64(len(boxes))), s.X/256, s.Y/256, 1e-3)
	g.nx, g.ny = int(s.X/g.cell)+1, int(s.Y/g.cell)+1
	g.lists = make([][]int32, g.nx*g.ny)
	for i, b := range boxes {
		x0, y0 := g.at(b.Min.Plan())
		x1, y1 := g.at(b.Max.Plan())
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				g.lists[y*g.nx+x] = append(g.lists[y*g.nx+x], int32(i))
			}
		}
	}
	return g
}

// at returns the cell of a point, the nearest one for points outside.
func (g *grid) at(p geom.Vec2) (int, int) {
	q := p.Sub(g.origin).Scale(1 / g.cell)
	return int(max(0, min(float64(g.nx-1), q.X))), int(max(0, min(float64(g.ny-1), q.Y)))
}

// over returns the patches whose boxes may lie over p.
func (g *grid) over(p geom.Vec2) []int32 {
	x, y := g.at(p)
	return g.lists[y*g.nx+x]
}

// near calls visit for every patch whose box may come within r of p; some may be visited twice.
func (g *grid) near(p geom.Vec2, r float64, visit func(i int32)) {
	x0, y0 := g.at(p.Sub(geom.Vec2{X: r, Y: r}))
	x1, y1 := g.at(p.Add(geom.Vec2{X: r, Y: r}))
	if x1-x0 > 2*maxRing || y1-y0 > 2*maxRing {
		for _, i := range g.all {
			visit(i)
		}
		return
	}
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			for _, i := range g.lists[y*g.nx+x] {
				visit(i)
			}
		}
	}
}
