package jobtest

import "fmt"

// meeting writes features of the land that run into each other, as many as may be.
func (m *maker) meeting(r room, x, y float64) {
	g := &group{maker: m, r: r, x: x, y: y, edge: pick(m.rng, 0.5, 0.8, 1.5), floor: pick(m.rng, 0.8, 1.0, 2)}
	ways := []func(){g.overlapping, g.channel, g.ribs, g.slots, g.cut, g.across, g.pile, g.pile}
	if m.left >= 3 {
		ways = append(ways, g.row, g.bridge, g.chain)
	}
	ways[m.rng.IntN(len(ways))]()
}

// group is features that meet, with the roundings they share.
type group struct {
	*maker
	r           room
	x, y        float64
	edge, floor float64
}

// at places the next one off the middle of the cell.
func (g *group) at(dx, dy float64) func() {
	return func() { g.line(1, "at: [%.1f, %.1f]", g.x+dx, g.y+dy) }
}

func (g *group) pocket(dx, dy, w, h, depth float64) {
	g.kind(g.r, "pocket", g.at(dx, dy))
	g.keys(g.r, "size", fmt.Sprintf("[%.1f, %.1f]", w, h), "depth", depth, "corner", 5+g.spare, "edge", g.edge, "floor", g.floor)
}

func (g *group) slot(dx, dy, l, w, depth, turn float64) {
	g.kind(g.r, "slot", g.at(dx, dy))
	g.keys(g.r, "length", l, "width", w+2*g.spare, "depth", depth, "turn", turn, "edge", g.edge, "floor", g.floor)
}

func (g *group) rib(dx, dy, l, height, turn float64) {
	g.kind(g.r, "stiffening_rib", g.at(dx, dy))
	g.keys(g.r, "length", l, "width", 12, "height", height, "turn", turn, "crown", 1, "root", 1)
}

// overlapping: two pockets of unlike depth.
func (g *group) overlapping() {
	w, h := 0.5*g.r.x, 0.5*g.r.y
	for i, d := range []float64{g.between(8, 14), g.between(5, 8)} {
		g.pocket([]float64{-0.2, 0.2}[i]*g.r.x, []float64{-0.1, 0.1}[i]*g.r.y, w, h, d)
	}
}

// channel: a pocket and a channel into it.
func (g *group) channel() {
	g.pocket(-0.15*g.r.x, 0, 0.5*g.r.x, 0.65*g.r.y, g.between(8, 14))
	g.slot(0.2*g.r.x, g.between(-5, 5), 0.5*g.r.x, 10, g.between(4, 6), g.between(-25, 25))
}

// ribs: two that cross.
func (g *group) ribs() {
	for i := range 2 {
		g.rib(0, 0, 0.7*g.r.y, g.between(2, 4), []float64{0, g.between(60, 90)}[i])
	}
}

// slots: two that cross.
func (g *group) slots() {
	d := g.between(4, 6)
	for i := range 2 {
		g.slot(g.between(-4, 4), 0, 0.7*g.r.y, 14, d+float64(i)*g.between(0, 3), []float64{0, g.between(50, 90)}[i])
	}
}

// cut: a raised rib that a slot cuts.
func (g *group) cut() {
	g.rib(0, 0, 0.8*g.r.x, g.between(2, 4), 0)
	g.slot(0, 0, 0.6*g.r.y, 12, g.between(4, 6), g.between(70, 90))
}

// across: a lug over the edge of a pocket.
func (g *group) across() {
	w, h := 0.6*g.r.x, 0.6*g.r.y
	g.pocket(0, 0, w, h, g.between(8, 14))
	g.kind(g.r, "stacking_lug", g.at(w/2+g.between(-1, 1), g.between(-4, 4)))
	g.keys(g.r, "size", "[18, 12]", "corner", 3+g.spare, "height", g.between(4, 8), "draft", 10, "root", g.floor, "crown", 1)
}

// row: three pockets of the same floor.
func (g *group) row() {
	w, d := 0.36*g.r.x, g.between(6, 12)
	for i := range 3 {
		g.pocket((float64(i)-1)*0.3*g.r.x, g.between(-4, 4), w, g.between(0.4, 0.6)*g.r.y, d)
	}
}

// bridge: two pockets and a recess through the web between them.
func (g *group) bridge() {
	for i := range 2 {
		g.pocket((float64(i)-0.5)*0.5*g.r.x, 0, 0.4*g.r.x, 0.7*g.r.y, g.between(9, 15))
	}
	g.slot(0, g.between(-4, 4), 0.35*g.r.x, 14, g.between(4, 6), g.between(-20, 20))
}

// chain: a round pocket, a channel out of it and a rib across that.
func (g *group) chain() {
	g.kind(g.r, "pocket", g.at(-0.22*g.r.x, 0))
	g.keys(g.r, "outline", fmt.Sprintf("{circle: %.1f}", 0.4*min(g.r.x, g.r.y)), "depth", g.between(8, 12), "edge", g.edge, "floor", g.floor)
	g.slot(0.12*g.r.x, 0, 0.6*g.r.x, 11, g.between(4, 6), g.between(-15, 15))
	g.rib(0.2*g.r.x, 0, 0.6*g.r.y, g.between(1.5, 3), g.between(70, 90))
}

// pile: whatever falls on one place, some of which can not be made.
func (g *group) pile() {
	for range min(g.left, 2+g.rng.IntN(3)) {
		at := g.at(g.between(-0.25*g.r.x, 0.25*g.r.x), g.between(-0.25*g.r.y, 0.25*g.r.y))
		w, h, turn := g.between(16, 0.5*g.r.x), g.between(16, 0.5*g.r.y), g.between(-45, 45)
		size := fmt.Sprintf("[%.1f, %.1f]", w, h)
		switch g.rng.IntN(6) {
		case 0:
			g.kind(g.r, "pocket", at)
			g.keys(g.r, "size", size, "turn", turn, "depth", g.between(3, 15), "corner", 6+g.spare, "edge", g.edge, "floor", g.floor)
		case 1:
			g.kind(g.r, "pocket", at)
			g.keys(g.r, "outline", fmt.Sprintf("{circle: %.1f}", min(w, h)), "depth", g.between(3, 12), "edge", g.edge, "floor", g.floor)
		case 2:
			g.kind(g.r, "slot", at)
			g.keys(g.r, "length", max(w, h)+4, "width", 12+2*g.spare, "turn", turn, "depth", g.between(3, 6), "edge", g.edge, "floor", g.floor)
		case 3:
			g.kind(g.r, "boss", at)
			g.keys(g.r, "size", size, "turn", turn, "height", g.between(3, 8), "draft", 8, "corner", 6, "crown", 1, "root", min(1, g.floor))
		case 4:
			g.kind(g.r, "nesting_cone", at)
			g.keys(g.r, "diameter", max(10, 0.7*min(w, h)), "height", g.between(3, 6), "crown", 0.8, "root", min(1, g.floor))
		default:
			g.kind(g.r, "stiffening_rib", at)
			g.keys(g.r, "length", max(w, h)+8, "width", 10, "height", g.between(2, 3), "turn", turn, "crown", 0.8, "root", 0.8,
				"way", pick(g.rng, "raised", "sunk"))
		}
	}
}
