// Package jobtest makes random jobs for tests: parts such as a shop might ask for, all kinds of
// features, female and male, nested, repeated and crossing, on either side of the sheet. The same
// seed gives the same job. Most of them can be made; some ask for too much, as people do.
package jobtest

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"platen/toolgen/material"
)

// Kinds returns the kinds of features that Random writes.
func Kinds() []string {
	return []string{"pocket", "stepped_pocket", "slot", "finger_recess", "stacking_lug", "nesting_cone", "stiffening_rib", "step", "hinge_line", "lettering",
		"cradle", "boss", "dome", "rim", "grip_rib", "pip", "artwork", "aperture", "marking", "snap_button", "snap_socket", "divider_slot", "skirt"}
}

// Random returns the text of the job of a seed: 2 to 12 features, alone, nested, overlapping and side by
// side, on one part or on several.
func Random(seed uint64) string {
	m := &maker{rng: rand.New(rand.NewPCG(seed, 0x7461726e)), rare: rand.New(rand.NewPCG(seed, 0x72617265))}
	m.gauge = pick(m.rng, 0.3, 0.5, 0.8, 1.0, 1.5, 2.0)
	m.fine = m.gauge <= 1
	n := 2 + m.rng.IntN(11)
	marks := m.chance(0.15)
	if marks {
		n--
	}
	var cells []int // features each may take
	for left := n; left > 0; {
		cells = append(cells, min(left, 1+m.rng.IntN(4)))
		left -= cells[len(cells)-1]
	}
	cols := 1 + m.rng.IntN(min(len(cells), 3))
	rows := (len(cells) + cols - 1) / cols
	m.cellX, m.cellY = m.between(70, 130), m.between(60, 110)
	size := [2]float64{float64(cols)*m.cellX + 24, float64(rows)*m.cellY + 24}
	m.head(seed, size, n <= 6, marks)
	m.line(0, "features:")
	for i, c := range cells {
		m.left += c
		x := (float64(i%cols) - float64(cols-1)/2) * m.cellX
		y := (float64(i/cols) - float64(rows-1)/2) * m.cellY
		m.cell(x, y)
	}
	if marks || m.made < 2 {
		m.marking(size[1])
	}
	return m.text.String()
}

// maker writes one job.
type maker struct {
	rng          *rand.Rand
	rare         *rand.Rand // of kinds that are seldom: jobs without them stay what they were
	text         strings.Builder
	gauge        float64
	spare        float64 // what corners are given on top for the wall's offset, mm
	fine         bool    // strokes and beads form
	left         int     // features that may still be written
	made         int     // features written
	cellX, cellY float64
}

func pick[T any](rng *rand.Rand, of ...T) T { return of[rng.IntN(len(of))] }

// chance reports true with probability p.
func (m *maker) chance(p float64) bool { return m.rng.Float64() < p }

// between returns a length to a tenth of a millimetre.
func (m *maker) between(lo, hi float64) float64 {
	if hi <= lo {
		return lo
	}
	return float64(int(10*(lo+(hi-lo)*m.rng.Float64()))) / 10
}

// line writes a line at a depth of nesting of features.
func (m *maker) line(depth int, format string, args ...any) {
	m.text.WriteString(strings.Repeat("    ", depth))
	fmt.Fprintf(&m.text, format, args...)
	m.text.WriteByte('\n')
}

// head writes all but the features of a part of the given size.
func (m *maker) head(seed uint64, size [2]float64, small, marks bool) {
	sheets, tools := material.Sheets(), material.Tools()
	contact, measured := pick(m.rng, "underside", "upper"), pick(m.rng, "underside", "upper")
	walls := pick(m.rng, "none", "nominal")
	if contact != measured && walls == "nominal" {
		m.spare = m.gauge
	}
	m.line(0, "format: 1\nname: random part %d", seed)
	m.line(0, "sheet: {material: %s, gauge: %g, extrusion: %s}", sheets[m.rng.IntN(len(sheets))].Name, m.gauge, pick(m.rng, "none", "x", "y"))
	m.line(0, "tool:")
	m.line(1, "material: %s", tools[m.rng.IntN(len(tools))].Name)
	m.line(1, "contact: %s\n    measured: %s\n    wall_allowance: %s", contact, measured, walls)
	m.line(1, "seal: %s\n    datum: %s\n    cut: %s", pick(m.rng, "frame", "platen", "reducing_plate"),
		pick(m.rng, "block_centre", "block_corner", "land_centre"), pick(m.rng, "first_time", "leave_stock"))
	margin, skirt := m.between(4, 25), pick(m.rng, 0.0, 3, 6)
	if marks || skirt > 0 {
		margin += 20 // room for the marking, and for what the sides run in
	}
	m.line(1, "block: {margin: %g, base: %g, corner: %g, skirt_draft: %g}", margin,
		pick(m.rng, 3.0, 8, 20, 30), pick(m.rng, 0.0, 8, 12), skirt)
	if small && m.chance(0.3) {
		m.line(1, "impressions: {grid: %s, pitch: [%.1f, %.1f], trimmed: %s}", pick(m.rng, "[2, 1]", "[1, 2]", "[2, 2]"),
			size[0]+m.between(20, 40), size[1]+m.between(20, 40), pick(m.rng, "together", "apart"))
	}
	m.vents()
	m.line(0, "part: {outline: {rect: [%.1f, %.1f], corner: 10}, flange: 3}", size[0], size[1])
	switch m.rng.IntN(4) {
	case 0:
		m.line(0, "shrink: {off: true}")
	case 1:
		m.line(0, "shrink: {x: %g, y: %g, z: %g, reason: trial}", m.between(0.2, 2), m.between(0.2, 2), m.between(0.2, 2))
	}
}

// vents writes the section of vents, often none.
func (m *maker) vents() {
	var keys []string
	if m.chance(0.25) {
		keys = append(keys, "modelled: true", fmt.Sprintf("most: %d", 1+m.rng.IntN(60)))
	} else if m.chance(0.2) {
		keys = append(keys, fmt.Sprintf("most: %d", 1+m.rng.IntN(60)))
	}
	if m.chance(0.3) {
		keys = append(keys, fmt.Sprintf("pitch: %g", pick(m.rng, 2.0, 6, 12, 60)))
	}
	if m.chance(0.2) {
		keys = append(keys, fmt.Sprintf("drills: [%g, %g]", pick(m.rng, 0.5, 0.8), pick(m.rng, 1.0, 1.5)))
	}
	if len(keys) > 0 {
		m.line(1, "vents: {%s}", strings.Join(keys, ", "))
	}
}
