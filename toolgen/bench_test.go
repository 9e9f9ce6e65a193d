package toolgen_test

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
)

// BenchmarkWorkload builds the mesh of the workloads, job text to audited triangles.
func BenchmarkWorkload(b *testing.B) {
	for _, w := range []struct {
		name string
		tol  float64
	}{{"t12", 0.02}, {"t96", 0.02}, {"t384", 0.02}, {"t12x", 0.05}, {"t12y", 0.05}, {"recess_above_floor", 0.05}, {"rib_boss_root1", 0.05}} {
		text, err := os.ReadFile("../testdata/workloads/" + w.name + ".yaml")
		require.NoError(b, err)
		b.Run(w.name, func(b *testing.B) {
			var r *toolgen.Result
			for b.Loop() {
				r = build(b, string(text), w.tol, "tool.stl")
			}
			b.ReportMetric(float64(len(r.Mesh.T)), "triangles")
			b.ReportMetric(r.Measure.Deviation(), "mm-deviation")
		})
		b.Run(w.name+"/review", func(b *testing.B) {
			for b.Loop() {
				_, err := toolgen.Check(context.Background(), read(b, string(text)), options())
				require.NoError(b, err)
			}
		})
	}
}
