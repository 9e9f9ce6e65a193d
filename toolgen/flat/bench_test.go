package flat_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"platen/toolgen/flat"
	"platen/toolgen/geom"
)

// BenchmarkLand triangulates a land with a grid of rounded openings, the plane of a forming tool.
func BenchmarkLand(b *testing.B) {
	p := pts{{X: 0, Y: 0}, {X: 600, Y: 0}, {X: 600, Y: 400}, {X: 0, Y: 400}}
	es := ring(0, 4)
	for i := range 24 {
		for j := range 16 {
			c := geom.Vec2{X: 12.5 + 25*float64(i), Y: 12.5 + 25*float64(j)}
			first := int32(len(p))
			for k := range 64 {
				a := 2 * math.Pi * float64(k) / 64
				q := geom.Vec2{X: 2.3 * math.Cos(a), Y: 2.3 * math.Sin(a)}
				q.X += math.Copysign(7.4, q.X)
				q.Y += math.Copysign(7.4, q.Y)
				p = append(p, c.Add(q))
			}
			es = append(es, back(ring(first, 64))...)
		}
	}
	run(b, p, es)
}

// BenchmarkScatter triangulates a hundred thousand points in a square.
func BenchmarkScatter(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	p := pts{{X: -1, Y: -1}, {X: 2, Y: -1}, {X: 2, Y: 2}, {X: -1, Y: 2}}
	for range 100_000 {
		p = append(p, geom.Vec2{X: r.Float64(), Y: r.Float64()})
	}
	run(b, p, ring(0, 4))
}

func run(b *testing.B, p pts, es edges) {
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		tris, err := flat.Triangulate(p, es)
		if err != nil {
			b.Fatal(err)
		}
		n = len(tris)
	}
	b.ReportMetric(float64(n), "triangles")
}
