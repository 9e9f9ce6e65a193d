package mesh

import (
	"math"

	"platen/toolgen/geom"
)

// Quantum is the grid of finished vertices, mm: 2^-14, about 61 nm, far below any machine's step.
//
// Coordinates below 1024 mm on this grid have at most 24 significant bits and so are exact in the
// 32-bit numbers of a binary STL file. Beyond 1024 mm, up to 10 m and more, they are rounded there
// to 2^-13 mm and coarser; Float32Faults tells whether that does harm.
const Quantum = 1.0 / (1 << 14)

// Quantise returns the grid point nearest to v, moved by at most 2^-15 mm along each axis. A
// negative zero becomes a plain zero. Exact up to 2^39 mm.
func Quantise(v geom.Vec3) geom.Vec3 {
	return geom.Vec3{X: quantise(v.X), Y: quantise(v.Y), Z: quantise(v.Z)}
}

func quantise(x float64) float64 { return math.RoundToEven(x/Quantum)*Quantum + 0 }

// single returns v as a 32-bit file holds it.
func single(v geom.Vec3) [3]float32 {
	return [3]float32{float32(v.X), float32(v.Y), float32(v.Z)}
}

// Float32Faults counts the harm done by writing the mesh with 32-bit coordinates: vertices that
// fall onto another one from which they differed, and sound triangles that flatten to a line or turn
// over. Zero for every sound mesh on the grid within 1024 mm of the origin.
func (m *Mesh) Float32Faults() int {
	faults := 0
	first := make(map[[3]float32]geom.Vec3, len(m.V))
	rounded := make([]geom.Vec3, len(m.V))
	for i, v := range m.V {
		s := single(v)
		rounded[i] = geom.Vec3{X: float64(s[0]), Y: float64(s[1]), Z: float64(s[2])}
		if w, ok := first[s]; !ok {
			first[s] = v
		} else if v != w {
			faults++
		}
	}
	short := Mesh{V: rounded, T: m.T}
	for t := range m.T {
		if m.degenerate(t) {
			continue
		}
		if short.degenerate(t) || m.spin(t).Dot(short.spin(t)) <= 0 {
			faults++
		}
	}
	return faults
}
