package body_test

import (
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

// assemble reads a job and returns its tool body, walls as the job asks.
func assemble(t *testing.T, text string) *body.Body {
	t.Helper()
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	j, err := job.Read([]byte(text), "job.yaml", kinds, job.Names{})
	require.NoError(t, err)
	p, err := part.Resolve(j, features.All(), os.ReadFile)
	require.NoError(t, err)
	var w wall.Walls = wall.Nominal{Gauge: p.Gauge, Over: j.Tool.Choice("contact") == "upper"}
	if j.Tool.Choice("wall_allowance") == "none" {
		w = wall.None{}
	}
	b, err := body.Assemble(p, w)
	require.NoError(t, err)
	return b
}

func TestPocketGridField(t *testing.T) {
	text, err := os.ReadFile("../../testdata/workloads/t12.yaml")
	require.NoError(t, err)
	b := assemble(t, string(text))
	require.Len(t, b.Field.Patches, 12)
	require.InDelta(t, 60, b.Land(), 1e-12)
	at := func(x, y, z float64) float64 { return b.Field.At(geom.Vec3{X: x, Y: y, Z: z}).D }
	tan, cos := math.Tan(6*math.Pi/180), math.Cos(6*math.Pi/180)
	require.InDelta(t, 0, at(0, 0, 60), 1e-12, "land between the pockets")
	require.InDelta(t, 5, at(0, 0, 65), 1e-12, "above the land")
	require.InDelta(t, 0, at(70, 0, 20), 1e-12, "pocket floor, 40 deep")
	require.InDelta(t, -5, at(70, 0, 15), 1e-12, "below a floor")
	require.InDelta(t, 0, at(70+55-20*tan, 0, 40), 1e-12, "wall at half depth")
	require.InDelta(t, -1, at(70+55-20*tan+1/cos, 0, 40), 1e-12, "1 mm behind the wall")
	require.InDelta(t, 0, at(300, 0, 30), 1e-12, "side of the block")
	require.InDelta(t, 0, at(0, 0, 0), 1e-12, "base of the block")
	require.InDelta(t, 7, at(0, 0, -7), 1e-12, "below the base")
}

// TestNoFaceWithin asks the field deep in a boss, at the height of its host plane, where the corner of a turned
// neighbour's box reaches in: the plane does not run on there.
func TestNoFaceWithin(t *testing.T) {
	b := assemble(t, `
format: 1
name: neighbours
sheet: {material: PMMA extruded, gauge: 0.8, extrusion: none}
tool: {material: aluminium-filled epoxy, contact: underside, measured: underside, wall_allowance: none, block: {margin: 18.1, base: 8, corner: 0, skirt_draft: 0}}
part: {outline: {rect: [98.2, 219.6], corner: 10}, flange: 3}
features:
  - {kind: stiffening_rib, at: [9.1, -35.6], length: 44.9, width: 10, height: 2.2, turn: -23.9, crown: 0.8, root: 0.8, way: sunk}
  - {kind: boss, at: [-5.1, -51.9], size: [18.2, 17.6], turn: -10.2, height: 6.7, draft: 8, corner: 6, crown: 1, root: 1}
`)
	require.Len(t, b.Field.Patches, 2)
	rib, boss := b.Field.Patches[0], b.Field.Patches[1]
	within := 0
	for x := -14.0; x < 4; x += 0.25 {
		for y := -61.0; y < -43; y += 0.25 {
			q := geom.Vec2{X: x, Y: y}
			deep := boss.Sweep.Outline.At(q).D
			if deep > -1 || !rib.Box().Plan().Holds(q) {
				continue
			}
			within++
			s := b.Field.At(q.At(b.Land()))
			// The nearest face is the boss's wall, or the groove beside it.
			require.LessOrEqual(t, s.D, -min(-deep*math.Cos(8*math.Pi/180), rib.Plan(q))+1e-9, "(%.2f, %.2f)", x, y)
		}
	}
	require.Greater(t, within, 100)
}
