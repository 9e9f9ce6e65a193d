package jobtest

import (
	"fmt"
	"math"
)

// room is where a feature may lie: a level of some size around the origin of its frame.
type room struct {
	x, y  float64 // size, mm
	deep  float64 // greatest depth or height to ask, mm
	depth int     // of nesting, in the text
}

// cell fills one cell of the land: one feature, a repeat, or several that meet.
func (m *maker) cell(x, y float64) {
	r := room{m.cellX - 8, m.cellY - 8, 40, 0}
	place := func() { m.line(1, "at: [%.1f, %.1f]", x, y) }
	switch {
	case m.left >= 2 && m.chance(0.4):
		m.meeting(r, x, y)
	case m.chance(0.2):
		m.any(room{r.x/2 - 4, r.y, r.deep, 0}, func() {
			place()
			m.line(1, "repeat: {grid: [2, 1], pitch: [%.1f, 0]}", r.x/2)
		})
	default:
		m.any(r, place)
	}
}

// rarely is the share of features that are of a seldom kind.
const rarely = 0.21

// any writes a feature of a random kind that fits the room; place writes where it lies.
func (m *maker) any(r room, place func()) {
	kinds := []func(room, func()){m.pocket, m.pocket, m.pocket, m.slot, m.lug, m.cone, m.rib, m.step, m.boss, m.dome, m.pip, m.aperture}
	if r.x > 50 && r.y > 50 && r.deep >= 10 {
		kinds = append(kinds, m.stepped)
	}
	if r.x > 36 && r.y > 34 {
		kinds = append(kinds, m.rim)
	}
	if r.x > 40 && r.y > 20 && r.deep >= 8 {
		kinds = append(kinds, m.cradle)
	}
	if r.x > 40 && r.y > 40 && r.depth == 0 && m.left >= 2 {
		kinds = append(kinds, m.gripped, m.reached)
	}
	if m.fine {
		kinds = append(kinds, m.lettering, m.lettering, m.hinge, m.artwork, m.snap, m.snap)
	}
	if m.rare.Float64() < rarely && r.x > 40 && r.y > 40 && r.deep >= 8 {
		kinds = []func(room, func()){m.divider, m.skirt, m.skirt}
		if m.fine {
			kinds = append(kinds, m.hinge, m.artwork, m.snap, m.snap)
		}
		if r.x > 50 && r.y > 50 && r.deep >= 10 {
			kinds = append(kinds, m.stepped)
		}
		if r.depth == 0 && m.left >= 2 {
			kinds = append(kinds, m.divided, m.reached, m.gripped)
		}
		kinds[m.rare.IntN(len(kinds))](r, place)
		return
	}
	kinds[m.rng.IntN(len(kinds))](r, place)
}

// kind opens a feature.
func (m *maker) kind(r room, kind string, place func()) {
	m.line(r.depth, "  - kind: %s", kind)
	m.left--
	m.made++
	place()
}

// keys writes keys of the last feature and their values, lengths to a hundredth.
func (m *maker) keys(r room, pairs ...any) {
	for i := 0; i < len(pairs); i += 2 {
		v := pairs[i+1]
		if x, ok := v.(float64); ok {
			v = math.Round(100*x) / 100
		}
		m.line(r.depth+1, "%s: %v", pairs[i], v)
	}
}

// tangent is what a rounding of radius 1 takes off the level beside a wall of the given draft.
func tangent(draft float64) float64 { return math.Tan((90 - draft) / 2 * math.Pi / 180) }

func run(depth, draft float64) float64 { return depth * math.Tan(draft*math.Pi/180) }

// nest writes what lies on the level of the last feature, often nothing. The frame is that of the
// feature; shrinking rooms and depths end it.
func (m *maker) nest(r room, more ...func(room)) {
	var write []func(room)
	if r.x > 22 && r.y > 22 && r.depth < 2 && m.left > len(more) && m.chance(0.45) {
		write = append(write, func(r room) {
			at := fmt.Sprintf("at: [%.1f, %.1f]", m.between(-2, 2), m.between(-2, 2))
			m.any(room{r.x - 8, r.y - 8, min(r.deep, min(r.x, r.y)/3), r.depth}, func() {
				m.line(r.depth+1, "%s", at)
			})
		})
	}
	write = append(write, more...)
	if len(write) == 0 {
		return
	}
	m.line(r.depth+1, "features:")
	for _, w := range write {
		w(room{r.x, r.y, r.deep, r.depth + 1})
	}
}

// plan writes a plan and returns the size of the level that is left of it; grow is what the walls
// and roundings run outside it, inner what they run inside.
func (m *maker) plan(r room, grow, inner float64) (x, y float64) {
	x, y = m.between(0.5*r.x, r.x)-2*grow, m.between(0.5*r.y, r.y)-2*grow
	x, y = max(x, 8), max(y, 8)
	corner := max(1.0, inner+m.spare+0.1) + m.between(0, 4)
	corner = math.Ceil(10*min(corner, min(x, y)/2-0.1)) / 10
	switch m.rng.IntN(6) {
	case 0:
		d := min(x, y)
		m.keys(r, "outline", fmt.Sprintf("{circle: %.1f}", d))
		return 0.7*d - 2*inner, 0.7*d - 2*inner
	case 1:
		m.keys(r, "outline", fmt.Sprintf("{slot: [%.1f, %.1f]}", max(x, y+2), y))
		return x - 0.6*y - 2*inner, 0.8*y - 2*inner
	case 2:
		m.keys(r, "outline", fmt.Sprintf("{polygon: [[%.1f, %.1f], [%.1f, %.1f], [%.1f, %.1f], [%.1f, %.1f]], corner: %.1f}",
			-x/2, -y/2, x/2, -y/2, 0.35*x, y/2, -x/2, y/2, min(corner, y/4)))
		return 0.7*x - 2*inner, 0.8*y - 2*inner
	}
	m.keys(r, "size", fmt.Sprintf("[%.1f, %.1f]", x, y), "corner", corner)
	return x - 2*inner, y - 2*inner
}
