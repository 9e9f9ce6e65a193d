package jobtest

import (
	"fmt"
	"math"
)

// section chooses a depth, a draft and two roundings that fit them.
func (m *maker) section(r room, most float64) (depth, draft, host, end float64) {
	draft = pick(m.rng, 3.0, 5, 6, 8, 12)
	depth = max(1.5, m.between(0.1, 0.5)*min(r.x, r.y))
	depth = math.Round(10*min(depth, r.deep, most)) / 10
	host, end = pick(m.rng, 0.5, 1, 1.5, 2), pick(m.rng, 0.8, 1.5, 2, 3)
	if fit := depth / tangent(draft) * 0.9; host+end > fit {
		host, end = math.Floor(40*fit)/100, math.Floor(40*fit)/100
	}
	return depth, draft, host, end
}

func (m *maker) pocket(r room, place func()) {
	depth, draft, edge, floor := m.section(r, 40)
	m.kind(r, "pocket", place)
	inner, grow := tangent(draft)*floor, run(depth, draft)+tangent(draft)*edge
	if m.chance(0.3) {
		m.keys(r, "holds", "opening")
		inner, grow = inner+run(depth, draft), grow-run(depth, draft)
	}
	x, y := m.plan(r, grow, inner)
	m.keys(r, "depth", depth, "draft", draft, "edge", edge, "floor", floor)
	m.nest(room{x, y, r.deep / 2, r.depth})
}

// gripped writes a pocket with a rib on its wall that presses on the product.
func (m *maker) gripped(r room, place func()) {
	depth, draft := m.between(8, 20), pick(m.rng, 3.0, 5, 8)
	m.kind(r, "pocket", place)
	run := run(depth, draft) + 4
	x, y := m.between(0.6*r.x, r.x)-2*run, m.between(0.6*r.y, r.y)-2*run
	m.keys(r, "size", fmt.Sprintf("[%.1f, %.1f]", x, y), "corner", m.between(4, 8)+m.spare, "depth", depth, "draft", draft,
		"edge", pick(m.rng, 0.5, 1, 1.5), "floor", pick(m.rng, 1.0, 1.5))
	m.nest(room{x - 20, y - 4, depth / 2, r.depth}, func(in room) {
		m.kind(in, "grip_rib", func() { m.line(in.depth+1, "at: [%.1f, 0]", -x/2) })
		m.keys(in, "height", depth*m.between(0.4, 0.7), "reach", m.between(2, 4), "crown", 1, "root", 1)
	})
}

// reached writes a pocket with a recess for the finger across its rim.
func (m *maker) reached(r room, place func()) {
	depth, draft := m.between(7, 20), pick(m.rng, 3.0, 5, 8, 12)
	edge, floor := pick(m.rng, 0.5, 1, 1.5, 2), pick(m.rng, 1.0, 1.5, 2)
	m.kind(r, "pocket", place)
	run := run(depth, draft) + 10
	x, y := max(16, m.between(0.6*r.x, r.x)-2*run), max(20, m.between(0.6*r.y, r.y)-2*run)
	m.keys(r, "size", fmt.Sprintf("[%.1f, %.1f]", x, y), "corner", m.between(3.5, 7)+m.spare, "depth", depth, "draft", draft, "edge", edge, "floor", floor)
	m.nest(room{x - 16, y - 4, depth / 2, r.depth}, func(in room) {
		m.kind(in, "finger_recess", func() { m.line(in.depth+1, "at: [%.1f, 0]", x/2+m.between(0, 3)) })
		w := m.between(12, min(y-4, 24))
		m.keys(in, "length", w+m.between(2, 8), "width", w, "depth", depth*m.between(0.4, 0.8), "edge", edge, "floor", floor)
	})
}

func (m *maker) stepped(r room, place func()) {
	m.kind(r, "stepped_pocket", place)
	x, y := m.between(40, r.x-10), m.between(40, r.y-10)
	first, second := m.between(3, 5), m.between(8, 12)
	m.keys(r, "steps", fmt.Sprintf("[{size: [%.1f, %.1f], depth: %g}, {size: [%.1f, %.1f], depth: %g, at: [%.1f, 0]}]",
		x, y, first, x-20, y-20, second, m.between(-3, 3)), "edge", 1, "ledge", 0.5, "floor", 1.5)
	m.nest(room{x - 26, y - 26, r.deep / 3, r.depth})
}

func (m *maker) slot(r room, place func()) {
	m.kind(r, "slot", place)
	w := max(4, m.between(6, min(16, r.y/2)))
	l := max(w+1, m.between(r.x/2, r.x-8))
	depth := min(r.deep, w/2)
	m.keys(r, "length", l, "width", w, "depth", depth, "edge", 0.5, "floor", 0.25*depth)
	if m.chance(0.5) {
		m.keys(r, "turn", m.between(-20, 20))
	}
}

func (m *maker) lug(r room, place func()) {
	height, draft, root, crown := m.section(r, 15)
	m.kind(r, "stacking_lug", place)
	small := room{max(14, r.x/2), max(14, r.y/2), r.deep, r.depth}
	m.plan(small, run(height, draft)+tangent(draft)*root, tangent(draft)*crown)
	m.keys(r, "height", height, "draft", draft, "root", root, "crown", crown)
}

func (m *maker) cone(r room, place func()) {
	m.kind(r, "nesting_cone", place)
	d := max(8, m.between(10, min(30, r.x-8, r.y-8)))
	m.keys(r, "diameter", d, "height", min(0.6*d, r.deep), "crown", 0.8, "root", 1)
}

func (m *maker) rib(r room, place func()) {
	m.kind(r, "stiffening_rib", place)
	m.keys(r, "length", max(16, r.x-10), "width", m.between(8, 12), "height", m.between(2, 3), "crown", 0.8, "root", 0.8,
		"way", pick(m.rng, "raised", "sunk"), "turn", m.between(-15, 15))
}

func (m *maker) step(r room, place func()) {
	height, draft, a, b := m.section(r, 12)
	m.kind(r, "step", place)
	way := pick(m.rng, "raised", "sunk")
	edge, floor := b, a // raised: the end is its upper edge
	if way == "sunk" {
		edge, floor = a, b
	}
	inner := tangent(draft) * b
	x, y := m.plan(r, run(height, draft)+tangent(draft)*a, inner)
	m.keys(r, "height", height, "way", way, "draft", draft, "edge", edge, "floor", floor)
	m.nest(room{x, y, r.deep / 2, r.depth})
}

func (m *maker) lettering(r room, place func()) {
	m.kind(r, "lettering", place)
	text := pick(m.rng, "A8", "TIDE", "No 4", "R&D")
	height := max(4, min(r.x/float64(len(text)+1), r.y/2, 18))
	m.keys(r, "text", `"`+text+`"`, "height", height, "relief", 0.05*height,
		"way", pick(m.rng, "raised", "sunk"), "reads_from", pick(m.rng, "above", "below"))
}

func (m *maker) hinge(r room, place func()) {
	m.kind(r, "hinge_line", place)
	m.keys(r, "length", max(20, r.x-10), "height", 0.7, "beads", 1+m.rng.IntN(2))
}

// snap writes one half of a snap; the other may lie anywhere.
func (m *maker) snap(r room, place func()) {
	m.kind(r, pick(m.rng, "snap_button", "snap_socket"), place)
	m.keys(r, "diameter", max(10, min(m.between(10, 24), r.x-8, r.y-8)), "interference", m.between(0.2, 0.5), "face", pick(m.rng, "upper", "underside"))
}
