package render_test

import (
	"bytes"
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/render"
)

var dump = flag.String("dump", "", "folder to write the pictures of the tests to, to look at")

func marks() []render.Mark {
	up := geom.Vec3{Z: 1}
	var out []render.Mark
	for _, p := range []geom.Vec3{
		{X: -78 - 15, Y: -52 - 15, Z: -20}, {X: -78 + 15, Y: -52 - 15, Z: -20}, {X: -78 + 15, Y: -52 + 15, Z: -20},
		{X: -78 - 15, Y: -52 + 15, Z: -20}, {X: -26 + 15, Y: -52, Z: -12}, {X: -26 - 15, Y: -52, Z: -12},
		{X: 26, Y: 52 - 14, Z: -20}, {X: 26, Y: 52 + 14, Z: -20}, {X: 78, Y: -52, Z: -6},
	} {
		out = append(out, render.Mark{At: p, Normal: up, Kind: render.Vent})
	}
	return append(out,
		render.Mark{At: geom.Vec3{X: -26, Y: 0, Z: 16}, Normal: up, Kind: render.Warning},
		render.Mark{At: geom.Vec3{X: 78 + 22, Y: 0, Z: 0}, Normal: up, Kind: render.Error},
		render.Mark{At: geom.Vec3{X: -78, Y: 52, Z: -6}, Normal: up, Kind: render.Note})
}

// TestLook draws the sample as a user would see it; -dump keeps the pictures.
func TestLook(t *testing.T) {
	if *dump == "" {
		t.Skip("pictures to look at: run with -dump FOLDER")
	}
	s := sample()
	for _, v := range []render.View{render.ThreeQuarter, render.Top} {
		for _, wire := range []bool{false, true} {
			var b bytes.Buffer
			require.NoError(t, render.PNG(&b, s.m, v, marks(), render.Options{
				Title: "instrument tray", Note: "PETG 0.75 mm, sheet upper side", Pieces: s.pieces, Wire: wire,
			}))
			name := v.String()
			if wire {
				name += "-wire"
			}
			require.NoError(t, os.WriteFile(filepath.Join(*dump, name+".png"), b.Bytes(), 0o644))
		}
	}
}

func BenchmarkPNG(b *testing.B) {
	s := fine()
	for b.Loop() {
		require.NoError(b, render.PNG(io.Discard, s.m, render.ThreeQuarter, marks(), render.Options{Title: "tray", Pieces: s.pieces}))
	}
	b.ReportMetric(float64(len(s.m.T)), "triangles")
}
