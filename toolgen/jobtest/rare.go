package jobtest

import "fmt"

// divider writes a groove or a pair of ribs for a divider.
func (m *maker) divider(r room, place func()) {
	m.kind(r, "divider_slot", place)
	m.keys(r, "held", pick(m.rng, "groove", "ribs"), "thickness", m.between(4, 8), "length", m.between(20, r.x-16),
		"depth", m.between(2.5, 5), "lead_in", 1, "floor", pick(m.rng, 0.8, 1.2))
}

// divided writes a pocket with grooves for a divider down two of its walls.
func (m *maker) divided(r room, place func()) {
	depth, draft := m.between(8, 14), pick(m.rng, 3.0, 5, 8)
	edge, floor := pick(m.rng, 1.0, 1.5), pick(m.rng, 1.0, 1.5)
	m.kind(r, "pocket", place)
	run := run(depth, draft) + 8
	x, y := max(20, m.between(0.6*r.x, r.x)-2*run), max(24, m.between(0.6*r.y, r.y)-2*run)
	m.keys(r, "size", fmt.Sprintf("[%.1f, %.1f]", x, y), "corner", m.between(3.5, 5)+m.spare, "depth", depth, "draft", draft, "edge", edge, "floor", floor)
	m.nest(room{x, y, depth / 2, r.depth}, func(in room) {
		m.kind(in, "divider_slot", func() { m.line(in.depth+1, "at: [%.1f, %.1f]", m.between(-1, 1), m.between(-2, 2)) })
		m.keys(in, "held", "walls", "thickness", m.between(4, 7), "length", x+m.between(2, 5), "depth", depth*pick(m.rng, 0.7, 1), "draft", draft, "lead_in", edge, "floor", floor)
	})
}

// skirt writes a cover with what lies on its panel.
func (m *maker) skirt(r room, place func()) {
	height, draft, root, edge := m.section(r, 20)
	m.kind(r, "skirt", place)
	m.keys(r, "size", fmt.Sprintf("[%.1f, %.1f]", r.x, r.y), "flange", 4, "height", height, "draft", draft, "root", root, "edge", edge)
	inner := 10 + 2*(run(height, draft)+tangent(draft)*(root+edge))
	m.nest(room{r.x - inner, r.y - inner, r.deep / 2, r.depth})
}
