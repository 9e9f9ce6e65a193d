package toolgen_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/drawing"
	"platen/toolgen/geom"
	"platen/toolgen/part"
)

const punched = `format: 1
name: punched
revision: C
sheet: {material: PP, gauge: 1, extrusion: x}
tool: {material: aluminium 5083, contact: %s}
part: {outline: {rect: [160, 120], corner: 9}}
features:
  - {kind: pocket, name: well, at: [-30, 10], turn: 90, size: [60, 50], depth: 12, features: [
      {kind: aperture, name: drain, diameter: 10, at: [5, 3], mark: true}]}
  - {kind: aperture, name: hang, slot: [24, 6], at: [50, 0], turn: 30, repeat: {points: [[0, 0], [0, 40]]}}
  - {kind: aperture, name: port, outline: {polygon: [[0, 0], [16, 0], [0, 10]]}, at: [40, -40]}
`

// file returns the bytes of a file of a result.
func file(t *testing.T, r *toolgen.Result, name string) []byte {
	t.Helper()
	for _, a := range r.Artefacts() {
		if a.Name == name {
			var b bytes.Buffer
			require.NoError(t, a.Write(&b))
			return b.Bytes()
		}
	}
	require.Fail(t, "no file "+name)
	return nil
}

// TestTrimIsTheColdPart reads trim.dxf and punch.csv back: both are at part size whatever the tool's
// shrink and side, and the spot on the tool lies where the hole comes.
func TestTrimIsTheColdPart(t *testing.T) {
	for _, contact := range []string{"underside", "upper"} {
		r := check(t, strings.ReplaceAll(punched, "%s", contact))
		require.Greater(t, r.Body.Map.Scale.X, 1.005)
		dxf := file(t, r, "trim.dxf")
		text := string(dxf)
		for _, words := range []string{"AC1009", "unit: mm", "cold part size", "punched rev C", "the bar is 100 mm long"} {
			require.Contains(t, text, words)
		}
		trim, err := drawing.ReadDXF(dxf, drawing.Options{Layers: []string{"TRIM"}})
		require.NoError(t, err)
		require.InDelta(t, 0, trim.Bounds.Size().Sub(geom.Vec2{X: 160, Y: 120}).Norm(), 1e-6)
		require.InDelta(t, r.Part.Outline.Area(), trim.Outline.Area(), 1e-3)
		punch, err := drawing.ReadDXF(dxf, drawing.Options{Layers: []string{"PUNCH"}})
		require.NoError(t, err)
		require.Len(t, punch.Loops, 4)
		area := 0.0
		for _, h := range r.Part.Holes {
			area += h.Outline.Area()
			require.InDelta(t, 0, punch.Outline.At(h.Outline.Elems[0].Point(0.5)).D, 1e-6, h.ID)
		}
		require.InDelta(t, area, punch.Outline.Area(), 1e-3)

		rows, err := csv.NewReader(bytes.NewReader(file(t, r, "punch.csv"))).ReadAll()
		require.NoError(t, err)
		var got []string
		for _, row := range rows[1:] {
			require.Equal(t, "cold part size, no shrink allowance", row[9])
			got = append(got, strings.Join(row[:9], " "))
		}
		// The well is turned by 90 deg: (5, 3) comes to (-3, 5).
		require.Equal(t, []string{
			"I1/well/drain I1/well/drain circle -33.000 15.000 -12.000 10.000 10.000 90.000",
			"I1/hang/P1 I1/hang slot 50.000 0.000 0.000 24.000 6.000 30.000",
			"I1/hang/P2 I1/hang slot 50.000 40.000 0.000 24.000 6.000 30.000",
			"I1/port I1/port outline " + boxOf(r.Part.Holes[3]) + " 0.000",
		}, got)

		for _, s := range r.Body.Solids {
			if s.Use != part.Spot {
				continue
			}
			require.True(t, s.Female())
			at := s.Outline.Disc()
			require.InDelta(t, 1.5, at.R, 1e-6)
			require.InDelta(t, 0, at.Centre.Sub(r.Body.Map.Plan(geom.Vec2{X: -33, Y: 15})).Norm(), 1e-6)
		}
	}
}

// boxOf writes middle and size of the box of a hole on the land.
func boxOf(h *part.Feature) string {
	box := h.Outline.Bounds()
	return fmt.Sprintf("%.3f %.3f 0.000 %.3f %.3f", box.Centre().X, box.Centre().Y, box.Size().X, box.Size().Y)
}

// TestNoHolesNoPunchList makes a trim line for every part and a punch list for none without holes.
func TestNoHolesNoPunchList(t *testing.T) {
	r := check(t, "format: 1\nname: plain\nsheet: {material: HIPS, gauge: 1}\ntool: {material: aluminium 5083}\npart: {outline: {circle: 90}}\n")
	var names []string
	for _, a := range r.Artefacts() {
		names = append(names, a.Name)
	}
	require.Contains(t, names, "trim.dxf")
	require.NotContains(t, names, "punch.csv")
	require.NotContains(t, string(file(t, r, "trim.dxf")), "PUNCH\r\n62")
	o := options()
	o.Only = []string{"punch.csv"}
	_, err := toolgen.Build(t.Context(), r.Job, o)
	require.ErrorContains(t, err, "the part has 0 apertures")
}

// TestNothingNestsInAHole refuses features in an aperture.
func TestNothingNestsInAHole(t *testing.T) {
	j := read(t, strings.ReplaceAll(punched, "%s", "upper")+"  - {kind: aperture, diameter: 20, at: [60, -40], features: [{kind: pip}]}\n")
	_, err := toolgen.Check(t.Context(), j, options())
	require.ErrorContains(t, err, "it is a hole: nothing can be nested in it")
}
