package mesh_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
)

func TestPieces(t *testing.T) {
	m := tube(40, 7, 3)
	m.P = []piece.ID{5, 2, 5, 5, 2, 2}
	side := 2 * 40 * math.Sin(math.Pi/3) * 7 / 2 // one triangle
	got := m.Pieces()
	require.Len(t, got, 2)
	require.Equal(t, []piece.ID{2, 5}, []piece.ID{got[0].Piece, got[1].Piece})
	require.Equal(t, []int{3, 3}, []int{got[0].Triangles, got[1].Triangles})
	require.InEpsilon(t, 3*side, got[0].Area, 1e-13)
	require.InEpsilon(t, 3*side, got[1].Area, 1e-13)
	m.P = nil
	got = m.Pieces()
	require.Len(t, got, 1)
	require.Equal(t, piece.None, got[0].Piece)
	require.InEpsilon(t, m.Area(), got[0].Area, 1e-13)
}

// TestSumsLoseNothing adds 65536 small areas to a large one and the other way round; each alone
// would vanish in its rounding.
func TestSumsLoseNothing(t *testing.T) {
	const n = 1 << 16
	for _, last := range []bool{false, true} {
		m := &mesh.Mesh{V: []geom.Vec3{{}, {X: 0x1p20}, {Y: 0x1p20}, {X: 0x1p-8}, {Y: 0x1p-7}}}
		for range n {
			m.T = append(m.T, [3]int32{0, 3, 4}) // 2^-16 mm2
		}
		large := [3]int32{0, 1, 2} // 2^39 mm2: steps of 2^-13
		if last {
			m.T = append(m.T, large)
		} else {
			m.T = append([][3]int32{large}, m.T...)
		}
		require.Equal(t, float64(0x1p39+1), m.Area())
		m.P = make([]piece.ID, len(m.T))
		require.Equal(t, float64(0x1p39+1), m.Pieces()[0].Area)
	}
}

// TestVolumeCancels sums a small volume between two large ones that cancel.
func TestVolumeCancels(t *testing.T) {
	const l, s = 0x1p20, 0x1p-8
	for _, order := range [][3]int{{0, 1, 2}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}} {
		m := &mesh.Mesh{
			V: []geom.Vec3{{X: s}, {Y: s}, {Z: s}, {X: l}, {Y: l}, {Z: l}, {X: -l, Y: -l, Z: -l}},
			T: [][3]int32{{6, 6, 6}}, // keeps the middle of the box at the origin
		}
		for _, k := range order {
			m.T = append(m.T, [][3]int32{{0, 1, 2}, {3, 4, 5}, {4, 3, 5}}[k])
		}
		require.Equal(t, s*s*s/6, m.Volume())
	}
}

// TestVolumeFarAway measures a small cube far from the origin.
func TestVolumeFarAway(t *testing.T) {
	m := cube(geom.Vec3{X: 1e6, Y: -3e6, Z: 2e6}, geom.Vec3{X: 0.5, Y: 0.25, Z: 0.125})
	require.Equal(t, 1.0/64, m.Volume())
	require.Equal(t, -1.0/64, inverted(m).Volume())
	require.Equal(t, geom.Vec3{X: 0.5, Y: 0.25, Z: 0.125}, m.Box().Size())
	require.Zero(t, (&mesh.Mesh{}).Volume())
}
