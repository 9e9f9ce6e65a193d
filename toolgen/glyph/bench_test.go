package glyph_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/glyph"
)

// BenchmarkAt asks for the distance at points within 0.2 mm of the walls of a line of text.
func BenchmarkAt(b *testing.B) {
	o, _, err := glyph.Line("LEFT 12 & Tray 0.5 kg", glyph.Regular(), 8, glyph.Options{Round: 0.2})
	require.NoError(b, err)
	rng := seeded(1)
	ps := make([]geom.Vec2, 4096)
	for k := range ps {
		e := o.Elems[rng.IntN(len(o.Elems))]
		ps[k] = e.Point(rng.Float64()).Add(geom.Vec2{X: rng.Float64() - 0.5, Y: rng.Float64() - 0.5}.Scale(0.4))
	}
	k := 0
	for b.Loop() {
		o.At(ps[k&4095])
		k++
	}
}
