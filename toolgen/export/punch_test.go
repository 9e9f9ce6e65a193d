package export_test

import (
	"bytes"
	"encoding/csv"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/export"
	"platen/toolgen/geom"
)

func TestPunchCSV(t *testing.T) {
	row := export.Punch{ID: "I1/drain/P1", Feature: "I1/drain", Shape: "slot", At: geom.Vec3{X: -12.5, Y: 1e-9, Z: -18},
		Size: geom.Vec2{X: 20, Y: 6}, Turn: 30 * geom.Degree, Scale: "cold part", Datum: "=frame"}
	var b bytes.Buffer
	require.NoError(t, export.PunchCSV(&b, []export.Punch{row}))
	require.Contains(t, b.String(), "\r\n")
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Equal(t, [][]string{
		{"id", "feature", "shape", "x_mm", "y_mm", "z_mm", "size_x_mm", "size_y_mm", "turn_deg", "scale", "datum"},
		{"I1/drain/P1", "I1/drain", "slot", "-12.500", "0.000", "-18.000", "20.000", "6.000", "30.000", "cold part", "'=frame"},
	}, rows)
	for name, spoil := range map[string]func(*export.Punch){
		"no id":     func(p *export.Punch) { p.ID = "" },
		"no size":   func(p *export.Punch) { p.Size.Y = 0 },
		"no number": func(p *export.Punch) { p.At.Z = math.NaN() },
		"no turn":   func(p *export.Punch) { p.Turn = geom.Angle(math.Inf(1)) },
		"control":   func(p *export.Punch) { p.Shape = "a\x07" },
	} {
		bad := row
		spoil(&bad)
		b.Reset()
		require.Error(t, export.PunchCSV(&b, []export.Punch{bad}), name)
		require.Zero(t, b.Len())
	}
	require.ErrorContains(t, export.PunchCSV(&b, []export.Punch{row, row}), "used in row 1 already")
}
