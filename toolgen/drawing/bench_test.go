package drawing_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/drawing"
)

// BenchmarkReadDXF reads the longest polyline that is taken.
func BenchmarkReadDXF(b *testing.B) {
	data := polyText(99_000, func(i int) (float64, float64) {
		s, c := math.Sincos(float64(i) / 99_000 * 2 * math.Pi)
		return 1000 * c, 1000 * s
	})
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		_, err := drawing.ReadDXF(data, drawing.Options{})
		require.NoError(b, err)
	}
}
