package exact_test

import (
	"math"
	"testing"

	"platen/toolgen/exact"
	"platen/toolgen/geom"
)

// grid is a set of points in general position on the 2^-14 mm grid of a finished mesh.
var grid = [4]geom.Vec3{
	{X: 0x1.2c0234p8, Y: -0x1.9008p6, Z: -0x1.4p5},
	{X: 0x1.2c8114p8, Y: -0x1.9118p6, Z: -0x1.4ap5},
	{X: 0x1.2c9204p8, Y: -0x1.8f48p6, Z: -0x1.39p5},
	{X: 0x1.2b1234p8, Y: -0x1.90a8p6, Z: -0x1.41p5},
}

func BenchmarkOrient3DFilter(b *testing.B) {
	for b.Loop() {
		exact.Orient3D(grid[0], grid[1], grid[2], grid[3])
	}
}

// BenchmarkOrient3DFlatOnGrid takes four grid points of one sloping plane: always an exact zero.
func BenchmarkOrient3DFlatOnGrid(b *testing.B) {
	b.ReportAllocs()
	d := grid[1].Add(grid[2]).Sub(grid[0])
	for b.Loop() {
		exact.Orient3D(grid[0], grid[1], grid[2], d)
	}
}

// BenchmarkOrient3DNearlyFlat takes points whose differences do not fit one number.
func BenchmarkOrient3DNearlyFlat(b *testing.B) {
	b.ReportAllocs()
	p := grid
	p[0].X = math.Nextafter(0.1, 1)
	p[3] = p[1].Add(p[2]).Sub(p[0])
	for b.Loop() {
		exact.Orient3D(p[0], p[1], p[2], p[3])
	}
}

func BenchmarkOrient2DFilter(b *testing.B) {
	for b.Loop() {
		exact.Orient2D(grid[0].Plan(), grid[1].Plan(), grid[2].Plan())
	}
}

func BenchmarkOrient2DOnLine(b *testing.B) {
	b.ReportAllocs()
	p, q := grid[0].Plan(), grid[1].Plan()
	r := q.Add(q).Sub(p)
	for b.Loop() {
		exact.Orient2D(p, q, r)
	}
}

func BenchmarkInCircleFilter(b *testing.B) {
	for b.Loop() {
		exact.InCircle(grid[0].Plan(), grid[1].Plan(), grid[2].Plan(), grid[3].Plan())
	}
}

// BenchmarkInCircleOnCircle takes the corners of a rectangle: always an exact zero.
func BenchmarkInCircleOnCircle(b *testing.B) {
	b.ReportAllocs()
	p, q := grid[0].Plan(), grid[1].Plan()
	for b.Loop() {
		exact.InCircle(p, geom.Vec2{X: q.X, Y: p.Y}, q, geom.Vec2{X: p.X, Y: q.Y})
	}
}
