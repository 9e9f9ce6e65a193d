package toolgen_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/geom"
)

// trial is a part to calibrate by.
const trial = `
format: 1
name: trial
sheet: {material: HIPS, gauge: 1%s}
tool: {material: aluminium 5083, measured: underside}
part: {outline: {rect: [110, 100], corner: 8}}
%s
features:
  - {kind: pocket, name: a, size: [60, 50], depth: 22, draft: 6, edge: 3, floor: 4}
`

// TestCalibrateWalls forms a sheet of known stiffening, reads its walls as a person would, and finds
// the stiffening again.
func TestCalibrateWalls(t *testing.T) {
	o := options()
	o.NoSheet = false
	made, err := toolgen.Check(context.Background(), read(t, fmt.Sprintf(trial, ", stiffening: 0.4", "")), o)
	require.NoError(t, err)
	var m toolgen.Measured
	for _, s := range made.Formed.Sections() {
		for i, p := range s.Points {
			if i%8 == 0 {
				m.Walls = append(m.Walls, toolgen.WallReading{Line: i, At: made.Body.Map.Back(p.At), MM: p.Wall})
			}
		}
	}
	c, err := toolgen.Calibrate(context.Background(), read(t, fmt.Sprintf(trial, "", "")), o, m)
	require.NoError(t, err)
	require.InEpsilon(t, 0.4, c.Stiffening, 0.15)
	require.False(t, c.AtEnd)
	require.Less(t, toolgen.RMS(c.Walls), 0.01)
	require.Contains(t, c.Lines(), "stiffening: 0.")

	m.Walls = append(m.Walls, toolgen.WallReading{Line: 99, At: geom.Vec3{X: 300}, MM: 1})
	_, err = toolgen.Calibrate(context.Background(), read(t, fmt.Sprintf(trial, "", "")), o, m)
	require.ErrorContains(t, err, "line 99: part (300.00, 0.00, 0.00) lies")
}

// TestCalibrateLengths measures a part that shrank otherwise than allowed, and the tool made from the
// fitted values is right for it.
func TestCalibrateLengths(t *testing.T) {
	ratio := geom.Vec3{X: 0.9975, Y: 1.0012, Z: 1.004}
	var m toolgen.Measured
	for i, d := range []geom.Vec3{{X: 60}, {Y: 50}, {Z: 22}, {X: 60, Y: 50}, {X: 100}, {Y: -92}} {
		r := geom.Vec3{X: d.X * ratio.X, Y: d.Y * ratio.Y, Z: d.Z * ratio.Z}
		m.Lengths = append(m.Lengths, toolgen.LengthReading{Line: i + 2, Asked: d, MM: r.Norm()})
	}
	job := read(t, fmt.Sprintf(trial, "", ""))
	before := check(t, fmt.Sprintf(trial, "", "")).Body.Shrink.Scale()
	c, err := toolgen.Calibrate(context.Background(), job, options(), m)
	require.NoError(t, err)
	require.Equal(t, [3]bool{true, true, true}, c.Fitted)
	require.Less(t, toolgen.RMS(c.Lengths), 1e-6)
	after := check(t, fmt.Sprintf(trial, "", c.Lines())).Body.Shrink.Scale()
	require.InDelta(t, before.X/ratio.X, after.X, 1e-5)
	require.InDelta(t, before.Y/ratio.Y, after.Y, 1e-5)
	require.InDelta(t, before.Z/ratio.Z, after.Z, 1e-5)

	m.Lengths = m.Lengths[:1]
	c, err = toolgen.Calibrate(context.Background(), job, options(), m)
	require.NoError(t, err)
	require.Equal(t, [3]bool{true, false, false}, c.Fitted, "one length along X tells X alone")
	m.Lengths = []toolgen.LengthReading{{Asked: geom.Vec3{X: 60, Y: 50}, MM: 78}}
	_, err = toolgen.Calibrate(context.Background(), job, options(), m)
	require.ErrorContains(t, err, "do not tell the axes apart")
}

func TestReadMeasured(t *testing.T) {
	m, err := toolgen.ReadMeasured(strings.NewReader("kind,x,y,z,x2,y2,z2,measured\n# floor\nwall, 1, 2, -3, , , , 0.45\nlength,-30,0,0,30,0,0,59.9\n"))
	require.NoError(t, err)
	require.Equal(t, []toolgen.WallReading{{Line: 3, At: geom.Vec3{X: 1, Y: 2, Z: -3}, MM: 0.45}}, m.Walls)
	require.Equal(t, []toolgen.LengthReading{{Line: 4, Asked: geom.Vec3{X: 60}, MM: 59.9}}, m.Lengths)
	for text, want := range map[string]string{
		"":                      "no header",
		"kind,x,y,measured\n":   `column "z" is missing`,
		"kind,x,y,z,measured\n": "no rows",
		"kind,x,y,z,measured\nwall,1,2,3,thick\n":          `line 2: measured "thick" is no number`,
		"kind,x,y,z,measured\nwal,1,2,3,1\n":               `line 2: kind "wal"; allowed: wall, length`,
		"kind,x,y,z,measured\nwall,1,2,3,0\n":              "allowed: above 0",
		"kind,x,y,z,x2,y2,z2,measured\nlength,1,,,1,,,5\n": "two places",
	} {
		_, err := toolgen.ReadMeasured(strings.NewReader(text))
		require.ErrorContains(t, err, want)
	}
}

// TestChoices compares sides and gauges: the job as asked is among them, and thicker sheet keeps more.
func TestChoices(t *testing.T) {
	rows, err := toolgen.Choices(context.Background(), read(t, fmt.Sprintf(trial, "", "")), options(), nil)
	require.NoError(t, err)
	require.Len(t, rows, 6)
	for i, r := range rows {
		require.Equal(t, []float64{0.75, 1, 1.25}[i%3], r.Gauge)
		require.Equal(t, i == 1, r.Asked)
		require.Empty(t, r.Refused)
		require.Greater(t, r.Mass, 5.0)
		if i%3 > 0 {
			require.Greater(t, r.Least, rows[i-1].Least)
			require.InEpsilon(t, r.Gauge/rows[i-1].Gauge, r.Mass/rows[i-1].Mass, 0.02)
		}
	}
}
