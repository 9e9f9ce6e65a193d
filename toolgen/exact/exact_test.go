package exact_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/exact"
	"platen/toolgen/geom"
)

func rat(x float64) *big.Rat            { return new(big.Rat).SetFloat64(x) }
func minus(a, b float64) *big.Rat       { return new(big.Rat).Sub(rat(a), rat(b)) }
func times(a, b *big.Rat) *big.Rat      { return new(big.Rat).Mul(a, b) }
func plus(a, b *big.Rat) *big.Rat       { return new(big.Rat).Add(a, b) }
func less(a, b *big.Rat) *big.Rat       { return new(big.Rat).Sub(a, b) }
func det2(a, b, c, d *big.Rat) *big.Rat { return less(times(a, d), times(b, c)) }

func orient2(a, b, c geom.Vec2) *big.Rat {
	return det2(minus(b.X, a.X), minus(b.Y, a.Y), minus(c.X, a.X), minus(c.Y, a.Y))
}

// det3 expands along the first row.
func det3(m [3][3]*big.Rat) *big.Rat {
	x := times(m[0][0], det2(m[1][1], m[1][2], m[2][1], m[2][2]))
	y := times(m[0][1], det2(m[1][0], m[1][2], m[2][0], m[2][2]))
	z := times(m[0][2], det2(m[1][0], m[1][1], m[2][0], m[2][1]))
	return plus(less(x, y), z)
}

func inCircle(a, b, c, d geom.Vec2) *big.Rat {
	var m [3][3]*big.Rat
	for i, p := range [3]geom.Vec2{a, b, c} {
		x, y := minus(p.X, d.X), minus(p.Y, d.Y)
		m[i] = [3]*big.Rat{x, y, plus(times(x, x), times(y, y))}
	}
	return det3(m)
}

func orient3(a, b, c, d geom.Vec3) *big.Rat {
	var m [3][3]*big.Rat
	for i, p := range [3]geom.Vec3{b, c, d} {
		m[i] = [3]*big.Rat{minus(p.X, a.X), minus(p.Y, a.Y), minus(p.Z, a.Z)}
	}
	return det3(m)
}

// same requires got to have the sign of want and nearly its magnitude.
func same(t *testing.T, want *big.Rat, got float64, args ...any) {
	t.Helper()
	sign := 0
	if got > 0 {
		sign = 1
	} else if got < 0 {
		sign = -1
	}
	require.Equal(t, want.Sign(), sign, "sign of %g, want %s, for %v", got, want.FloatString(40), args)
}

// coordinate draws from kinds of numbers that make trouble: a coarse grid, the same off by a few
// units in the last place, and numbers of very different magnitude.
func coordinate(r *rand.Rand) float64 {
	x := float64(r.IntN(9)-4) * 0.75
	switch r.IntN(4) {
	case 0:
		return x
	case 1:
		for range r.IntN(4) {
			x = math.Nextafter(x, math.Inf(1-2*r.IntN(2)))
		}
		if math.Abs(x) < 1e-50 {
			return 0
		}
		return x
	case 2:
		return x + float64(r.IntN(3)-1)*math.Ldexp(1, -r.IntN(60))
	}
	return (r.Float64() - 0.5) * math.Ldexp(1, r.IntN(100)-50)
}

func TestOrient2DSign(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		p := [3]geom.Vec2{}
		for i := range p {
			p[i] = geom.Vec2{X: coordinate(r), Y: coordinate(r)}
		}
		same(t, orient2(p[0], p[1], p[2]), exact.Orient2D(p[0], p[1], p[2]), p)
	}
}

func TestInCircleSign(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 7_000 {
		p := [4]geom.Vec2{}
		for i := range p {
			p[i] = geom.Vec2{X: coordinate(r), Y: coordinate(r)}
		}
		same(t, inCircle(p[0], p[1], p[2], p[3]), exact.InCircle(p[0], p[1], p[2], p[3]), p)
	}
}

func TestOrient3DSign(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 7_000 {
		p := [4]geom.Vec3{}
		for i := range p {
			p[i] = geom.Vec3{X: coordinate(r), Y: coordinate(r), Z: coordinate(r)}
		}
		same(t, orient3(p[0], p[1], p[2], p[3]), exact.Orient3D(p[0], p[1], p[2], p[3]), p)
	}
}

// TestNearlyDegenerate rounds points of a line, a plane and a circle to full precision, so that every
// difference and product is inexact and the determinant is as small as the rounding errors.
func TestNearlyDegenerate(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	in := func() float64 { return r.Float64()*2 - 1 }
	for range 20_000 {
		a, b := geom.Vec2{X: in(), Y: in()}, geom.Vec2{X: in(), Y: in()}
		c := a.Add(b.Sub(a).Scale(3 * in()))
		same(t, orient2(a, b, c), exact.Orient2D(a, b, c), a, b, c)
	}
	for range 7_000 {
		a, b := geom.Vec3{X: in(), Y: in(), Z: in()}, geom.Vec3{X: in(), Y: in(), Z: in()}
		c := geom.Vec3{X: in(), Y: in(), Z: in()}
		d := a.Add(b.Sub(a).Scale(3 * in())).Add(c.Sub(a).Scale(3 * in()))
		same(t, orient3(a, b, c, d), exact.Orient3D(a, b, c, d), a, b, c, d)
		o, q := a.Plan(), geom.Vec2{X: in()}
		turn := func() geom.Vec2 { return o.Add(q.Turn(geom.Angle(7 * in()))) }
		e, f, g, h := turn(), turn(), turn(), turn()
		same(t, inCircle(e, f, g, h), exact.InCircle(e, f, g, h), e, f, g, h)
	}
}

// TestUlpGrid walks one point over a grid of neighbouring floating-point numbers across a line, a
// circle and a plane through the others.
func TestUlpGrid(t *testing.T) {
	const n = 16
	for _, at := range []float64{0.5, 12, 300.0625} {
		u := math.Nextafter(at, math.Inf(1)) - at
		for i := range n {
			for j := range n {
				p := geom.Vec2{X: at + float64(i-n/2)*u, Y: at + float64(j-n/2)*u}
				a, b, c := geom.Vec2{X: 3, Y: 3}, geom.Vec2{X: 24, Y: 24}, geom.Vec2{X: 3, Y: 24}
				same(t, orient2(p, a, b), exact.Orient2D(p, a, b), p)
				same(t, inCircle(a, c, b, p), exact.InCircle(a, c, b, p), p)
				q := geom.Vec2{X: 2*at - p.X, Y: p.Y}
				same(t, inCircle(p, q, a, b), exact.InCircle(p, q, a, b), p)
				s := [4]geom.Vec3{p.At(at), {X: 3, Y: 3, Z: 3}, {X: 24, Y: 24, Z: 24}, {X: 17, Y: 3, Z: 10}}
				same(t, orient3(s[0], s[1], s[2], s[3]), exact.Orient3D(s[0], s[1], s[2], s[3]), s)
			}
		}
	}
}

// TestSense pins which way the signs run, and that far from degenerate the magnitude is right.
func TestSense(t *testing.T) {
	o, x, y := geom.Vec2{}, geom.Vec2{X: 2}, geom.Vec2{Y: 3}
	require.Equal(t, 6.0, exact.Orient2D(o, x, y))
	require.Equal(t, -6.0, exact.Orient2D(o, y, x))
	require.Equal(t, 0.0, exact.Orient2D(o, x, geom.Vec2{X: 7}))
	require.Positive(t, exact.InCircle(o, x, y, geom.Vec2{X: 1, Y: 1}))
	require.Negative(t, exact.InCircle(o, y, x, geom.Vec2{X: 1, Y: 1}))
	require.Negative(t, exact.InCircle(o, x, y, geom.Vec2{X: 9, Y: 1}))
	require.Zero(t, exact.InCircle(o, x, y, geom.Vec2{X: 2, Y: 3}))
	a, b, c := geom.Vec3{}, geom.Vec3{X: 2}, geom.Vec3{Y: 3}
	require.Equal(t, 30.0, exact.Orient3D(a, b, c, geom.Vec3{Z: 5}))
	require.Equal(t, -30.0, exact.Orient3D(a, c, b, geom.Vec3{Z: 5}))
	require.Zero(t, exact.Orient3D(a, b, c, geom.Vec3{X: 1, Y: 9}))
}

// TestEndsOfRange goes to the limits up to which the signs are promised.
func TestEndsOfRange(t *testing.T) {
	for _, s := range []float64{0x1p-190, 0x1p190} {
		big, n := geom.Vec2{X: s, Y: s}, math.Nextafter(s, math.Inf(1))
		p, q := geom.Vec2{X: n, Y: s}, geom.Vec2{X: -s, Y: -s}
		same(t, orient2(big, p, q), exact.Orient2D(big, p, q))
		same(t, inCircle(big, q, geom.Vec2{X: -s, Y: s}, geom.Vec2{X: n, Y: -s}),
			exact.InCircle(big, q, geom.Vec2{X: -s, Y: s}, geom.Vec2{X: n, Y: -s}))
		same(t, orient3(big.At(s), p.At(s), q.At(-s), q.At(n)),
			exact.Orient3D(big.At(s), p.At(s), q.At(-s), q.At(n)))
	}
	mixed := []float64{0x1p-190, 0x1p190, -0x1p190, -0x1p-190, 1, 0, math.Nextafter(0x1p-190, 1)}
	r := rand.New(rand.NewPCG(7, 8))
	pick := func() float64 { return mixed[r.IntN(len(mixed))] }
	for range 1500 {
		p := [4]geom.Vec3{}
		for i := range p {
			p[i] = geom.Vec3{X: pick(), Y: pick(), Z: pick()}
		}
		same(t, orient3(p[0], p[1], p[2], p[3]), exact.Orient3D(p[0], p[1], p[2], p[3]), p)
		a, b, c, d := p[0].Plan(), p[1].Plan(), p[2].Plan(), p[3].Plan()
		same(t, orient2(a, b, c), exact.Orient2D(a, b, c), p)
		same(t, inCircle(a, b, c, d), exact.InCircle(a, b, c, d), p)
	}
}
