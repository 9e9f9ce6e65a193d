package mesh_test

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// rvec is a point with rational coordinates.
type rvec [3]*big.Rat

func rational(v geom.Vec3) rvec {
	return rvec{new(big.Rat).SetFloat64(v.X), new(big.Rat).SetFloat64(v.Y), new(big.Rat).SetFloat64(v.Z)}
}

func (a rvec) sub(b rvec) (c rvec) {
	for i := range c {
		c[i] = new(big.Rat).Sub(a[i], b[i])
	}
	return c
}

func (a rvec) cross(b rvec) (c rvec) {
	for i := range c {
		j, k := (i+1)%3, (i+2)%3
		c[i] = new(big.Rat).Sub(new(big.Rat).Mul(a[j], b[k]), new(big.Rat).Mul(a[k], b[j]))
	}
	return c
}

func (a rvec) dot(b rvec) *big.Rat {
	d := new(big.Rat)
	for i := range a {
		d.Add(d, new(big.Rat).Mul(a[i], b[i]))
	}
	return d
}

func (a rvec) isZero() bool { return a[0].Sign() == 0 && a[1].Sign() == 0 && a[2].Sign() == 0 }

// clip keeps the part of a convex polygon where n . (p - o) >= 0.
func clip(poly []rvec, o, n rvec) []rvec {
	var out []rvec
	for i, p := range poly {
		q := poly[(i+1)%len(poly)]
		dp, dq := p.sub(o).dot(n), q.sub(o).dot(n)
		if dp.Sign() >= 0 {
			out = append(out, p)
		}
		if dp.Sign()*dq.Sign() < 0 {
			s := new(big.Rat).Quo(dp, new(big.Rat).Sub(dp, dq))
			x, d := rvec{}, q.sub(p)
			for k := range x {
				x[k] = new(big.Rat).Add(p[k], new(big.Rat).Mul(s, d[k]))
			}
			out = append(out, x)
		}
	}
	return out
}

// slowCross decides by rational arithmetic whether two triangles share a point other than their
// common corners and sides: the first is clipped to the plane and the three sides of the second, and
// what is left is compared with the common corners. Triangles without area never cross.
func slowCross(m *mesh.Mesh, t, u int) bool {
	var p, q []rvec
	var common []rvec
	for _, i := range m.T[t] {
		p = append(p, rational(m.V[i]))
		for _, j := range m.T[u] {
			if i == j {
				common = append(common, rational(m.V[i]))
			}
		}
	}
	for _, j := range m.T[u] {
		q = append(q, rational(m.V[j]))
	}
	n := q[1].sub(q[0]).cross(q[2].sub(q[0]))
	if n.isZero() || p[1].sub(p[0]).cross(p[2].sub(p[0])).isZero() {
		return false
	}
	if len(common) == 3 {
		return true
	}
	minus := rvec{}.neg(n)
	p = clip(clip(p, q[0], n), q[0], minus)
	for i := range q {
		p = clip(p, q[i], n.cross(q[(i+1)%3].sub(q[i])))
	}
	for _, x := range p {
		switch len(common) {
		case 0:
			return true
		case 1:
			if !x.sub(common[0]).isZero() {
				return true
			}
		case 2:
			if !x.sub(common[0]).cross(common[1].sub(common[0])).isZero() {
				return true
			}
		}
	}
	return false
}

func (rvec) neg(a rvec) (c rvec) {
	for i := range c {
		c[i] = new(big.Rat).Neg(a[i])
	}
	return c
}

func slowCrossings(m *mesh.Mesh) []mesh.Crossing {
	var all []mesh.Crossing
	for a := range m.T {
		for b := a + 1; b < len(m.T); b++ {
			if slowCross(m, a, b) {
				all = append(all, mesh.Crossing{A: a, B: b})
			}
		}
	}
	return all
}

// requireCrossings compares with all pairs by brute force.
func requireCrossings(t *testing.T, m *mesh.Mesh) int {
	t.Helper()
	want := slowCrossings(m)
	n, got, err := m.Crossings(t.Context(), len(want)+1)
	require.NoError(t, err)
	require.Equal(t, len(want), n)
	if n > 0 {
		require.Equal(t, want, got)
		_, few, err := m.Crossings(t.Context(), 3)
		require.NoError(t, err)
		require.Equal(t, want[:min(3, n)], few)
	}
	return n
}

// TestSoups covers every way two triangles can share corners, planes and points: on a grid of 3 to 5
// steps nearly every pair is degenerate in some way.
func TestSoups(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 32))
	total := 0
	for i := range 60 {
		total += requireCrossings(t, soup(r, 8+r.IntN(20), 24, 2+i%4))
	}
	require.Greater(t, total, 1000)
}

// TestFlatSoups keeps all vertices in one plane, level, upright or sloping.
func TestFlatSoups(t *testing.T) {
	r := rand.New(rand.NewPCG(33, 34))
	planes := []func(geom.Vec3) geom.Vec3{
		func(v geom.Vec3) geom.Vec3 { return geom.Vec3{X: v.X, Y: v.Y, Z: 3} },
		func(v geom.Vec3) geom.Vec3 { return geom.Vec3{X: -1, Y: v.X, Z: v.Y} },
		func(v geom.Vec3) geom.Vec3 { return geom.Vec3{X: v.X, Y: 2, Z: v.Y} },
		func(v geom.Vec3) geom.Vec3 { return geom.Vec3{X: v.X, Y: v.Y, Z: v.X + 2*v.Y} },
		func(v geom.Vec3) geom.Vec3 { return geom.Vec3{X: v.X, Y: v.X, Z: v.Y} },
	}
	for i := range 30 {
		m := moved(soup(r, 10+r.IntN(20), 24, 3+i%5), planes[i%len(planes)])
		require.Positive(t, requireCrossings(t, m))
	}
}

// TestTurnedSoups has no exact coincidences left but those of common corners, and many near ones.
func TestTurnedSoups(t *testing.T) {
	r := rand.New(rand.NewPCG(35, 36))
	for i := range 12 {
		requireCrossings(t, moved(soup(r, 8+r.IntN(20), 24, 2+i%4), rotation(r)))
	}
}

// TestLargeSoup has enough triangles for every level of the tree.
func TestLargeSoup(t *testing.T) {
	r := rand.New(rand.NewPCG(37, 38))
	m := &mesh.Mesh{}
	for i := range int32(90) {
		c := geom.Vec3{X: r.Float64() * 20, Y: r.Float64() * 20, Z: r.Float64() * 20}
		for range 3 {
			m.V = append(m.V, c.Add(geom.Vec3{X: r.Float64() * 8, Y: r.Float64() * 8, Z: r.Float64() * 8}))
		}
		m.T = append(m.T, [3]int32{3 * i, 3*i + 1, 3*i + 2})
	}
	require.Positive(t, requireCrossings(t, m))
}

// TestPairs pins single cases by hand.
func TestPairs(t *testing.T) {
	o, x, y, z := geom.Vec3{}, geom.Vec3{X: 4}, geom.Vec3{Y: 4}, geom.Vec3{Z: 4}
	common := []geom.Vec3{o, x, y}
	tests := []struct {
		name string
		more []geom.Vec3
		t    [3]int32
		want int
	}{
		{"hinge", []geom.Vec3{z}, [3]int32{1, 0, 3}, 0},
		{"flat neighbour", []geom.Vec3{{X: 1, Y: -1}}, [3]int32{1, 0, 3}, 0},
		{"folded onto itself", []geom.Vec3{{X: 1, Y: 1}}, [3]int32{0, 1, 3}, 1},
		{"folded and reaching out", []geom.Vec3{{X: 9, Y: 9}}, [3]int32{0, 1, 3}, 1},
		{"folded nearly", []geom.Vec3{{X: 1, Y: 1, Z: 0x1p-40}}, [3]int32{0, 1, 3}, 0},
		{"corner to corner", []geom.Vec3{{X: -1}, {Y: -1}}, [3]int32{0, 3, 4}, 0},
		{"sides in line", []geom.Vec3{{X: 9}, {X: 9, Y: -1}}, [3]int32{0, 3, 4}, 1},
		{"through from the corner", []geom.Vec3{{X: 1, Y: 1, Z: 1}, {X: 1, Y: 1, Z: -1}}, [3]int32{0, 3, 4}, 1},
		{"through, larger", []geom.Vec3{{X: 9, Y: 9, Z: 9}, {X: 9, Y: 9, Z: -9}}, [3]int32{0, 3, 4}, 1},
		{"away from the corner", []geom.Vec3{{X: -1, Y: -1, Z: 1}, {X: -1, Y: -1, Z: -1}}, [3]int32{0, 3, 4}, 0},
		{"a foot on the side", []geom.Vec3{{X: 2, Y: 2}, {X: 2, Y: 2, Z: 5}}, [3]int32{0, 3, 4}, 1},
		{"pierced", []geom.Vec3{{X: 1, Y: 1, Z: -1}, {X: 1, Y: 1, Z: 1}, {X: 2, Y: 1, Z: 1}}, [3]int32{3, 4, 5}, 1},
		{"touched by a corner", []geom.Vec3{{X: 1, Y: 1}, {X: 1, Y: 1, Z: 1}, {X: 2, Y: 1, Z: 1}}, [3]int32{3, 4, 5}, 1},
		{"missed by the least step", []geom.Vec3{{X: 1, Y: 1, Z: 0x1p-52}, {X: 1, Y: 1, Z: 1}, {X: 2, Y: 1, Z: 1}}, [3]int32{3, 4, 5}, 0},
		{"same place, other number", []geom.Vec3{o, {X: -1}, {Y: -1}}, [3]int32{3, 4, 5}, 1},
		{"inside in the plane", []geom.Vec3{{X: 1, Y: 1}, {X: 1.5, Y: 1}, {X: 1, Y: 1.5}}, [3]int32{3, 4, 5}, 1},
		{"beside in the plane", []geom.Vec3{{X: 2, Y: 2.5}, {X: 3, Y: 3}, {X: 2.5, Y: 3}}, [3]int32{3, 4, 5}, 0},
		{"line without area", []geom.Vec3{{X: 1, Y: 1, Z: -1}, {X: 1, Y: 1, Z: 1}}, [3]int32{3, 4, 4}, 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			m := &mesh.Mesh{V: append(append([]geom.Vec3{}, common...), test.more...), T: [][3]int32{{0, 1, 2}, test.t}}
			require.Equal(t, test.want, requireCrossings(t, m))
			// The answer may not depend on order or on which way the triangles run.
			m.T = [][3]int32{{test.t[1], test.t[0], test.t[2]}, {2, 0, 1}}
			require.Equal(t, test.want, requireCrossings(t, m))
		})
	}
}

// TestFoldedFan turns one blade of a flat fan over onto its neighbour.
func TestFoldedFan(t *testing.T) {
	m := &mesh.Mesh{V: []geom.Vec3{{}}}
	for i := range 8 {
		m.V = append(m.V, geom.Vec2{X: 5}.Turn(geom.Angle(i)*45*geom.Degree).At(0))
	}
	for i := range int32(8) {
		m.T = append(m.T, [3]int32{0, 1 + i, 1 + (i+1)%8})
	}
	require.Zero(t, requireCrossings(t, m))
	m.V[3] = geom.Vec2{X: 5}.Turn(160 * geom.Degree).At(0) // beyond vertex 4, which stands at 135 degrees
	require.Positive(t, requireCrossings(t, m))
}

// TestSoundBlock finds nothing in a tool body, then each of many single faults put into it.
func TestSoundBlock(t *testing.T) {
	m := pocketBlock(2, 2, 32, 9)
	n, _, err := m.Crossings(t.Context(), 1)
	require.NoError(t, err)
	require.Zero(t, n)
	a := audit(t, m)
	require.NoError(t, a.Fault())
	require.Equal(t, 0, a.Shells[0].Genus)
	r := rand.New(rand.NewPCG(39, 40))
	for range 50 {
		i := r.IntN(len(m.T))
		tri := m.T[i]
		mid := m.V[tri[0]].Add(m.V[tri[1]]).Add(m.V[tri[2]]).Scale(1.0 / 3)
		d := geom.Vec3{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
		side := geom.Vec3{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
		bad := with(m, mid.Sub(d.Scale(0.5)), mid.Add(d.Scale(0.5)), mid.Add(d.Scale(0.5)).Add(side.Scale(1e-3)))
		n, first, err := bad.Crossings(t.Context(), 4)
		require.NoError(t, err)
		require.Positive(t, n)
		require.Equal(t, len(m.T), first[0].B)
	}
}

// FuzzCrossings compares small soups with brute force.
func FuzzCrossings(f *testing.F) {
	f.Add(uint64(1), uint8(3))
	f.Add(uint64(2), uint8(200))
	f.Fuzz(func(t *testing.T, seed uint64, kind uint8) {
		r := rand.New(rand.NewPCG(seed, 1))
		m := soup(r, 6+int(kind%16), 10, 2+int(kind%5))
		if kind > 127 {
			m = moved(m, rotation(r))
		}
		requireCrossings(t, m)
	})
}
