package drawing_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/drawing"
	"platen/toolgen/outline"
)

// mostSeed keeps the seeds small: large hostile files have a test of their own.
const mostSeed = 4096

// FuzzReadDXF: any bytes give a refusal or a simple outline, which comes back through WriteDXF.
func FuzzReadDXF(f *testing.F) {
	for _, data := range roundedRect() {
		f.Add(data)
	}
	for _, data := range hostileDXF() {
		if len(data) < mostSeed {
			f.Add(data)
		}
	}
	f.Add(dxf(4, []any{"ELLIPSE", 8, "0", 10, 5, 20, 7, 11, 30, 21, 5, 40, 0.5, 41, 0, 42, 6.283185}))
	f.Add(dxf(4, with(square(0, 0, 9), []any{"CIRCLE", 8, "0", 10, 4, 20, 4, 40, 2, 230, -1})...))
	f.Add(laugh(circleText(0, 0, 1), 1))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := drawing.ReadDXF(data, drawing.Options{})
		held(t, d, err)
		comesBack(t, d)
	})
}

// FuzzReadSVG: any bytes give a refusal or a simple outline, which comes back through WriteDXF.
func FuzzReadSVG(f *testing.F) {
	for _, data := range hostileSVG() {
		if len(data) < mostSeed {
			f.Add(data)
		}
	}
	for _, body := range []string{
		`<path d="M0 0 C10 20 20 20 30 0 S50-20 60 0 V50H0Z"/>`, `<path d="m0 0q15 20 30 0t30 0v50h-60z"/>`,
		`<path d="M0 0 A10 10 30 01 17 0z"/>`, `<g transform="rotate(9 1 2) skewX(4)"><rect width="50" height="20" rx="3" ry="4"/></g>`,
		`<ellipse rx="20" ry="5"/><circle r="2"/>`, `<polygon points="0,0 10,0 10,10"/>`, `<line x2="5"/><path d="M5 0V5H0V0"/>`,
	} {
		f.Add(svgFile(`width="100mm" height="50mm" viewBox="0 0 100 50"`, body))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := drawing.ReadSVG(data, drawing.Options{})
		held(t, d, err)
		comesBack(t, d)
	})
}

// comesBack writes a drawing and reads it again.
func comesBack(t *testing.T, d *drawing.Drawing) {
	t.Helper()
	if d == nil {
		return
	}
	require.NoError(t, d.Outline.Simple())
	var b bytes.Buffer
	require.NoError(t, drawing.WriteDXF(&b, drawing.Sheet{Layers: []drawing.Layer{{Name: "TRIM", Colour: 1, Outlines: []*outline.Outline{d.Outline}}}}))
	again, err := drawing.ReadDXF(b.Bytes(), drawing.Options{Layers: []string{"TRIM"}})
	require.NoError(t, err)
	require.Len(t, again.Loops, len(d.Loops))
	require.InDelta(t, d.Outline.Area(), again.Outline.Area(), 1e-6*(1+d.Outline.Length()))
}
