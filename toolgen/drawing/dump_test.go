package drawing_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/drawing"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// Folders of the check with an independent reader and writer of DXF.
var (
	dumpDir  = flag.String("dump", "", "folder to write the sheets of this test to")
	theirDir = flag.String("theirs", "", "folder of DXF files by another writer, with areas.json: mm2 by name")
)

// sheets are drawings as the papers of a job have them.
func sheets(t *testing.T) map[string]drawing.Sheet {
	t.Helper()
	slot, err := outline.Slot(52, 28)
	require.NoError(t, err)
	hole, err := outline.Circle(6)
	require.NoError(t, err)
	tray, err := outline.New(rect(t, 320, 220, 12).Elems, reversed(moved(t, slot, 40, 20).Elems), reversed(moved(t, hole, -60, -30).Elems))
	require.NoError(t, err)
	return map[string]drawing.Sheet{
		"trim": {
			Notes: []string{"trim line, part size, cold"}, CheckBar: true,
			Layers: []drawing.Layer{{Name: "TRIM", Colour: 1, Outlines: []*outline.Outline{tray}}, {Name: "CREASE", Colour: 5, Outlines: []*outline.Outline{moved(t, slot, 0, 300)}}},
		},
		"drill": {
			Notes: []string{"drill map, tool size, datum block centre", "Böden – 1 Ω"},
			Layers: []drawing.Layer{
				{Name: "DRILL_D1_00", Colour: 3, Circles: []drawing.Circle{{geom.Vec2{X: 10, Y: 20}, 0.5}, {geom.Vec2{X: -10, Y: 20}, 0.5}}, Points: []geom.Vec2{{X: 10, Y: 20}, {X: -10, Y: 20}}},
				{Name: "STOCK", Colour: 8, Outlines: []*outline.Outline{rect(t, 400, 300, 0)}, Texts: []drawing.Text{{geom.Vec2{X: -190, Y: -140}, 5, "block 400 x 300"}}},
			},
		},
	}
}

// TestSheets writes the sheets and reads every layer with an outline back; with -dump they are left for
// another reader.
func TestSheets(t *testing.T) {
	for name, s := range sheets(t) {
		var b, again bytes.Buffer
		require.NoError(t, drawing.WriteDXF(&b, s))
		require.NoError(t, drawing.WriteDXF(&again, s))
		require.Equal(t, b.Bytes(), again.Bytes())
		for _, l := range s.Layers {
			if len(l.Outlines) == 0 {
				continue
			}
			d, err := drawing.ReadDXF(b.Bytes(), drawing.Options{Layers: []string{l.Name}, Unit: drawing.Millimetre})
			if len(l.Texts) > 0 {
				require.ErrorContains(t, err, "is text", "%s", name)
				continue
			}
			require.NoError(t, err)
			require.InDelta(t, l.Outlines[0].Area(), d.Outline.Area(), 1e-6)
			require.Empty(t, d.Warnings)
		}
		if *dumpDir != "" {
			require.NoError(t, os.WriteFile(filepath.Join(*dumpDir, name+".dxf"), b.Bytes(), 0o644))
		}
	}
}

// TestTheirs reads the files of another writer and holds the areas against the ones it gave.
func TestTheirs(t *testing.T) {
	if *theirDir == "" {
		t.Skip("no folder given with -theirs")
	}
	text, err := os.ReadFile(filepath.Join(*theirDir, "areas.json"))
	require.NoError(t, err)
	type file struct {
		Area float64
		Inch bool
	}
	areas := map[string]file{}
	require.NoError(t, json.Unmarshal(text, &areas))
	require.NotEmpty(t, areas)
	for name, want := range areas {
		data, err := os.ReadFile(filepath.Join(*theirDir, name+".dxf"))
		require.NoError(t, err)
		o := mm // R12 files do not say their unit
		if want.Inch {
			o.Unit = drawing.Inch
		}
		d, err := drawing.ReadDXF(data, o)
		require.NoError(t, err, name)
		// An error of 0.002 mm all along the line is the most that curves may add.
		require.LessOrEqual(t, math.Abs(d.Outline.Area()-want.Area), 1e-6+0.002*d.Outline.Length(), "%s: %v instead of %v", name, d.Outline.Area(), want.Area)
		t.Logf("%s: area %.6f, off by %.2g", name, d.Outline.Area(), d.Outline.Area()-want.Area)
	}
}
