package mesh_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

func TestQuantise(t *testing.T) {
	const q = mesh.Quantum
	require.Equal(t, geom.Vec3{X: 3 * q, Y: -2 * q, Z: 1000}, mesh.Quantise(geom.Vec3{X: 3.4 * q, Y: -1.6 * q, Z: 1000}))
	z := mesh.Quantise(geom.Vec3{X: -q / 4, Y: math.Copysign(0, -1)})
	require.False(t, math.Signbit(z.X) || math.Signbit(z.Y), "negative zero")
	r := rand.New(rand.NewPCG(71, 72))
	for range 10_000 {
		v := geom.Vec3{X: (r.Float64() - 0.5) * 2e4, Y: r.NormFloat64(), Z: r.NormFloat64() * 1e-4}
		w := mesh.Quantise(v)
		for _, c := range [][2]float64{{v.X, w.X}, {v.Y, w.Y}, {v.Z, w.Z}} {
			require.LessOrEqual(t, math.Abs(c[1]-c[0]), q/2)
			require.Equal(t, c[1]/q, math.Round(c[1]/q))
		}
		require.Equal(t, w, mesh.Quantise(w))
	}
}

// TestGridFitsFloat32 holds every grid step up to 1024 mm against 32 bits, at both ends and at
// random; beyond it the odd steps are lost.
func TestGridFitsFloat32(t *testing.T) {
	fits := func(n int) bool { x := float64(n) * mesh.Quantum; return float64(float32(x)) == x }
	const end = 1024 / mesh.Quantum
	r := rand.New(rand.NewPCG(73, 74))
	for i := range 100_000 {
		require.True(t, fits(i))
		require.True(t, fits(end-i))
		require.True(t, fits(-r.IntN(end)))
	}
	require.False(t, fits(end+1))
	require.True(t, fits(end+2))
}

func TestFloat32Faults(t *testing.T) {
	far := geom.Vec3{X: 5000} // 32-bit numbers there step by 2^-11 mm
	small := geom.Vec3{X: 0x1p-13, Y: 1, Z: 1}
	tests := []struct {
		name string
		m    *mesh.Mesh
		want int
	}{
		{"near", cube(geom.Vec3{X: 1000}, small), 0},
		// All four pairs along x merge; of the twelve triangles the eight that span x flatten.
		{"merged", cube(far, small), 4 + 8},
		{"far but large", cube(far, one), 0},
		{"block", pocketBlock(2, 1, 32, 9), 0},
		{"already together", join(false, cube(geom.Vec3{}, one), cube(one, one)), 0},
		{"already flat", &mesh.Mesh{V: []geom.Vec3{{}, {X: 1}, {X: 2}}, T: [][3]int32{{0, 1, 2}}}, 0},
		// In steps of 2^-11 mm beyond 4096 mm: the side from 0.1 to 0.6 passes the third corner, 0.45,
		// at 0.35. Rounded, the side runs from 0 to 1 and passes it, now 0, at 0.5.
		{"turned over", &mesh.Mesh{V: []geom.Vec3{
			{X: 4096 + 0x1p-11*0.1, Y: 0},
			{X: 4096 + 0x1p-11*0.6, Y: 2},
			{X: 4096 + 0x1p-11*0.45, Y: 1},
		}, T: [][3]int32{{0, 1, 2}}}, 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			require.Equal(t, test.want, test.m.Float32Faults())
		})
	}
}
