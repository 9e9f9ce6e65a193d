package jobtest

import "fmt"

func (m *maker) cradle(r room, place func()) {
	m.kind(r, "cradle", place)
	d := max(8, m.between(10, min(r.y/1.6, 1.5*r.deep)))
	m.keys(r, "diameter", d, "length", max(4, r.x-1.5*d-12), "depth", min(r.deep, d*m.between(0.4, 0.8)), "edge", pick(m.rng, 0.8, 1.5))
}

func (m *maker) boss(r room, place func()) {
	height, draft, root, crown := m.section(r, 12)
	m.kind(r, "boss", place)
	x, y := m.plan(r, run(height, draft)+tangent(draft)*root, run(height, draft)+tangent(draft)*crown)
	m.keys(r, "height", height, "draft", draft, "root", root, "crown", crown)
	m.nest(room{x, y, r.deep / 2, r.depth})
}

func (m *maker) dome(r room, place func()) {
	m.kind(r, "dome", place)
	d := max(10, m.between(12, min(r.x, r.y)-10))
	m.keys(r, "diameter", d, "height", min(r.deep, d*m.between(0.1, 0.5)), "root", pick(m.rng, 0.8, 1.5))
}

func (m *maker) rim(r room, place func()) {
	m.kind(r, "rim", place)
	m.keys(r, "size", fmt.Sprintf("[%.1f, %.1f]", max(36, r.x-6), max(34, r.y-6)), "corner", 12,
		"width", m.between(7, 9), "height", m.between(1.5, 2.5), "crown", 0.6, "root", 0.8)
}

func (m *maker) pip(r room, place func()) {
	m.kind(r, "pip", place)
	m.keys(r, "diameter", m.between(5, 8), "height", m.between(0.6, 1.5), "root", 0.5)
}

func (m *maker) artwork(r room, place func()) {
	m.kind(r, "artwork", place)
	m.keys(r, "outline", pick(m.rng, "{polygon: [[0, 0], [20, 0], [20, 12], [14, 12], [14, 6], [0, 6]]}", "{slot: [30, 6]}"),
		"width", max(10, min(r.x, r.y)/2), "relief", 0.5, "way", pick(m.rng, "raised", "sunk"), "reads_from", pick(m.rng, "above", "below"))
}

func (m *maker) aperture(r room, place func()) {
	m.kind(r, "aperture", place)
	d := max(3, m.between(4, min(r.x, r.y, 20)/2))
	switch m.rng.IntN(3) {
	case 0:
		m.keys(r, "diameter", d)
	case 1:
		m.keys(r, "slot", fmt.Sprintf("[%.1f, %.1f]", 1.5*d, d))
	default:
		m.keys(r, "size", fmt.Sprintf("[%.1f, %.1f]", 1.5*d, d), "turn", m.between(-20, 20))
	}
	m.keys(r, "mark", true)
}

// marking engraves the tool beside a part that is y away.
func (m *maker) marking(y float64) {
	r := room{}
	m.kind(r, "marking", func() { m.line(1, "at: [%.1f, %.1f]", m.between(-4, 4), -y/2-8) })
	m.keys(r, "text", pick(m.rng, "TRAY 7 B", "No 4", "FRONT"), "arrow", pick(m.rng, "none", "up", "right"))
}
