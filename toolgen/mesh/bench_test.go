package mesh_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// benchBlocks are of the size of a common tool, a large one, and one that is turned in space so that
// no plane is level and all boxes are loose.
func benchBlocks() map[string]*mesh.Mesh {
	turn := rotation(rand.New(rand.NewPCG(1, 1)))
	common := pocketBlock(4, 3, 96, 17)
	return map[string]*mesh.Mesh{
		"40k":       common,
		"170k":      pocketBlock(8, 6, 96, 18),
		"40kTurned": moved(common, func(v geom.Vec3) geom.Vec3 { return mesh.Quantise(turn(v)) }),
	}
}

func BenchmarkCrossings(b *testing.B) {
	for _, name := range []string{"40k", "170k", "40kTurned"} {
		m := benchBlocks()[name]
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				n, _, err := m.Crossings(b.Context(), 1)
				require.NoError(b, err)
				require.Zero(b, n)
			}
			b.ReportMetric(float64(len(m.T)), "triangles")
		})
	}
}

func BenchmarkAudit(b *testing.B) {
	m := benchBlocks()["40k"]
	for b.Loop() {
		a, err := m.Audit(b.Context())
		require.NoError(b, err)
		require.NoError(b, a.Fault())
	}
}

func BenchmarkDeviation(b *testing.B) {
	m := benchBlocks()["40k"]
	for b.Loop() {
		_, err := m.Deviation(b.Context(), func(p geom.Vec3) float64 { return p.Z }, nil, mesh.DenseOrder)
		require.NoError(b, err)
	}
}

func BenchmarkCoverage(b *testing.B) {
	m := benchBlocks()["40k"]
	const n = 100_000
	for b.Loop() {
		r := rand.New(rand.NewPCG(3, 3))
		_, err := m.Coverage(b.Context(), func(i int) (geom.Vec3, bool) {
			t := m.T[r.IntN(len(m.T))]
			return m.V[t[0]].Add(m.V[t[1]]).Scale(0.5), i < n
		})
		require.NoError(b, err)
	}
}

func BenchmarkFloat32Faults(b *testing.B) {
	m := benchBlocks()["40k"]
	for b.Loop() {
		require.Zero(b, m.Float32Faults())
	}
}
