package toolgen_test

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/geom"
	"platen/toolgen/render"
)

// To look at a mesh: go test ./toolgen -run TestWireframe -job FILE -mm 0.02 -wire PICTURE.png
// -window x0,y0,x1,y1; from the top with -top. Without -wire a small job is drawn and nothing kept.
var (
	wireFile   = flag.String("wire", "", "file to write the picture of TestWireframe to, to look at")
	wireJob    = flag.String("job", "../examples/kinds/pocket.yaml", "job that TestWireframe draws")
	wireTol    = flag.Float64("mm", 0.1, "tolerance of that job, mm")
	wireWindow = flag.String("window", "", "part of the tool's plan to draw: x0,y0,x1,y1 in mm")
	wireTop    = flag.Bool("top", false, "draw it from straight above")
)

// TestWireframe draws the triangles over the shaded body: every edge darkens the picture, nothing else
// of it moves.
func TestWireframe(t *testing.T) {
	text, err := os.ReadFile(*wireJob)
	require.NoError(t, err)
	o := options()
	o.Tolerance, o.Only = *wireTol, []string{"tool.stl"}
	r, err := toolgen.Build(context.Background(), read(t, string(text)), o)
	require.NoError(t, err)
	look := render.Options{Title: filepath.Base(*wireJob), Note: fmt.Sprintf("%d triangles at %g mm", len(r.Mesh.T), *wireTol), Pieces: r.Body.Field.Pieces}
	if *wireFile == "" {
		look.Width, look.Height = 320, 220
	}
	if *wireWindow != "" {
		b := r.Measure.Audit.Box
		_, err := fmt.Sscanf(*wireWindow, "%g,%g,%g,%g", &b.Min.X, &b.Min.Y, &b.Max.X, &b.Max.Y)
		require.NoError(t, err)
		b.Min.Z = b.Max.Z // fitted to the land
		look.Window = &geom.Box3{Min: b.Min, Max: b.Max}
	}
	view := render.ThreeQuarter
	if *wireTop {
		view = render.Top
	}
	draw := func() ([]byte, *image.RGBA) {
		var b bytes.Buffer
		require.NoError(t, render.PNG(&b, r.Mesh, view, nil, look))
		img, err := png.Decode(bytes.NewReader(b.Bytes()))
		require.NoError(t, err)
		return b.Bytes(), img.(*image.RGBA)
	}
	_, plain := draw()
	look.Wire = true
	file, wired := draw()
	darker := 0
	for i := range plain.Pix {
		require.LessOrEqual(t, wired.Pix[i], plain.Pix[i])
		if wired.Pix[i] < plain.Pix[i] {
			darker++
		}
	}
	require.Greater(t, darker, 1000)
	require.Less(t, darker, len(plain.Pix))
	if *wireFile != "" {
		require.NoError(t, os.WriteFile(*wireFile, file, 0o644))
	}
}
