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
