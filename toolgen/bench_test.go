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
	for _, name := range []string{"t12", "t96", "t384"} {
		text, err := os.ReadFile("../testdata/workloads/" + name + ".yaml")
		require.NoError(b, err)
		b.Run(name, func(b *testing.B) {
			var r *toolgen.Result
			for b.Loop() {
				r = build(b, string(text), 0.02, "tool.stl")
			}
			b.ReportMetric(float64(len(r.Mesh.T)), "triangles")
			b.ReportMetric(r.Measure.Deviation(), "mm-deviation")
		})
		b.Run(name+"/review", func(b *testing.B) {
			for b.Loop() {
				_, err := toolgen.Check(context.Background(), read(b, string(text)), options())
				require.NoError(b, err)
			}
		})
	}
}
