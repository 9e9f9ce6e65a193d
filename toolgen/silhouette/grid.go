package silhouette

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// The grid on which bays are found.
const (
	cells    = 1500 // along the longer side of the plan
	mostRoom = 400  // cells of room round the plan: where more is asked they are coarser
	border   = 2    // empty cells all round
	mostRows = 4e7  // rows of triangles that are filled; a finer grid is coarsened to that
)

// grid is a plan in cells. A cell is set where a triangle touches it.
type grid struct {
	nx, ny int
	h      float64   // side of a cell, mm
	at     geom.Vec2 // least corner
	set    []bool
}

// Room returns the outline of the plan with its bays, grown by a distance: lines and arcs, tangent to each other.
// A bay into which a disc of radius closeR does not go is closed, and so are holes; outward corners are rounded by
// openR, and cut into what was grown. The line lies within slack of that, mm.
//
// ERROR: a plan in several pieces, one too narrow for its corners, or one that crosses itself.
func (p *Product) Room(grow, closeR, openR float64) (o *outline.Outline, slack float64, err error) {
	g := p.grid(grow + closeR)
	p.fill(g)
	g.grow(grow)
	g.close(closeR)
	g.flood()
	g.open(openR)
	switch n := g.pieces(); {
	case n == 0:
		return nil, 0, fmt.Errorf("seen from above the mesh is narrower than its corners of %.2f mm; at least %.2f mm across", openR, 2*openR)
	case n > 1:
		return nil, 0, fmt.Errorf("seen from above the mesh lies in %d pieces; a product is one", n)
	}
	even := evened(g.trace(), g.h)
	o, err = outline.New(even.arcs(within * g.h))
	if err != nil {
		return nil, 0, err
	}
	// Half a cell's diagonal by the cells, as much by their steps, the arcs, and what the averaging draws in.
	slack = (math.Sqrt2 + within) * g.h
	if openR > 0 || closeR > 0 {
		least := math.Inf(1)
		for _, r := range [...]float64{openR, closeR} {
			if r > 0 {
				least = min(least, r)
			}
		}
		slack += window * g.h * window * g.h / (12 * least)
	}
	return o, slack, nil
}

// Corners visits the corners of the triangles, seen from above.
func (p *Product) Corners(visit func(geom.Vec2)) {
	for _, t := range p.corner {
		for _, v := range t {
			visit(v)
		}
	}
}

// grid lays a grid over the plan with room round it, mm. Its cells are coarser where the triangles would fill too many rows.
func (p *Product) grid(room float64) *grid {
	h := max(max(p.Size.X, p.Size.Y)/cells, room/mostRoom)
	rows := 0.0
	for _, t := range p.corner {
		rows += 1 + (max(t[0].Y, t[1].Y, t[2].Y)-min(t[0].Y, t[1].Y, t[2].Y))/h
	}
	h *= max(1, rows/mostRows)
	pad := border + int(math.Ceil(room/h))
	g := &grid{h: h, nx: int(p.Size.X/h) + 2 + 2*pad, ny: int(p.Size.Y/h) + 2 + 2*pad}
	g.at = geom.Vec2{X: -p.Size.X/2 - float64(pad)*h, Y: -p.Size.Y/2 - float64(pad)*h}
	g.set = make([]bool, g.nx*g.ny)
	return g
}

// fill sets every cell that a triangle touches.
func (p *Product) fill(g *grid) {
	ends := make([]int32, (g.nx+1)*g.ny) // of the runs of each row: +1 at the first cell, -1 behind the last
	for _, t := range p.corner {
		lo, hi := min(t[0].Y, t[1].Y, t[2].Y), max(t[0].Y, t[1].Y, t[2].Y)
		for j := g.row(lo); j <= g.row(hi); j++ {
			y := g.at.Y + float64(j)*g.h
			x0, x1 := spanOf(t, y, y+g.h)
			if x0 > x1 {
				continue
			}
			row := ends[j*(g.nx+1):]
			row[g.column(x0)]++
			row[g.column(x1)+1]--
		}
	}
	for j := range g.ny {
		n := int32(0)
		for i := range g.nx {
			n += ends[j*(g.nx+1)+i]
			g.set[j*g.nx+i] = n > 0
		}
	}
}

func (g *grid) row(y float64) int    { return max(0, min(g.ny-1, int((y-g.at.Y)/g.h))) }
func (g *grid) column(x float64) int { return max(0, min(g.nx-1, int((x-g.at.X)/g.h))) }

// spanOf returns the least and the greatest x of a triangle between two heights of the plan.
func spanOf(t plan, y0, y1 float64) (x0, x1 float64) {
	x0, x1 = math.Inf(1), math.Inf(-1)
	for k, a := range t {
		b := t[(k+1)%3]
		if a.Y > b.Y {
			a, b = b, a
		}
		if b.Y < y0 || a.Y > y1 {
			continue
		}
		u, v := a, b
		if a.Y < y0 {
			u = between(a, b, (y0-a.Y)/(b.Y-a.Y))
		}
		if b.Y > y1 {
			v = between(a, b, (y1-a.Y)/(b.Y-a.Y))
		}
		x0, x1 = min(x0, u.X, v.X), max(x1, u.X, v.X)
	}
	return x0, x1
}

// flood sets all that can not be reached from the border.
func (g *grid) flood() {
	out := make([]bool, len(g.set))
	out[0] = true
	g.spread(0, func(k int) bool {
		if g.set[k] || out[k] {
			return false
		}
		out[k] = true
		return true
	})
	for k := range g.set {
		g.set[k] = !out[k]
	}
}

// spread walks from a cell to the neighbours, side by side, that take it.
func (g *grid) spread(from int, take func(int) bool) {
	stack := []int{from}
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		i, j := k%g.nx, k/g.nx
		if i > 0 && take(k-1) {
			stack = append(stack, k-1)
		}
		if i < g.nx-1 && take(k+1) {
			stack = append(stack, k+1)
		}
		if j > 0 && take(k-g.nx) {
			stack = append(stack, k-g.nx)
		}
		if j < g.ny-1 && take(k+g.nx) {
			stack = append(stack, k+g.nx)
		}
	}
}

// pieces counts what hangs together.
func (g *grid) pieces() int {
	seen := make([]bool, len(g.set))
	n := 0
	for k := range g.set {
		if !g.set[k] || seen[k] {
			continue
		}
		n++
		seen[k] = true
		g.spread(k, func(k int) bool {
			if !g.set[k] || seen[k] {
				return false
			}
			seen[k] = true
			return true
		})
	}
	return n
}

// trace returns the corners of the cells' outline, counter-clockwise, where it turns.
func (g *grid) trace() []geom.Vec2 {
	start := 0
	for !g.set[start] {
		start++
	}
	filled := func(i, j int) bool { return i >= 0 && i < g.nx && j >= 0 && j < g.ny && g.set[j*g.nx+i] }
	x0, y0 := start%g.nx, start/g.nx
	x, y, dx, dy := x0, y0, 1, 0 // along the bottom of the first cell, the inside to the left
	var out []geom.Vec2
	for {
		out = append(out, geom.Vec2{X: g.at.X + float64(x)*g.h, Y: g.at.Y + float64(y)*g.h})
		for {
			x, y = x+dx, y+dy
			// The cells ahead, left and right of the line.
			left := filled(x+(dx-dy-1)/2, y+(dx+dy-1)/2)
			right := filled(x+(dx+dy-1)/2, y+(dy-dx-1)/2)
			if !left {
				dx, dy = -dy, dx
				break
			}
			if right {
				dx, dy = dy, -dx
				break
			}
		}
		if x == x0 && y == y0 {
			return out
		}
	}
}

func between(a, b geom.Vec2, t float64) geom.Vec2 { return a.Add(b.Sub(a).Scale(t)) }
