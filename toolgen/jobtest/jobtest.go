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
		"cradle", "boss", "dome", "rim", "grip_rib", "pip", "artwork", "aperture"}
}

// Random returns the text of the job of a seed: 1 to 8 features on the land and what is nested in
// them.
func Random(seed uint64) string {
	m := &maker{rng: rand.New(rand.NewPCG(seed, 0x7461726e))}
	m.gauge = pick(m.rng, 0.3, 0.5, 0.8, 1.0, 1.5, 2.0)
	n := 1 + m.rng.IntN(8)
	cols := 1 + m.rng.IntN(min(n, 3))
	rows := (n + cols - 1) / cols
	m.cellX, m.cellY = m.between(70, 130), m.between(60, 110)
	m.head(seed, float64(cols)*m.cellX+24, float64(rows)*m.cellY+24)
	m.line(0, "features:")
	for i := range n {
		x := (float64(i%cols) - float64(cols-1)/2) * m.cellX
		y := (float64(i/cols) - float64(rows-1)/2) * m.cellY
		m.cell(x, y)
	}
	return m.text.String()
}

// maker writes one job.
type maker struct {
	rng          *rand.Rand
	text         strings.Builder
	gauge        float64
	spare        float64 // what corners are given on top for the wall's offset, mm
	fine         bool    // strokes and beads form
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
func (m *maker) head(seed uint64, x, y float64) {
	sheets, tools := material.Sheets(), material.Tools()
	contact, measured := pick(m.rng, "underside", "upper"), pick(m.rng, "underside", "upper")
	walls := pick(m.rng, "none", "nominal")
	if contact != measured && walls == "nominal" {
		m.spare = m.gauge
	}
	m.fine = m.gauge <= 1
	m.line(0, "format: 1\nname: random part %d", seed)
	m.line(0, "sheet: {material: %s, gauge: %g, extrusion: %s}", sheets[m.rng.IntN(len(sheets))].Name, m.gauge, pick(m.rng, "none", "x", "y"))
	m.line(0, "tool:")
	m.line(1, "material: %s", tools[m.rng.IntN(len(tools))].Name)
	m.line(1, "contact: %s\n    measured: %s\n    wall_allowance: %s", contact, measured, walls)
	m.line(1, "seal: %s\n    datum: %s\n    cut: %s", pick(m.rng, "frame", "platen", "reducing_plate"),
		pick(m.rng, "block_centre", "block_corner", "land_centre"), pick(m.rng, "first_time", "leave_stock"))
	m.line(1, "block: {margin: %g, base: %g, corner: %g, skirt_draft: %g}", m.between(4, 25),
		pick(m.rng, 3.0, 8, 20, 30), pick(m.rng, 0.0, 8, 12), pick(m.rng, 0.0, 3, 6))
	m.vents()
	m.line(0, "part: {outline: {rect: [%.1f, %.1f], corner: 10}, flange: 3}", x, y)
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
	if m.chance(0.3) {
		keys = append(keys, fmt.Sprintf("pitch: %g", pick(m.rng, 2.0, 6, 12, 60)))
	}
	if m.chance(0.2) {
		keys = append(keys, fmt.Sprintf("drills: [%g, %g]", pick(m.rng, 0.5, 0.8), pick(m.rng, 1.0, 1.5)))
	}
	if m.chance(0.2) {
		keys = append(keys, fmt.Sprintf("most: %d", 1+m.rng.IntN(60)))
	}
	if len(keys) > 0 {
		m.line(1, "vents: {%s}", strings.Join(keys, ", "))
	}
}
