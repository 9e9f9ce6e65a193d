package skin_test

import (
	"context"
	"testing"

	"platen/toolgen/sdf"
	"platen/toolgen/skin"
)

func benchmark(b *testing.B, body *sdf.Body, tol float64) {
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		m, _, err := skin.Build(context.Background(), body, skin.Options{Tol: tol})
		if err != nil {
			b.Fatal(err)
		}
		n = len(m.T)
	}
	b.ReportMetric(float64(n), "triangles")
}

func BenchmarkTwelvePockets20(b *testing.B) { benchmark(b, t12(b), 0.02) }
func BenchmarkTwelvePockets10(b *testing.B) { benchmark(b, t12(b), 0.01) }
func BenchmarkManyPockets20(b *testing.B)   { benchmark(b, t384(b), 0.02) }
