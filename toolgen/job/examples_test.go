package job_test

import "strings"

// goodJobs are jobs both Read and the schema take.
func goodJobs() map[string]string {
	jobs := map[string]string{
		"least": "format: 1\nname: plate\nsheet: {material: sheet-a, gauge: 1}\ntool: {material: board-a}\npart: {outline: {circle: 80}}\n",
		"full": `# every key of the sections
format: 1
name: parts tray
revision: B
note: first trial, measured cold
units: mm
sheet:
  material: sheet-b
  gauge: 1.5
  least_wall: 0.4 mm
  extrusion: y
  size: [460, 14.5 in]
  texture: 0.02
  finish: grained
  finish_face: underside
  most_stretch: 2.2
  look: opaque
tool:
  material: alloy-b
  temperature: 60 degC
  contact: upper
  measured: underside
  seal: reducing_plate
  datum: land_centre
  cut: leave_stock
  wall_allowance: none
  block: {margin: 25, base: 1 in, corner: 6, skirt_draft: 3 deg, edge: 2, size: [400, 300]}
  impressions: {grid: [2, 1], pitch: [320, 8 in], trimmed: apart}
  vents: {pitch: 30, most: 200, keep_clear: [left, right one], drills: [0.6, 0.8, 1 mm]}
part:
  outline: {polygon: [[-150, -100], [150, -100], [150, 100], [-150, 1e2]], corner: 12}
  flange: 10
forming:
  frame: [430, 330]
  travel: 40
  bubble: 1 in
  plug: {outline: {rect: [40, 30], corner: 6}, at: [10, 0], turn: 90, repeat: {grid: [2, 1], pitch: [80, 0]}, travel: 18, edge: 5, draft: 8, stick: false}
defaults: {draft: 4, edge: 1, floor: 2, corner: 6, crossing: 1.5}
shrink: {basis: male, x: 0.5, y: 0.6, z: 0.5, off: false, reason: measured on the last three jobs}
limits:
  - {rule: wall.draft-low, limit: 2, reason: shallow and polished}
features:
  - kind: pocket
    name: left
    at: [-70, 0]
    turn: 90
    outline: {rect: [60, 40], corner: 0.25 in}
    depth: 22
    features:
      - {kind: boss, diameter: 8, height: 4, faces: 6, shade: dark, open: true}
      - {kind: boss, name: pip, diameter: 8 mm, height: 4, repeat: {grid: [2, 3], pitch: [12, 10]}}
  - kind: pocket
    name: right one
    at: [2.5 in, 0]
    outline: {slot: [52, 28]}
    depth: 0.75 inch
    draft: 6 deg
    repeat: {points: [[0, 0], [0, 60 mm]]}
`,
		"inch": `format: 1
name: 12
revision: no
units: inch
sheet: {material: sheet-a, gauge: 0.06}
tool: {material: board-a}
part: {outline: {rect: [12, 8]}}
features: []
`,
		"values": `format: 1
name: named
units: inch
values:
  pitch: 2*r + wall
  r: 12.5 mm
  wall: 0.125
  slope: 6 deg
  across: floor(8 in / pitch)
  rise: 12 mm * tan(slope) + max(0.01, wall / 20)
  share: (r + 0.1 mm) / (2 * r)
  diagonal: sqrt(r^2 + pitch^2)
  warm: 60 degC
sheet: {material: sheet-a, gauge: wall / 2}
tool: {material: board-a, temperature: warm - 5}
part: {outline: {rect: ["hypot(3, 4) * 2", 9 in], corner: r}}
defaults: {draft: slope}
limits: [{rule: wall.draft-low, limit: 10*share - 3, reason: tried}]
features:
  - kind: pocket
    at: [-pitch, (1 + 1) * 0.5 mm]
    turn: 180 / 2
    outline: {circle: 2*r}
    depth: rise + 0.25
    repeat: {grid: [across - 3, 1], pitch: [4 * pitch, 0]}
`,
		"drawings": `format: 1
name: drawn
sheet: {material: sheet-a, gauge: 1}
tool: {material: board-a}
part: {outline: {dxf: plans/tray.dxf, layer: TRIM, unit: inch, centre: false}}
features:
  - {kind: pocket, depth: 20, outline: {svg: meter.svg, corner: 3}}
`,
	}
	for _, k := range kinds() {
		jobs["kind "+k.Name] = head + "  - " + strings.ReplaceAll(strings.TrimSpace(k.Example), "\n", "\n    ") + "\n"
	}
	return jobs
}
