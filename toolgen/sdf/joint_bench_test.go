package sdf_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/sdf"
)

func TestJointAllocatesNothing(t *testing.T) {
	s := joint(t, scenes(t)["small root"]...)
	p := geom.Vec3{X: 51.04, Y: 19.36, Z: -35.29} // three roundings meet here
	require.Zero(t, testing.AllocsPerRun(100, func() { s.j.At(p) }))
}

func BenchmarkJoint(b *testing.B) {
	for _, name := range []string{"crossing channels", "rib and boss", "small root", "recess above the floor"} {
		s := joint(b, scenes(b)[name]...)
		r := rand.New(rand.NewPCG(21, 22))
		const n, rho = 256, 0.5
		ps, cs := make([]geom.Vec3, n), make([]sdf.Pruner, n)
		for i := range ps {
			ps[i] = surfacePoint(r, s.j, s.j.Box(), 3, rho)
			cs[i] = s.j.Prune(ps[i], rho)
		}
		b.Run(name+"/whole", func(b *testing.B) {
			for i := range b.N {
				s.j.At(ps[i%n])
			}
		})
		b.Run(name+"/pruned", func(b *testing.B) {
			for i := range b.N {
				cs[i%n].At(ps[i%n])
			}
		})
		for i := range ps {
			for cs[i].Weight() < 64 {
				ps[i] = surfacePoint(r, s.j, s.j.Box(), 3, 0.02)
				cs[i] = s.j.Prune(ps[i], 0.3)
			}
		}
		b.Run(name+"/searched", func(b *testing.B) {
			for i := range b.N {
				cs[i%n].At(ps[i%n])
			}
		})
		b.Run(name+"/prune", func(b *testing.B) {
			for i := range b.N {
				s.j.Prune(ps[i%n], rho)
			}
		})
		b.Run(name+"/survey", func(b *testing.B) {
			for i := range b.N {
				cs[i%n].Survey(ps[i%n], rho)
			}
		})
	}
}
